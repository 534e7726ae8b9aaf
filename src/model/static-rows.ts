import { type AnyPart, partKey } from "../machine/catalogue.ts";
import type { Problem } from "../machine/problem.ts";
import { MACHINE_SUMS, type MachineSum, sharesModules } from "./machine-sums.ts";
import { leastModules, leastModulesId, moduleShare } from "./module-rows.ts";
import {
  type ColumnInput,
  type GroupPlace,
  type MachineColumns,
  type OrderColumns,
  partsOfPick,
  partsOfSupply,
} from "./order.ts";
import type { CountCap, Expression, ModelPart, SelectionModel, SharedRow } from "./selection.ts";

/** Rounding allowed on a cap that is met exactly. */
const TOLERANCE = 1e-9;

/** Caps on distinct parts. */
export function capsOf({ caps }: Problem, parts: readonly ModelPart[]): CountCap[] {
  const members = (counts: (part: ModelPart) => boolean): number[] =>
    parts.flatMap((part, index) => (counts(part) ? [index] : []));
  const table = [
    { id: "caps.motors", max: caps.motors, counts: isPart("motor") },
    { id: "caps.frames", max: caps.frames, counts: (part: ModelPart) => part.origin.kind === "frame" },
    { id: "caps.gearboxes", max: caps.gearboxes, counts: isPart("gearbox") },
    { id: "caps.drives", max: caps.drives, counts: isPart("drive") },
    { id: "caps.makers", max: caps.makers, counts: (part: ModelPart) => part.origin.kind === "maker" },
    { id: "caps.parts", max: caps.parts, counts: (part: ModelPart) => part.isPartNumber },
  ];
  return table.flatMap(({ id, max, counts }) =>
    max === undefined ? [] : [{ id, origin: { kind: "cap" as const, what: id }, members: members(counts), max }],
  );
}

function isPart(kind: string): (part: ModelPart) => boolean {
  return ({ origin }) => origin.kind === "part" && origin.part === kind;
}

interface Built {
  readonly places: readonly GroupPlace[];
  readonly model: Pick<SelectionModel, "groups" | "parts">;
  readonly pools: readonly (readonly number[])[];
}

/** Rows that are known before any answer: carried mass, least modules, machine mass, cabinet width, price. */
export function staticRows(order: OrderColumns, built: Built): SharedRow[] {
  return order.machines.flatMap((machine, m) => [
    ...carryRows(machine, m, built),
    ...moduleRows(order, m, built),
    ...MACHINE_SUMS.flatMap((sum) => sumRow(order, m, { built, sum })),
  ]);
}

/** By group: a number for each column, worked out from the axis columns it stands for. */
function axesFactors(
  { places, model }: Built,
  m: number,
  value: (axis: number, column: number) => number,
): Map<number, Float64Array> {
  const factors = new Map<number, Float64Array>();
  places.forEach((place, g) => {
    if (place.machine !== m || place.kind !== "axes") return;
    const size = model.groups[g]?.columns.length ?? 0;
    const values = new Float64Array(size).map((_, k) =>
      place.axes.reduce((sum, axis, j) => sum + value(axis, place.columns[k]?.[j] ?? -1), 0),
    );
    if (values.some((v) => v !== 0)) factors.set(g, values);
  });
  return factors;
}

/** Row that holds what rides on an axis below the top of its column's case. */
export function carryId(machine: string, axis: string): string {
  return `carry/${machine}/${axis}`;
}

/** True for rows made with `carryId`. */
function isTopRow({ id }: SharedRow): boolean {
  return id.startsWith("carry/");
}

/** Factor of a column's capacity in its carry row [kg]. */
export function heaviest(capacity: number): number {
  return capacity * (1 + TOLERANCE);
}

/**
 * What rides on an axis lies within its pick's case of carried mass: lightest ≤ Σ mass of riders ≤ capacity. A relaxation,
 * because a case can span masses of which the pick bears only some; answers that fail are cut off.
 */
function carryRows({ machine, axes }: MachineColumns, m: number, built: Built): SharedRow[] {
  return axes.flatMap(({ axis, riders, columns }, a) => {
    if (riders.length === 0) return [];
    const masses = riders.map((r) => (axes[r]?.columns ?? []).map(({ mass }) => mass));
    const most = masses.reduce((sum, own) => sum + own.reduce((x, y) => Math.max(x, y), 0), 0);
    const least = masses.reduce((sum, own) => sum + own.reduce((x, y) => Math.min(x, y), Number.POSITIVE_INFINITY), 0);
    const row = (id: string, sign: 1 | -1, border: (column: ColumnInput) => number): SharedRow => ({
      id,
      origin: { kind: "carry", machine: machine.id, axis: axis.id },
      expression: plain(
        axesFactors(built, m, (other, column) => {
          const found = axes[other]?.columns[column];
          if (found === undefined) return 0;
          const rides = riders.includes(other) ? found.mass : 0;
          return sign * (rides - (other === a ? border(found) : 0));
        }),
      ),
      max: TOLERANCE,
      when: [],
    });
    const top = row(carryId(machine.id, axis.id), 1, ({ capacity }) => heaviest(capacity));
    const bottom = row(`carry-least/${machine.id}/${axis.id}`, -1, ({ lightest }) => lightest * (1 - TOLERANCE));
    return [
      ...(columns.every(({ capacity }) => capacity >= most) ? [] : [top]),
      ...(columns.every(({ lightest }) => lightest <= least) ? [] : [bottom]),
    ];
  });
}

