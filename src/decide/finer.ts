import type { DriveStates } from "../candidates/judge-drives.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import type { Field } from "./field.ts";
import { filtered, type JudgedAxis, judgedByCase, type Look, onlyPairs } from "./judged-axis.ts";
import { cutAt, type MassCase, refinedCases, touches } from "./mass-cases.ts";
import { type MachineSetup, ridersFirst, type Setup } from "./setup.ts";

/** Share of its width that a range of carried mass must lose to be worth judging again. */
const WORTH = 0.15;

/** What is judged finer. */
export interface FinerTask {
  readonly fields: readonly Field[];
  /** By field: what is left. */
  readonly leads: readonly JudgedAxis[];
  readonly strains: Strains;
  /** An axis with more motors with gearboxes times cases than this waits. */
  readonly most: number;
}

/** Carried masses at which answers failed that a model took for good, by field. */
export type Strains = readonly ReadonlySet<number>[];

/**
 * Judges what carries others anew, case by case, where what rides on it has narrowed, where it was judged over a whole range
 * before, and at the masses at which answers failed. Only candidates that were left are left afterwards.
 */
export function finer(
  setup: Setup,
  { fields, leads, strains, most }: FinerTask,
): { readonly leads: readonly JudgedAxis[]; readonly isFiner: boolean } {
  const next = [...leads];
  let isFiner = false;
  setup.machines.forEach((machine, m) => {
    const at = (axis: number): number => fields.findIndex((field) => field.machine === m && field.axes.includes(axis));
    for (const a of ridersFirst(machine)) {
      const f = at(a);
      const [lead, field] = [next[f], fields[f]];
      if (lead === undefined || lead.setup.riders.length === 0 || field?.axes.length !== 1) continue;
      const masses = massesOn(machine, a, { leadOf: (axis) => next[at(axis)], catalogue: setup.catalogue });
      const cases = newCases(lead, masses, [...(strains[f] ?? [])]);
      if (cases === undefined || workOf(lead, cases) > most) continue;
      isFiner = true;
      next[f] = judgedFiner(lead, setup.catalogue, cases);
    }
  });
  return { leads: next, isFiner };
}

/** Masses that each rider of an axis can have now. */
function massesOn(
  { axes }: MachineSetup,
  axis: number,
  { leadOf, catalogue }: { leadOf: (axis: number) => JudgedAxis | undefined; catalogue: Catalogue },
): number[][] {
  return (axes[axis]?.riders ?? []).map((rider) => [
    ...new Set(
      (leadOf(rider)?.looks ?? []).flatMap(({ judged }) => judged.pairs.map((pair) => massOf(pair, catalogue))),
    ),
  ]);
}

function massOf({ motor, gearbox }: { motor: number; gearbox: number }, { motors, gearboxes }: Catalogue): number {
  return (motors[motor]?.mass ?? 0) + (gearboxes[gearbox]?.mass ?? 0);
}

/** Cases worth judging an axis by; undefined where those it has will do. */
function newCases(
  { looks, cases: before }: JudgedAxis,
  masses: readonly (readonly number[])[],
  strains: readonly number[],
): MassCase[] | undefined {
  if (looks.length === 0 || masses.some((list) => list.length === 0)) return undefined;
  const isCoarse = looks.some((look) => look.cases.length > 1);
  const left = before.filter((_, c) => looks.some((look) => look.cases.includes(c)));
  const cases = cutAt(refinedCases(left, masses), strains);
  const isFiner = isCoarse || totalWidth(cases) < (1 - WORTH) * totalWidth(before);
  const isCut = cutAt(before, strains).length > before.length;
  return cases.length > 0 && (isFiner || isCut || widest(cases) < (1 - WORTH) * widest(left)) ? cases : undefined;
}

function widest(cases: readonly MassCase[]): number {
  return cases.reduce((most, { low, high }) => Math.max(most, high - low), 0);
}

function workOf({ looks }: JudgedAxis, cases: readonly MassCase[]): number {
  return cases.length * Math.max(...looks.map(({ judged }) => judged.pairs.length));
}

/** Widths of all cases together: 0 where every mass is a case of its own. */
function totalWidth(cases: readonly MassCase[]): number {
  return cases.reduce((sum, { low, high }) => sum + high - low, 0);
}

function judgedFiner(lead: JudgedAxis, catalogue: Catalogue, cases: readonly MassCase[]): JudgedAxis {
  const known = new Map<number, { states: DriveStates; covers: readonly MassCase[] }[]>();
  const keyOf = (motor: number, gearbox: number): number => motor * (catalogue.gearboxes.length + 1) + gearbox + 1;
  for (const { judged, cases: covered } of lead.looks)
    judged.pairs.forEach(({ motor, gearbox }, p) => {
      const states = judged.states[p];
      const key = keyOf(motor, gearbox);
      const covers = covered.flatMap((c) => lead.cases[c] ?? []);
      if (states !== undefined) known.set(key, [...(known.get(key) ?? []), { states, covers }]);
    });
  const judged = judgedByCase(lead.setup, catalogue, {
    cases,
    judging: lead.judging,
    only: onlyPairs(lead.looks.flatMap((look) => look.judged.pairs)),
  });
  const looks = judged.looks.flatMap((look): Look[] => {
    const own = cases[look.cases[0] ?? -1];
    const left = filtered(look.judged, (of, { motor, gearbox }) => {
      const before = (known.get(keyOf(motor, gearbox)) ?? []).filter(
        ({ covers }) => own !== undefined && covers.some((c) => touches(c, own)),
      );
      if (before.length === 0) return undefined;
      const state = of.state.map(
        (how, drive) => how & before.reduce((all, { states }) => all | (states.state[drive] ?? 0), 0),
      );
      return state.some((how) => how > 0) ? { ...of, state } : undefined;
    });
    return left.pairs.length === 0 ? [] : [{ judged: left, cases: look.cases }];
  });
  return { ...judged, looks, tally: lead.tally };
}
