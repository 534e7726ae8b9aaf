import { type AnyPart, partKey } from "../machine/catalogue.ts";
import type { Machine, Problem } from "../machine/problem.ts";
import {
  type AxisInput,
  type BusInput,
  type ColumnInput,
  type GroupPlace,
  type MachineColumns,
  type OrderColumns,
  partsOfPick,
  partsOfSupply,
} from "./order.ts";
import { firstPrice, type PartTable, partTable } from "./part-table.ts";
import type { Column, Envelope, Group, Pool, SelectionModel } from "./selection.ts";
import { capsOf, staticRows } from "./static-rows.ts";

/** The model of an order, and the way back from its columns to parts. */
export interface BuiltModel {
  readonly model: SelectionModel;
  /** Index of every part in the model. */
  readonly table: PartTable;
  readonly places: readonly GroupPlace[];
  /** Pool index by machine and bus. */
  readonly pools: readonly (readonly number[])[];
  /** Index of the energy envelope by machine, bus and run; undefined where energy costs nothing. */
  readonly energy: readonly (readonly (readonly number[] | undefined)[])[];
}

/** Cents per watt of mean supply input of one machine, over all years. */
export function energyPrice({ weights }: Problem): number {
  return weights.energy.price * weights.energy.duration;
}

/**
 * The constraint builder: columns of axes and supplies become groups, parts, caps, rows and cost terms, each with the
 * origin it stands for. Power rows are added later, instant by instant, when an answer breaks them.
 *
 * Energy of the whole cycle's mean is part of each column; an envelope adds what cannot be fed back.
 */
export function buildModel(order: OrderColumns): BuiltModel {
  const { problem } = order;
  const table = partTable(problem, {
    mostUnits: (part) => mostUnits(order, part),
    besidePrice: (part) => besidePrice(order, part),
  });
  const pools = poolsOf(order);
  const groups: Group[] = [];
  const places: GroupPlace[] = [];
  order.machines.forEach((machine, m) => {
    for (const axes of sharedPicks(machine)) {
      const { group, place } = axesGroup({ order, table, pools: pools.index }, m, axes);
      groups.push(group);
      places.push(place);
    }
    machine.buses.forEach((bus, b) => {
      groups.push(busGroup({ order, table, pools: pools.index }, { m, b, bus }));
      places.push({ kind: "bus", machine: m, bus: b });
    });
  });
  const { energy, envelopes } = envelopesOf(order);
  const lead = leadTime(order, { groups, places });
  const bare = { groups, parts: table.parts, pools: pools.pools, caps: capsOf(problem, table.parts) };
  const rows = staticRows(order, { places, model: bare, pools: pools.index });
  const model = { ...bare, rows, envelopes: [...envelopes, ...lead], unit: 1, rounding: roundingOf(problem) };
  return { table, model, places, pools: pools.index, energy };
}

/** Half a cent for each cost term that need not come to whole cents. */
function roundingOf(problem: Problem): number {
  const { purchase, mass, cabinetWidth, leadTime: perDay } = problem.weights;
  const fractional = [purchase % 1 !== 0, energyPrice(problem) > 0, mass > 0, cabinetWidth > 0, perDay > 0];
  return 0.5 * fractional.filter(Boolean).length + 1e-6;
}

interface Building {
  readonly order: OrderColumns;
  readonly table: PartTable;
  readonly pools: readonly (readonly number[])[];
}

function poolsOf({ machines }: OrderColumns): { pools: Pool[]; index: number[][] } {
  const pools: Pool[] = [];
  const index = machines.map(({ machine, buses }) =>
    buses.map((_, b) => pools.push({ id: `${machine.id}/${machine.buses[b]?.id}`, quantity: machine.quantity }) - 1),
  );
  return { pools, index };
}

/** Units of a part the order can come to at most. */
function mostUnits({ machines }: OrderColumns, part: AnyPart): number {
  const perMachine = (machine: MachineColumns): number =>
    part.kind === "supply" || part.kind === "resistor" ? machine.buses.length : machine.axes.length;
  return machines.reduce((sum, machine) => sum + machine.machine.quantity * perMachine(machine), 0);
}

/** Losses over the years and cabinet width of one unit, beside its price [cent]. */
function besidePrice({ problem, takenShare }: OrderColumns, part: AnyPart): number {
  if (part.kind === "drive")
    return energyPrice(problem) * takenShare * part.fixedLoss + problem.weights.cabinetWidth * part.width;
  return part.kind === "supply" ? problem.weights.cabinetWidth * part.width : 0;
}