function plain(factors: Map<number, Float64Array>): Expression {
  return { factors, modules: [], constant: 0 };
}

/** Row of a sum over one machine. */
export function sumRowId({ id }: MachineSum, machine: string): string {
  return `${id}/${machine}`;
}

/**
 * True for rows that price every candidate, whether the model holds it or not: sums over a machine, least modules, and
 * what rides at most.
 */
export function pricesAll(row: SharedRow): boolean {
  return row.origin.kind === "limit" || isTopRow(row) || row.isImplied === true;
}

function sumRow(order: OrderColumns, m: number, { built, sum }: { built: Built; sum: MachineSum }): SharedRow[] {
  const max = order.problem.caps[sum.cap];
  const machine = order.machines[m];
  if (max === undefined || machine === undefined) return [];
  return [
    {
      id: sumRowId(sum, machine.machine.id),
      origin: { kind: "limit", id: sum.id, machine: machine.machine.id },
      expression: partSum(order, m, { built, value: sum.of }),
      max: max * (1 + TOLERANCE),
      when: [],
    },
  ];
}

/** Σ of a number of each part over one machine: modules by their count where channels are shared, the rest by column. */
function partSum(
  order: OrderColumns,
  m: number,
  { built, value }: { built: Built; value: (part: AnyPart) => number },
): Expression {
  const machine = order.machines[m];
  const shared = sharedDrives(machine);
  const factors = axesFactors(built, m, (axis, column) => {
    const bought = partsOfPick(machine?.axes[axis]?.columns[column]);
    return bought.reduce((sum, part) => sum + (shared.has(part) ? 0 : value(part)), 0);
  });
  built.places.forEach((place, g) => {
    if (place.kind !== "bus" || place.machine !== m) return;
    const options = machine?.buses[place.bus]?.options ?? [];
    factors.set(
      g,
      Float64Array.from(options, (option) => partsOfSupply(option).reduce((sum, part) => sum + value(part), 0)),
    );
  });
  return { factors, modules: moduleTerms(built, m, { shared, value }), constant: 0 };
}

function sharedDrives(machine: MachineColumns | undefined): ReadonlySet<AnyPart> {
  const drives = (machine?.axes ?? []).flatMap(({ columns }) => columns.map(({ drive }) => drive));
  return new Set(drives.filter(sharesModules));
}

function moduleTerms(
  built: Built,
  m: number,
  { shared, value }: { shared: ReadonlySet<AnyPart>; value: (part: AnyPart) => number },
): Expression["modules"] {
  return [...shared].flatMap((drive) => {
    const part = value(drive) === 0 ? -1 : partIndex(built, drive);
    return part < 0 ? [] : (built.pools[m] ?? []).map((pool) => ({ part, pool, factor: value(drive) }));
  });
}

/** Index of a drive's part in the model; -1: no column of the model has it. */
function partIndex({ model }: Built, drive: AnyPart): number {
  return model.parts.findIndex(({ id }) => id === `drive ${partKey(drive)}`);
}

/** Modules on a bus: at least as many as its axes take, however they share them. */
function moduleRows({ problem, machines }: OrderColumns, m: number, built: Built): SharedRow[] {
  const machine = machines[m];
  if (machine === undefined) return [];
  const drives = [...new Set(machine.axes.flatMap(({ columns }) => columns.map(({ drive }) => drive)))];
  const counted = drives.map((drive) => ({ drive, part: partIndex(built, drive) })).filter(({ part }) => part >= 0);
  return leastModules(machine, problem.weights.variety).map((least) => {
    const { id } = machine.machine;
    const bus = machine.machine.buses[least.bus]?.id ?? "";
    const pool = built.pools[m]?.[least.bus] ?? -1;
    const factors = axesFactors(built, m, (axis, column) => {
      const own = machine.axes[axis];
      const drive = own?.columns[column]?.drive;
      return own?.bus !== least.bus || drive === undefined ? 0 : -moduleShare(least, drive);
    });
    const shared = counted.filter(({ drive }) => sharesModules(drive));
    const single = least.kind > 0 ? counted.filter(({ drive }) => !sharesModules(drive)) : [];
    return {
      id: leastModulesId(id, bus),
      origin: { kind: "cut", why: `the axes of ${id}/${bus} take ${least.count} drive modules at least` },
      expression: {
        factors,
        modules: shared.map(({ part }) => ({ part, pool, factor: -1 })),
        used: single.map(({ part }) => ({ part, factor: -least.kind })),
        constant: least.count,
      },
      max: TOLERANCE,
      when: [],
      isImplied: true,
    };
  });
}
