import type { Judged } from "../candidates/judge-axis.ts";
import { entryOf } from "../faults/entry-of.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import { sharedPicks } from "../model/build.ts";
import { motorRating } from "../physics/limits/rating.ts";
import { filtered, type JudgedAxis, type Look } from "./judged-axis.ts";
import { quickFigures, type TakenRuns } from "./power-book.ts";
import type { PowerMemory } from "./power-memory.ts";
import type { Setup } from "./setup.ts";

/** Candidates of every axis, packed, by machine and axis. */
export type JudgedAxes = readonly (readonly JudgedAxis[])[];

/** What one group of the model can pick, packed, with the power of every motor with gearbox worked out. */
export interface Field {
  readonly machine: number;
  /** Axes that pick together; mostly one. */
  readonly axes: readonly number[];
  /** The first of them stands for all: it holds only what each of them can pick. */
  readonly lead: JudgedAxis;
  /** All of them, the lead in the first one's place. */
  readonly members: readonly JudgedAxis[];
  readonly power: readonly LookPower[];
}

/** Least mean power by motor with gearbox and case: entry `pair · cases + case` of a look. */
export interface LookPower {
  /** Shaft power and heat [W]. */
  readonly base: Float64Array;
  /** Mean current [A]. */
  readonly current: Float64Array;
}

/** How energy counts: over which spans of each bus, and whether it costs anything. */
export interface Counting {
  readonly memory: PowerMemory;
  /** By run of the machine. */
  readonly takenOf: (machine: number, bus: number) => TakenRuns;
  readonly isFree: boolean;
}

/** A field for each group of axes, machine by machine in the order of the model. */
export function fieldsOf(setup: Setup, judged: JudgedAxes, counting: Counting): Field[] {
  return setup.machines.flatMap((machine, m) =>
    sharedPicks(machine).flatMap((axes) => {
      const [first, ...others] = axes.flatMap((a) => judged[m]?.[a] ?? []);
      if (first === undefined) return [];
      const lead = others.reduce(common, first);
      const bare = { machine: m, axes, lead, members: [lead, ...others] };
      return [poweredField(bare, { catalogue: setup.catalogue, counting })];
    }),
  );
}

/** The same field with the power of its candidates worked out (anew). */
export function poweredField(
  { machine, axes, lead, members }: Omit<Field, "power">,
  { catalogue, counting }: { catalogue: Catalogue; counting: Counting },
): Field {
  const worked = (look: Look): LookPower => {
    const size = look.judged.pairs.length * look.cases.length;
    const sums = { base: new Float64Array(size), current: new Float64Array(size) };
    for (const member of counting.isFree ? [] : members) addPower(sums, look, { member, counting, machine, catalogue });
    return sums;
  };
  const isOne = members.length === 1;
  const taken = counting.takenOf(machine, lead.setup.bus);
  const power = lead.looks.map((look) =>
    isOne ? counting.memory.power(look, taken, () => worked(look)) : worked(look),
  );
  return { machine, axes, lead, members, power };
}

/** Hot: one closed form for each motor with gearbox and case. */
function addPower(
  { base, current }: LookPower,
  { judged, cases }: Look,
  {
    member,
    counting,
    machine,
    catalogue,
  }: { member: JudgedAxis; counting: Counting; machine: number; catalogue: Catalogue },
): void {
  const { axis, site, bus } = member.setup;
  const ratings = catalogue.motors.map((motor) => motorRating(motor, axis.needs, site));
  const taken = counting.takenOf(machine, bus);
  cases.forEach((c, at) => {
    const duties = member.duties[member.duties.length === 1 ? 0 : c] ?? [];
    duties.forEach((duty, run) => {
      const own = entryOf(taken, run);
      const quick = counting.memory.quick(duty, own);
      judged.pairs.forEach(({ motor: m, gearbox: g }, p) => {
        const [motor, rating] = [catalogue.motors[m], ratings[m]];
        if (motor === undefined || rating === undefined) return;
        const found = quickFigures(quick, { motor, rating, gearbox: catalogue.gearboxes[g] });
        base[p * cases.length + at]! += own.weight * found.base;
        current[p * cases.length + at]! += own.weight * found.current;
      });
    });
  });
}

/** What both of two axes can pick; as the first one was judged. Both are judged in one look. */
function common(axis: JudgedAxis, other: JudgedAxis): JudgedAxis {
  const states = new Map<string, Judged["states"][number]>();
  for (const { judged } of other.looks)
    judged.pairs.forEach(({ motor, gearbox }, p) => {
      const of = judged.states[p];
      if (of !== undefined) states.set(`${motor} ${gearbox}`, of);
    });
  const looks = axis.looks.map(({ judged, cases }) => ({
    cases,
    judged: filtered(judged, (of, { motor, gearbox }) => {
      const also = states.get(`${motor} ${gearbox}`);
      if (also === undefined) return undefined;
      // Alone (1) and with an inductor (2) are bits.
      return { ...of, state: of.state.map((how, drive) => how & (also.state[drive] ?? 0)) };
    }),
  }));
  return { ...axis, looks };
}
