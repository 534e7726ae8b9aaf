import { entryOf } from "../faults/entry-of.ts";
import { InternalFault } from "../faults/fault.ts";
import { partKey } from "../machine/catalogue.ts";
import type { GroupPlace } from "../model/order.ts";
import type { Condition, Expression, Picks } from "../model/selection.ts";
import type { AxisColumn } from "./axis-columns.ts";
import { type Reading, type Sum, weightOf } from "./power-book.ts";
import type { Round } from "./round.ts";
import type { SupplyOption } from "./supply-options.ts";

/** One bus of one machine. */
export interface BusPlace {
  readonly machine: number;
  readonly bus: number;
}

/** What a power expression reads: sign · factor · ΣP, at one mass of each carrier or at the least over what can ride. */
export interface PowerTerm {
  readonly reading: Reading;
  readonly sum: Sum;
  readonly sign: 1 | -1;
  readonly factor: number;
  /** Carried mass by axis index, where it is settled. */
  readonly masses: ReadonlyMap<number, number> | undefined;
  /** In which of the machine's runs: 0 is the normal cycle. */
  readonly run: number;
}

/** Model group of a bus. */
export function busGroupIndex({ built }: Round, { machine, bus }: BusPlace): number {
  const index = built.places.findIndex(
    (place) => place.kind === "bus" && place.machine === machine && place.bus === bus,
  );
  if (index < 0) throw new InternalFault(`no group for bus ${bus} of machine ${machine}`);
  return index;
}

/** A number of a column, which is the `index`-th of its axis. */
export type ColumnValue = (axis: number, column: AxisColumn, index: number) => number;

/** Σ over the axes of a bus of some number of their columns, by group; shared drives are added by `modules`. */
export function axesTerm(round: Round, { machine, bus }: BusPlace, value: ColumnValue): Map<number, Float64Array> {
  const factors = new Map<number, Float64Array>();
  round.built.places.forEach((place, g) => {
    if (place.kind !== "axes" || place.machine !== machine) return;
    const onBus = place.axes.filter((axis) => round.setup.machines[machine]?.axes[axis]?.bus === bus);
    if (onBus.length > 0) factors.set(g, groupTerm(round, place, { onBus, value }));
  });
  return factors;
}

function groupTerm(
  { columns }: Round,
  place: Extract<GroupPlace, { kind: "axes" }>,
  { onBus, value }: { onBus: readonly number[]; value: ColumnValue },
): Float64Array {
  const size = place.columns.length;
  const sums = new Float64Array(size);
  for (const axis of onBus) {
    const at = place.axes.indexOf(axis);
    const own = columns[place.machine]?.[axis]?.columns ?? [];
    for (let k = 0; k < size; k++) {
      const index = place.columns[k]?.[at] ?? -1;
      const column = own[index];
      if (column !== undefined) sums[k] = (sums[k] ?? 0) + value(axis, column, index);
    }
  }
  return sums;
}

/** sign · factor · ΣP of a bus, fixed losses of drives included; never more than the true value. */
export function powerExpression(round: Round, place: BusPlace, term: PowerTerm): Expression {
  const { reading, sum, sign, factor, masses, run } = term;
  const { cycle } = entryOf(entryOf(round.setup.machines, place.machine).runs, run);
  const weight = weightOf(reading, cycle);
  const factors = axesTerm(round, place, (axis, column) => {
    const book = round.books[place.machine]?.[axis];
    const power = book?.least(column, sign, { reading, sum, mass: masses?.get(axis), run }) ?? 0;
    const fixed = column.drive.channels === 1 ? sign * column.drive.fixedLoss * weight : 0;
    return factor * (power + fixed);
  });
  return {
    factors,
    modules: moduleTerm(round, place, ({ fixedLoss }) => factor * sign * fixedLoss * weight),
    constant: 0,
  };
}

/** A number for every module of the shared drives on a bus. */
export function moduleTerm(
  round: Round,
  { machine, bus }: BusPlace,
  value: (drive: AxisColumn["drive"]) => number,
): Expression["modules"] {
  const pool = round.built.pools[machine]?.[bus] ?? 0;
  const axes = round.columns[machine] ?? [];
  const drives = new Map(
    axes
      .filter(({ setup }) => setup.bus === bus)
      .flatMap(({ columns }) =>
        columns.filter(({ drive }) => drive.channels > 1).map(({ drive }) => [partKey(drive), drive] as const),
      ),
  );
  return [...drives.values()].flatMap((drive) => {
    const part = round.built.table.find(drive);
    return part === undefined ? [] : [{ part, pool, factor: value(drive) }];
  });
}

/** Adds a number for every supply option to an expression: what a supply allows, negative. */
export function withSupply(
  round: Round,
  place: BusPlace,
  expression: Expression,
  allowed: (option: SupplyOption) => number,
): Expression {
  const options = round.setup.machines[place.machine]?.buses[place.bus]?.options ?? [];
  const factors = new Map(expression.factors);
  factors.set(
    busGroupIndex(round, place),
    Float64Array.from(options, (option) => -allowed(option)),
  );
  return { ...expression, factors };
}

/** Holds only with supplies of some kind; no condition where all are. */
export function whenSupply(round: Round, place: BusPlace, counts: (option: SupplyOption) => boolean): Condition {
  const options = round.setup.machines[place.machine]?.buses[place.bus]?.options ?? [];
  if (options.every(counts)) return [];
  const columns = new Set(options.flatMap((option, k) => (counts(option) ? [k] : [])));
  return [{ group: busGroupIndex(round, place), columns }];
}

/** Carried mass of each carrier of a machine, as picked. */
export function pickedMasses({ setup, columns, built }: Round, machine: number, picks: Picks): Map<number, number> {
  const axes = setup.machines[machine]?.axes ?? [];
  const massOf = (axis: number): number =>
    columns[machine]?.[axis]?.columns[pickedColumn(built.places, { machine, axis, picks })]?.mass ?? 0;
  return new Map(
    axes.flatMap(({ riders }, axis) =>
      riders.length === 0 ? [] : [[axis, riders.reduce((sum, rider) => sum + massOf(rider), 0)] as const],
    ),
  );
}

/** Index of the picked column of an axis among its own columns. */
function pickedColumn(
  places: readonly GroupPlace[],
  { machine, axis, picks }: { machine: number; axis: number; picks: Picks },
): number {
  const g = groupOfAxis(places, machine, axis);
  const place = places[g];
  if (place?.kind !== "axes") return -1;
  return place.columns[picks[g] ?? -1]?.[place.axes.indexOf(axis)] ?? -1;
}

/** Group an axis belongs to. */
export function groupOfAxis(places: readonly GroupPlace[], machine: number, axis: number): number {
  return places.findIndex((place) => place.kind === "axes" && place.machine === machine && place.axes.includes(axis));
}

/** Holds only where every rider of the named carriers weighs what it weighs in these picks. */
export function whenRidersWeigh(
  round: Round,
  { machine, carriers }: { machine: number; carriers: readonly number[] },
  picks: Picks,
): Condition {
  const axes = round.setup.machines[machine]?.axes ?? [];
  const groups = new Set(
    carriers
      .flatMap((axis) => axes[axis]?.riders ?? [])
      .map((rider) => groupOfAxis(round.built.places, machine, rider)),
  );
  return [...groups].map((group) => {
    const { columns } = round.built.model.groups[group] ?? { columns: [] };
    const mass = columns[picks[group] ?? -1]?.tie.mass ?? 0;
    return { group, columns: new Set(columns.flatMap((column, k) => (column.tie.mass === mass ? [k] : []))) };
  });
}
