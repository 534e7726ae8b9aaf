import type { Judged, JudgedPair } from "../candidates/judge-axis.ts";
import { DRIVE_STATE, type DriveStates } from "../candidates/judge-drives.ts";
import { judgeRuns } from "../candidates/judge-runs.ts";
import type { Tally } from "../candidates/tally.ts";
import { InternalFault } from "../faults/fault.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import { type Duty, dutyOf } from "../physics/duty/duty.ts";
import { binsOf, type MassCase } from "./mass-cases.ts";
import type { AxisSetup } from "./setup.ts";

/** How candidates are judged; where they may fail limits, which failures are accepted. */
export interface Judging {
  /** How many limits a candidate may fail. */
  readonly most: number;
  readonly accepts?: Accepts;
}

/** Whether failures (as `failedLimits` reads them) whose worst exceeds its threshold so many times are let through. */
export type Accepts = (failed: number, by: number) => boolean;

/** Limits as the problem has them. */
export const ENFORCE: Judging = { most: 0 };

/** One axis judged, its candidates still packed. */
export interface JudgedAxis {
  readonly setup: AxisSetup;
  /** Everything that can ride on it [kg]. */
  readonly range: MassCase;
  /** Cases of carried mass that candidates are told apart by, with the duties of each. */
  readonly cases: readonly MassCase[];
  readonly duties: readonly RunDuties[];
  /** Together they cover every case. */
  readonly looks: readonly Look[];
  readonly judging: Judging;
  readonly tally: Tally;
}

/** The duty of an axis in each of its machine's runs, the normal cycle first. */
export type RunDuties = readonly Duty[];

/** Candidates that hold in one case, or (judged over a range, from the safe side) in some of several. */
export interface Look {
  readonly judged: Judged;
  /** By index. */
  readonly cases: readonly number[];
}

/** Motors to look at, by gearbox (catalogue indices, −1: none). */
export type Only = ReadonlyMap<number, readonly number[]>;

/** Motors by gearbox of some pairs. */
export function onlyPairs(pairs: Iterable<{ readonly motor: number; readonly gearbox: number }>): Only {
  const only = new Map<number, Set<number>>();
  for (const { motor, gearbox } of pairs) {
    const motors = only.get(gearbox) ?? new Set();
    only.set(gearbox, motors.add(motor));
  }
  return new Map([...only].map(([gearbox, motors]) => [gearbox, [...motors]]));
}

/** How finely an axis is judged. */
export interface JudgingTask {
  readonly judging: Judging;
  readonly only?: Only | undefined;
}

/**
 * Judges an axis at once over everything that can ride on it. Power is told apart by case, but not where axes pick together:
 * they carry different loads, so a case of one is none of the other.
 */
export function judgedAxis(
  setup: AxisSetup,
  catalogue: Catalogue,
  { range, judging, only }: JudgingTask & { range: MassCase },
): JudgedAxis {
  const whole = dutiesOf(setup, range);
  const cases = setup.isShared ? [range] : binsOf(range);
  const duties = cases.length === 1 ? [whole] : cases.map((one) => dutiesOf(setup, one));
  const judged = judgedOn(setup, catalogue, { duties: whole, judging, only });
  const looks = [{ judged, cases: cases.map((_, c) => c) }];
  return { setup, range, cases, duties, looks, judging, tally: judged.tally };
}

/** Judges an axis case by case. Cost grows with the number of cases. */
export function judgedByCase(
  setup: AxisSetup,
  catalogue: Catalogue,
  { cases, judging, only }: JudgingTask & { cases: readonly MassCase[] },
): JudgedAxis {
  const duties = cases.map((one) => dutiesOf(setup, one));
  const looks = duties.map((own, c) => ({
    judged: judgedOn(setup, catalogue, { duties: own, judging, only }),
    cases: [c],
  }));
  const [first] = looks;
  if (first === undefined) throw new InternalFault("judgedByCase: no case");
  return { setup, range: spanOf(cases), cases, duties, looks, judging, tally: first.judged.tally };
}

/** What an axis asks in each run, over a range of carried mass. */
export function dutiesOf({ runs }: Pick<AxisSetup, "runs">, range: MassCase): RunDuties {
  return runs.map(({ axis, cycle }) => dutyOf(axis, cycle, range));
}

function spanOf(cases: readonly MassCase[]): MassCase {
  return {
    low: cases.reduce((least, { low }) => Math.min(least, low), Number.POSITIVE_INFINITY),
    high: cases.reduce((most, { high }) => Math.max(most, high), 0),
  };
}

interface LookTask {
  readonly duties: RunDuties;
  readonly judging: Judging;
  readonly only: Only | undefined;
}

function judgedOn(setup: AxisSetup, catalogue: Catalogue, { duties, judging, only }: LookTask): Judged {
  const { site, voltage: bus, fit, runs } = setup;
  const inputs = runs.map(({ axis }) => ({
    axis,
    site,
    bus,
    catalogue,
    fit,
    ...(only === undefined ? {} : { only }),
  }));
  const judged = judgeRuns(inputs, duties, judging.most);
  return judging.accepts === undefined ? judged : acceptedOf(judged, judging.accepts);
}

/** An axis whose limits were only surveyed, with the candidates whose failures are accepted. */
export function acceptedAxis(survey: JudgedAxis, accepts: Accepts): JudgedAxis {
  const looks = survey.looks.map(({ judged, cases }) => ({ judged: acceptedOf(judged, accepts), cases }));
  return { ...survey, looks, judging: { most: survey.judging.most, accepts } };
}

/** The candidates of a survey whose failures are accepted. */
function acceptedOf(judged: Judged, accepts: Accepts): Judged {
  return filtered(judged, (of) => acceptedStates(of, accepts));
}

/** The pairs of a judging that keep some drive, with the states they keep. */
export function filtered(
  judged: Judged,
  keeps: (states: DriveStates, pair: JudgedPair, index: number) => DriveStates | undefined,
): Judged {
  const pairs: JudgedPair[] = [];
  const states: DriveStates[] = [];
  judged.pairs.forEach((pair, p) => {
    const of = judged.states[p];
    const kept = of === undefined ? undefined : keeps(of, pair, p);
    if (kept === undefined) return;
    pairs.push(pair);
    states.push(kept);
  });
  return { ...judged, pairs, states };
}

/** States with only what is accepted; undefined where nothing is. Hot. */
function acceptedStates(of: DriveStates, accepts: Accepts): DriveStates | undefined {
  let state: Uint8Array | undefined;
  for (let drive = 0; drive < of.state.length; drive++) {
    const how = of.state[drive]!;
    const alone = how % 2 === 1 && accepts(of.marks[4 * drive]!, of.marks[4 * drive + 1]!);
    const inductor = how >= DRIVE_STATE.withInductor && accepts(of.marks[4 * drive + 2]!, of.marks[4 * drive + 3]!);
    if (!alone && !inductor) continue;
    state ??= new Uint8Array(of.state.length);
    state[drive] = (alone ? DRIVE_STATE.alone : 0) + (inductor ? DRIVE_STATE.withInductor : 0);
  }
  return state === undefined ? undefined : { ...of, state };
}

/** Number of motors with gearboxes that are left, in all cases. */
export function pairsLeft({ looks }: JudgedAxis): number {
  return looks.reduce((sum, { judged }) => sum + judged.pairs.length, 0);
}
