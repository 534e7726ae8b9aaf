import { entryOf } from "../faults/entry-of.ts";
import { InternalFault } from "../faults/fault.ts";
import { type AnyPart, type PartKind, partKey } from "../machine/catalogue.ts";
import type { LimitId } from "../machine/limit.ts";
import { partsOfPick } from "../model/order.ts";
import type { Picks, SharedRow } from "../model/selection.ts";
import type { AxisColumn } from "./axis-columns.ts";
import { busGroupIndex, groupOfAxis, whenRidersWeigh } from "./expressions.ts";
import type { Leniency } from "./leniency.ts";
import { rivalOptions, withPart } from "./rivals.ts";
import type { Round } from "./round.ts";
import {
  carries,
  clashes,
  holdsAt,
  isLetPass,
  type PartUse,
  type Sourcing,
  type UsePlace,
  type Worked,
} from "./sourcing.ts";

/** An answer that lacks a substitute, where its rows are made. */
export interface Lack {
  readonly round: Round;
  readonly picks: Picks;
  readonly worked: Worked;
  readonly sourcing: Sourcing;
  readonly leniency: Leniency;
}

/** Columns by group; a row lets not all of them be picked together. */
type Picked = Map<number, ReadonlySet<number>>;

/**
 * A row that cuts off an answer with a part number that nothing can replace everywhere.
 *
 * Every rival fails in some place; a smallest set of places in which each fails is found, and every rival is laid to one
 * of them. The row then names, for each place, all columns with the part in which the rivals laid to it fail, too: taken
 * together they leave the part without a substitute. What rides there weighs what it weighs in the answer.
 */
export function sourceCut(lack: Lack, use: PartUse): SharedRow {
  const { sourcing, worked, leniency } = lack;
  const rivals = sourcing.rivals(use.part);
  const failing = rivals.map((rival) =>
    use.places.filter((place) => !holdsAt(sourcing, worked, { part: use.part, rival, place, leniency })),
  );
  const places = smallestCover(use.places, failing);
  const picked: Picked = new Map();
  for (const [k, place] of places.entries()) {
    const laid = rivals.filter((_, r) => failing[r]?.find((one) => places.includes(one)) === place);
    // Without any rival one place alone shows it.
    if (rivals.length > 0 || k === 0) addPlace(lack, picked, { part: use.part, place, laid });
  }
  return notTogether(lack, picked, `no substitute for ${partKey(use.part)}`);
}

/** A row against picks of some axes and buses together: each keeps the column it has. */
export function exactSourceCut(lack: Lack, places: readonly UsePlace[], why: string): SharedRow {
  const picked: Picked = new Map();
  for (const place of places) {
    if (place.kind === "axis") pin(lack, picked, place);
    else pinBus(lack, picked, place);
  }
  return notTogether(lack, picked, why);
}

/** The fewest of some places that meet each of some sets; the first of equals. */
function smallestCover(places: readonly UsePlace[], sets: readonly (readonly UsePlace[])[]): readonly UsePlace[] {
  for (let size = 1; size < places.length; size++) {
    const found = firstSubset(places, size, (chosen) => sets.every((set) => set.some((one) => chosen.includes(one))));
    if (found !== undefined) return found;
  }
  return places;
}

function firstSubset<T>(
  items: readonly T[],
  size: number,
  isGood: (chosen: readonly T[]) => boolean,
  chosen: readonly T[] = [],
): readonly T[] | undefined {
  if (size === 0) return isGood(chosen) ? chosen : undefined;
  for (let k = 0; k + size <= items.length; k++) {
    const found = firstSubset(items.slice(k + 1), size - 1, isGood, [...chosen, entryOf(items, k)]);
    if (found !== undefined) return found;
  }
  return undefined;
}

interface Laid<P extends UsePlace = UsePlace> {
  readonly part: AnyPart;
  readonly place: P;
  readonly laid: readonly AnyPart[];
}

function addPlace(lack: Lack, picked: Picked, { part, place, laid }: Laid): void {
  if (place.kind === "axis") addAxis(lack, picked, { part, place, laid });
  else addBus(lack, picked, { part, place, laid });
}

type AxisPlace = Extract<UsePlace, { kind: "axis" }>;
type BusPlace = Extract<UsePlace, { kind: "bus" }>;

