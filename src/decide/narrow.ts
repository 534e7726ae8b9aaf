import type { Catalogue } from "../machine/catalogue.ts";
import { pickText } from "../model/build.ts";
import type { Picks } from "../model/selection.ts";
import { type AxisColumn, type AxisColumns, columnsOf, everyVisit } from "./axis-columns.ts";
import { ENFORCE, type JudgedAxis, judgedAxis, judgedByCase, onlyPairs, pairsLeft } from "./judged-axis.ts";
import { type MassCase, refinedCases, touches } from "./mass-cases.ts";
import type { Round } from "./round.ts";
import { type AxisSetup, ridersFirst, type Setup } from "./setup.ts";

/**
 * Candidates of every axis, packed, by machine and axis. An axis that carries others is judged over the whole range of what
 * they can weigh: the range narrows as candidates are ruled out.
 */
export function judgedAxes(setup: Setup): JudgedAxis[][] {
  return setup.machines.map((machine) => {
    const found: JudgedAxis[] = [];
    for (const a of ridersFirst(machine)) {
      const axis = machine.axes[a];
      if (axis === undefined) continue;
      const range = rangeOf(axis, found, setup.catalogue);
      found[a] = judgedAxis(axis, setup.catalogue, { range, judging: ENFORCE });
    }
    return found;
  });
}

/** From the lightest to the heaviest that can ride on an axis. */
export function rangeOf(
  { riders }: AxisSetup,
  found: readonly (JudgedAxis | undefined)[],
  { motors, gearboxes }: Catalogue,
): MassCase {
  let [low, high] = [0, 0];
  for (const rider of riders) {
    const masses = (found[rider]?.looks ?? []).flatMap(({ judged }) =>
      judged.pairs.map(({ motor, gearbox }) => (motors[motor]?.mass ?? 0) + (gearboxes[gearbox]?.mass ?? 0)),
    );
    if (masses.length === 0) continue;
    low += masses.reduce((least, mass) => Math.min(least, mass));
    high += masses.reduce((most, mass) => Math.max(most, mass));
  }
  return { low, high };
}

function casesOf(
  { setup: { riders }, cases }: AxisColumns,
  kept: readonly AxisColumn[],
  found: readonly (AxisColumns | undefined)[],
): MassCase[] {
  const masses = riders.map((rider) => [...new Set(found[rider]?.columns.map(({ mass }) => mass) ?? [])]);
  if (masses.some((list) => list.length === 0)) return [{ low: 0, high: 0 }];
  const left = new Set(kept.map((column) => column.case));
  return refinedCases(
    cases.filter((_, c) => left.has(c)),
    masses,
  );
}

/** Columns that survive, by model group; `Picks` of more than one column. */
export type Survivors = readonly (readonly number[])[];

/** Keeps the survivors; axes that carry others are judged anew where what rides on them has narrowed. */
export function narrowed(round: Round, survivors: Survivors): AxisColumns[][] {
  return round.setup.machines.map((machine, m) => {
    const kept = machine.axes.map((_, a) => survivingColumns(round, { machine: m, axis: a }, survivors));
    const found: AxisColumns[] = [];
    for (const a of ridersFirst(machine)) {
      const before = round.columns[m]?.[a];
      if (before !== undefined)
        found[a] = narrowAxis(before, { kept: kept[a] ?? [], found, catalogue: round.setup.catalogue });
    }
    return found;
  });
}

function survivingColumns(
  { built, columns }: Round,
  { machine, axis }: { machine: number; axis: number },
  survivors: Survivors,
): AxisColumn[] {
  const g = built.places.findIndex(
    (place) => place.kind === "axes" && place.machine === machine && place.axes.includes(axis),
  );
  const place = built.places[g];
  if (place?.kind !== "axes") return [];
  const at = place.axes.indexOf(axis);
  const own = columns[machine]?.[axis]?.columns ?? [];
  return (survivors[g] ?? []).flatMap((k) => own[place.columns[k]?.[at] ?? -1] ?? []);
}

interface Narrowing {
  readonly kept: readonly AxisColumn[];
  readonly found: readonly (AxisColumns | undefined)[];
  readonly catalogue: Catalogue;
}

function narrowAxis(before: AxisColumns, { kept, found, catalogue }: Narrowing): AxisColumns {
  const cases = casesOf(before, kept, found);
  if (before.setup.riders.length === 0 || sameCases(cases, before.cases)) return { ...before, columns: kept };
  // What is left of the riders fits no case that is left: there is no answer.
  if (cases.length === 0) return { ...before, columns: [] };
  const gearboxes = catalogue.gearboxes.length + 1;
  const pairs = kept.map(({ pair }) => ({ motor: Math.floor(pair / gearboxes), gearbox: (pair % gearboxes) - 1 }));
  const judged = judgedByCase(before.setup, catalogue, {
    cases,
    judging: before.judging,
    only: onlyPairs(pairs),
  });
  const known = new Map<string, MassCase[]>();
  for (const column of kept) {
    const own = before.cases[column.case];
    if (own !== undefined) known.set(pickText(column), [...(known.get(pickText(column)) ?? []), own]);
  }
  const all = columnsOf(judged, catalogue, everyVisit(judged));
  const columns = all.columns.filter((column) =>
    known.get(pickText(column))?.some((one) => touches(one, cases[column.case])),
  );
  return { ...all, columns };
}

function sameCases(one: readonly MassCase[], other: readonly MassCase[]): boolean {
  return (
    one.length === other.length && one.every(({ low, high }, k) => low === other[k]?.low && high === other[k]?.high)
  );
}

/** Axes without a single candidate. */
export function emptyAxes(judged: readonly (readonly JudgedAxis[])[]): { machine: number; axis: number }[] {
  return judged.flatMap((machine, m) =>
    machine.flatMap((axis, a) => (pairsLeft(axis) === 0 ? [{ machine: m, axis: a }] : [])),
  );
}

/** Survivors that keep the columns of some picks whatever the bound says. */
export function withPicks(survivors: Survivors, picks: Picks | undefined): Survivors {
  if (picks === undefined) return survivors;
  return survivors.map((columns, g) => [...new Set([...columns, picks[g] ?? 0])].toSorted((a, b) => a - b));
}