/** A machine as far as shared picks go. */
interface SharingMachine {
  readonly machine: Pick<MachineColumns["machine"], "samePick">;
  readonly axes: readonly Pick<AxisInput, "axis">[];
}

/** Axes of a machine in file order, those of one `same_pick` list together. */
export function sharedPicks({ machine, axes }: SharingMachine): number[][] {
  const seen = new Set<number>();
  return axes.flatMap(({ axis }, index) => {
    if (seen.has(index)) return [];
    const shared = machine.samePick.find((ids) => ids.includes(axis.id)) ?? [axis.id];
    const together = axes.flatMap(({ axis: other }, k) => (shared.includes(other.id) ? [k] : []));
    for (const k of together) seen.add(k);
    return [together];
  });
}

function axesGroup(
  { order, table, pools }: Building,
  m: number,
  members: readonly number[],
): { group: Group; place: GroupPlace } {
  const machine = order.machines[m];
  const axes = members.flatMap((a) => machine?.axes[a] ?? []);
  const choices = sharedColumns(axes);
  const columns = choices.map((choice) => axesColumn({ order, table, pools }, m, { axes, choice }));
  const id = axes.map(({ axis }) => axis.id).join("+");
  const machineId = machine?.machine.id ?? "";
  return {
    group: {
      id: `${machineId}/${id}`,
      origin: { kind: "axis", machine: machineId, axes: axes.map(({ axis }) => axis.id) },
      pools: axes.map(({ bus }) => pools[m]?.[bus] ?? 0),
      columns,
      decideFirst: false,
    },
    place: { kind: "axes", machine: m, axes: members, columns: choices },
  };
}

/** Column indices of each axis that pick the same parts, in every case of carried mass; one axis alone: each of its columns. */
function sharedColumns(axes: readonly AxisInput[]): number[][] {
  const [first, ...others] = axes;
  const tables = others.map(({ columns }) => indicesBy(columns, pickText));
  return (first?.columns ?? []).flatMap((column, k) =>
    tables.reduce<number[][]>(
      (found, table) => found.flatMap((own) => (table.get(pickText(column)) ?? []).map((at) => [...own, at])),
      [[k]],
    ),
  );
}

function indicesBy<T>(items: readonly T[], keyOf: (item: T) => string): Map<string, number[]> {
  const lists = new Map<string, number[]>();
  items.forEach((item, k) => {
    const list = lists.get(keyOf(item));
    if (list === undefined) lists.set(keyOf(item), [k]);
    else list.push(k);
  });
  return lists;
}

/** Parts of a pick as text: ties between answers are broken by it, in code-point order. */
export function pickText({
  motor,
  gearbox,
  drive,
  inductor,
}: Pick<ColumnInput, "motor" | "gearbox" | "drive" | "inductor">): string {
  return `${partText(motor)}\u0001${partText(gearbox)}\u0001${partText(drive)}\u0001${partText(inductor)}`;
}

function partText(part: AnyPart | undefined): string {
  return part === undefined ? "" : `${part.part}\u0000${part.maker}`;
}

function axesColumn(
  { order, table }: Building,
  m: number,
  { axes, choice }: { axes: readonly AxisInput[]; choice: readonly number[] },
): Column {
  const quantity = order.machines[m]?.machine.quantity ?? 1;
  const picked = axes.flatMap(({ columns }, k) => columns[choice[k] ?? -1] ?? []);
  const first = picked[0];
  const mass = picked.reduce((sum, column) => sum + column.mass, 0) * quantity;
  const power = axes.reduce((sum, { powers }, k) => sum + (powers.mean[choice[k] ?? -1] ?? 0), 0);
  const prices = picked.reduce((sum, column) => sum + pricesIn(order, table, column), 0);
  const { weights } = order.problem;
  const cost = quantity * (prices + energyPrice(order.problem) * power) + weights.mass * mass;
  const parts = first === undefined ? [] : partsOf(table, first);
  return { cost, parts, tie: { mass, text: first === undefined ? "" : pickText(first) } };
}

/** What the parts of one axis's column cost in one machine: prices without steps, and what stands beside them. */
function pricesIn(order: OrderColumns, table: PartTable, { motor, gearbox, drive, inductor }: ColumnInput): number {
  const price = (part: AnyPart | undefined): number => (part === undefined ? 0 : priceInColumn(order, table, part));
  return price(motor) + price(gearbox) + price(drive) + price(inductor);
}