/** The columns of an axis with the part in which these rivals fail. Drives may fail for the supply alone. */
function addAxis(lack: Lack, picked: Picked, { part, place, laid }: Laid<AxisPlace>): void {
  const { round, worked, sourcing, leniency } = lack;
  const { machine, axis } = place;
  const { bus } = entryOf(entryOf(round.setup.machines, machine).axes, axis);
  const option = entryOf(worked.answer.machines, machine).buses[bus];
  const clashing = laid.filter((rival) => clashes(part, rival, option));
  const others = laid.filter((rival) => !clashing.includes(rival));
  const { carried } = entryOf(entryOf(worked.evaluated.machines, machine).axes, axis);
  const fails = (column: AxisColumn): boolean =>
    ownPart(column, part.kind) === part &&
    others.every((rival) => {
      const judgement = sourcing.onAxis({ machine, axis, carried }, withPart(column, rival));
      return judgement === undefined || !isLetPass(judgement, place, leniency);
    });
  narrow(picked, groupOfAxis(round.built.places, machine, axis), columnsWhere(lack, place, fails));
  if (others.length > 0) addRiders(lack, picked, place);
  if (clashing.length === 0) return;
  const { options } = entryOf(entryOf(round.setup.machines, machine).buses, bus);
  const unsuited = options.flatMap((one, k) => (clashing.every((rival) => clashes(part, rival, one)) ? [k] : []));
  narrow(picked, busGroupIndex(round, { machine, bus }), new Set(unsuited));
}

function ownPart(column: AxisColumn, kind: PartKind): AnyPart | undefined {
  return partsOfPick(column).find((part) => part.kind === kind);
}

/** So many columns of an axis are looked at for a row: the more it names, the more it cuts off. */
const LOOKED_AT = 400;

/** Columns of an axis's group for which something is true of the axis; the one picked is among them. */
function columnsWhere(
  { round, picks }: Lack,
  { machine, axis }: AxisPlace,
  is: (column: AxisColumn) => boolean,
): ReadonlySet<number> {
  const group = groupOfAxis(round.built.places, machine, axis);
  const place = entryOf(round.built.places, group);
  if (place.kind !== "axes") throw new InternalFault(`group ${group} is no axis`);
  const at = place.axes.indexOf(axis);
  const { columns: own } = entryOf(entryOf(round.columns, machine), axis);
  const holds = (k: number): boolean => is(entryOf(own, entryOf(entryOf(place.columns, k), at)));
  const looked = Array.from({ length: Math.min(LOOKED_AT, place.columns.length) }, (_, k) => k);
  return new Set([entryOf(picks, group), ...looked.filter(holds)]);
}

function addRiders({ round, picks }: Lack, picked: Picked, { machine, axis }: AxisPlace): void {
  for (const { group, columns } of whenRidersWeigh(round, { machine, carriers: [axis] }, picks))
    narrow(picked, group, columns);
}

/** The picks of a bus with the options that have the part and in which these rivals fail under what it then carries. */
function addBus(lack: Lack, picked: Picked, { part, place, laid }: Laid<BusPlace>): void {
  const { round, worked, sourcing, leniency } = lack;
  const { machine, bus } = place;
  const { options, alternatives } = entryOf(entryOf(round.setup.machines, machine).buses, bus);
  const fed = entryOf(entryOf(worked.evaluated.machines, machine).buses, bus);
  const mayBreak = (id: LimitId): boolean => leniency.bus(machine, bus, id);
  const failing = options.flatMap((option, k) => {
    const own = part.kind === "supply" ? option.supply : option.resistor;
    const fails = laid.every((rival) =>
      rivalOptions(alternatives, option, rival).every(
        (other) => !carries(sourcing.setup, { machine, bus }, { fed, option: other, mayBreak }),
      ),
    );
    return own === part && fails ? [k] : [];
  });
  narrow(picked, busGroupIndex(round, place), new Set(failing));
  if (laid.length === 0) return;
  entryOf(round.setup.machines, machine).axes.forEach((own, axis) => {
    if (own.bus === bus) pin(lack, picked, { kind: "axis", machine, axis });
  });
}

/** An axis keeps the column it has, and what rides on it its weight. */
function pin(lack: Lack, picked: Picked, place: AxisPlace): void {
  const group = groupOfAxis(lack.round.built.places, place.machine, place.axis);
  narrow(picked, group, new Set([lack.picks[group] ?? -1]));
  addRiders(lack, picked, place);
}

function pinBus({ round, picks }: Lack, picked: Picked, place: BusPlace): void {
  const group = busGroupIndex(round, place);
  narrow(picked, group, new Set([picks[group] ?? -1]));
}

function narrow(picked: Picked, group: number, columns: ReadonlySet<number>): void {
  const before = picked.get(group);
  picked.set(group, before === undefined ? columns : new Set([...columns].filter((column) => before.has(column))));
}

/** Not all of these groups pick among these columns. */
function notTogether({ round, picks }: Lack, picked: Picked, why: string): SharedRow {
  const factors = new Map<number, Float64Array>();
  for (const [group, columns] of picked) {
    const values = new Float64Array(round.built.model.groups[group]?.columns.length ?? 0);
    for (const column of columns) values[column] = 1;
    factors.set(group, values);
  }
  const where = [...picked.keys()].map((group) => `${group}:${picks[group]}`).join(" ");
  return {
    id: `order.dual_source/${why}/${where}`,
    origin: { kind: "cut", why },
    expression: { factors, modules: [], constant: 0 },
    max: picked.size - 1,
    when: [],
  };
}