/** What one unit of a part adds to its column: price without steps and what stands beside it; 0 where the model counts units [cent]. */
export function priceInColumn(order: OrderColumns, table: PartTable, part: AnyPart): number {
  return table.isPricedInColumns(part)
    ? firstPrice(part.prices) * order.problem.weights.purchase + besidePrice(order, part)
    : 0;
}

function partsOf(table: PartTable, pick: ColumnInput): number[] {
  const bought = partsOfPick(pick);
  const indices: number[] = [];
  const add = (index: number | undefined): void => {
    if (index !== undefined && !indices.includes(index)) indices.push(index);
  };
  for (const part of bought) add(table.number(part));
  add(table.frame(pick.motor.frame.trim()));
  for (const { maker } of bought) add(table.maker(maker));
  return indices.toSorted((a, b) => a - b);
}

function busGroup({ order, table, pools }: Building, { m, b, bus }: { m: number; b: number; bus: BusInput }): Group {
  const { machines } = order;
  const { id = "", quantity = 1, buses = [] } = machines[m]?.machine ?? {};
  const columns = bus.options.map((option): Column => {
    const bought = partsOfSupply(option);
    const cost = bought.reduce((sum, part) => sum + priceInColumn(order, table, part), 0) * quantity;
    const indices = [...bought.map((part) => table.number(part)), ...bought.map(({ maker }) => table.maker(maker))];
    const parts = [...new Set(indices.filter((index) => index !== undefined))].toSorted((x, y) => x - y);
    return { cost, parts, tie: { mass: 0, text: bought.map(partKey).join("\u0001") } };
  });
  const busId = buses[b]?.id ?? "";
  return {
    id: `${id}/${busId}`,
    origin: { kind: "bus", machine: id, bus: busId },
    pools: [pools[m]?.[b] ?? 0],
    columns,
    decideFirst: true,
  };
}

function envelopesOf({ problem, machines }: OrderColumns): {
  energy: (number[] | undefined)[][];
  envelopes: Envelope[];
} {
  const envelopes: Envelope[] = [];
  const price = energyPrice(problem);
  const energy = machines.map(({ machine, shares, buses }) =>
    buses.map((_, b) => (price === 0 ? undefined : shares.map((share, run) => add(machine, b, { share, run })))),
  );
  function add(machine: Machine, b: number, { share, run }: { share: number; run: number }): number {
    const bus = machine.buses[b]?.id ?? "";
    const mode = machine.modes[run - 1]?.id;
    const inMode = mode === undefined ? {} : { mode };
    return (
      envelopes.push({
        id: ["energy", machine.id, bus, ...(mode === undefined ? [] : [mode])].join("/"),
        origin: { kind: "cost", what: "energy that is not fed back", machine: machine.id, bus, ...inMode },
        cost: price * machine.quantity * share,
        rows: [],
      }) - 1
    );
  }
  return { energy, envelopes };
}

/** The longest lead time of all parts, from below: one row per group. */
function leadTime(
  { problem, machines }: OrderColumns,
  { groups, places }: { groups: readonly Group[]; places: readonly GroupPlace[] },
): Envelope[] {
  if (problem.weights.leadTime === 0) return [];
  const rows = places.map((place, g) => {
    const factors = new Float64Array(groups[g]?.columns.length ?? 0).map((_, k) =>
      longest(boughtBy(machines, place, k)),
    );
    return {
      id: `lead-time/${groups[g]?.id}`,
      expression: { factors: new Map([[g, factors]]), modules: [], constant: 0 },
      when: [],
    };
  });
  return [
    { id: "lead-time", origin: { kind: "cost", what: "longest lead time" }, cost: problem.weights.leadTime, rows },
  ];
}

function longest(parts: readonly AnyPart[]): number {
  return Math.max(0, ...parts.map(({ leadTime: days }) => days ?? 0));
}

/** Parts a column of a group buys. */
function boughtBy(machines: readonly MachineColumns[], place: GroupPlace, column: number): AnyPart[] {
  const machine = machines[place.machine];
  if (place.kind === "bus") return partsOfSupply(machine?.buses[place.bus]?.options[column]);
  return partsOfPick(machine?.axes[place.axes[0] ?? -1]?.columns[place.columns[column]?.[0] ?? -1]);
}
