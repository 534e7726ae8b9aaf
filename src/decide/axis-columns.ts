import { type Candidate, candidateOf, eachCandidate, failuresOf } from "../candidates/each-candidate.ts";
import { type Judged, type JudgedPair, judgeAxis } from "../candidates/judge-axis.ts";
import { DRIVE_STATE, type DriveStates, type Failures, newStates } from "../candidates/judge-drives.ts";
import type { JudgingMode } from "../candidates/limit-scan.ts";
import { newTally, type Tally } from "../candidates/tally.ts";
import { InternalFault } from "../faults/fault.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import { type Duty, dutyOf } from "../physics/duty/duty.ts";
import type { PickParts } from "../physics/limits/pick-duty.ts";
import { ridingMass } from "./answer.ts";
import { binsOf, type MassCase } from "./mass-cases.ts";
import type { AxisSetup } from "./setup.ts";

/** A candidate that passes its axis's limits in at least one case of carried mass. */
export interface AxisColumn extends PickParts, Failures {
  /** Identifies motor and gearbox within the axis. */
  readonly pair: number;
  /** Motor and gearbox [kg]. */
  readonly mass: number;
  /** Cases (by index) in which it passes. */
  readonly cases: readonly number[];
  /** Largest carried mass it passes with [kg]; Infinity where nothing rides on the axis. */
  readonly capacity: number;
  /** Peak torque of the first passing case, as judged [N·m]. */
  readonly peakTorque: number;
}

/** How candidates are judged; where limits are only surveyed, which failures are accepted. */
export interface Judging {
  readonly mode: JudgingMode;
  readonly accepts?: Accepts;
}

/** Whether failures (as `failedLimits` reads them) whose worst exceeds its threshold so many times are let through. */
export type Accepts = (failed: number, by: number) => boolean;

/** Limits as the problem has them. */
const ENFORCE: Judging = { mode: "enforce" };

/** Candidates of one axis with the duties they were judged on, one per case of carried mass. */
export interface AxisColumns {
  readonly setup: AxisSetup;
  readonly cases: readonly MassCase[];
  readonly duties: readonly Duty[];
  readonly columns: readonly AxisColumn[];
  readonly judging: Judging;
  readonly tally: Tally;
}

/** An axis judged over one range of carried mass, its candidates still packed. */
export interface JudgedAxis {
  readonly setup: AxisSetup;
  readonly range: MassCase;
  readonly judged: Judged;
  /** The range cut finer, with the duty of each part: what power is bounded with. */
  readonly bins: readonly MassCase[];
  readonly duties: readonly Duty[];
  readonly judging: Judging;
}

/** Judges an axis over a range of carried mass. */
export function judgedAxis(setup: AxisSetup, catalogue: Catalogue, range: MassCase): JudgedAxis {
  const duty = dutyOf(setup.axis, setup.cycle, range);
  const bins = binsOf(range);
  const duties = bins.length === 1 ? [duty] : bins.map((bin) => dutyOf(setup.axis, setup.cycle, bin));
  return {
    setup,
    range,
    bins,
    duties,
    judging: ENFORCE,
    judged: judgedOn(setup, catalogue, { duty, mode: "enforce" }),
  };
}

/** Every candidate of an axis with what it fails, in each part of the range of carried mass. */
export interface SurveyedAxis {
  readonly setup: AxisSetup;
  readonly range: MassCase;
  readonly bins: readonly MassCase[];
  readonly duties: readonly Duty[];
  readonly judged: readonly Judged[];
}

/** A survey asks more of each candidate than judging: it is made on fewer parts of the range. */
const SURVEY_BINS = 4;

/** Surveys an axis: limits are noted, not enforced. */
export function surveyedAxis(setup: AxisSetup, catalogue: Catalogue, range: MassCase): SurveyedAxis {
  const bins = binsOf(range, SURVEY_BINS);
  const duties = bins.map((bin) => dutyOf(setup.axis, setup.cycle, bin));
  return {
    setup,
    range,
    bins,
    duties,
    judged: duties.map((duty) => judgedOn(setup, catalogue, { duty, mode: "survey" })),
  };
}

/** The candidates whose failures are accepted in some part of the range. */
export function acceptedOf({ setup, range, bins, duties, judged }: SurveyedAxis, accepts: Accepts): JudgedAxis {
  const [first] = judged;
  if (first === undefined) throw new InternalFault("acceptedOf: nothing was surveyed");
  const found = new Map<number, { pair: JudgedPair; states: DriveStates }>();
  for (const one of judged) {
    one.pairs.forEach((pair, p) => {
      const of = one.states[p];
      const key = pair.motor * 65536 + pair.gearbox;
      const known = found.get(key);
      const states = of === undefined ? undefined : acceptedStates(of, known?.states, accepts);
      if (states !== undefined) found.set(key, { pair: known?.pair ?? pair, states });
    });
  }
  const kept = [...found.values()];
  const packed = { ...first, pairs: kept.map(({ pair }) => pair), states: kept.map(({ states }) => states) };
  return { setup, range, bins, duties, judging: { mode: "survey", accepts }, judged: packed };
}

/** States with only what is accepted, added to what was accepted before; undefined where nothing is. Hot. */
function acceptedStates(of: DriveStates, before: DriveStates | undefined, accepts: Accepts): DriveStates | undefined {
  let into = before;
  for (let drive = 0; drive < of.state.length; drive++) {
    const fresh = freshStates(of, into, { drive, accepts });
    if (fresh === 0) continue;
    into ??= newStates(of.state.length, "survey");
    into.state[drive]! += fresh;
    if (fresh % 2 === 1) copyFailure(of.failed, of.by, { to: into.failed, by: into.by, drive });
    if (fresh >= DRIVE_STATE.withInductor)
      copyFailure(of.failedButRipple, of.byButRipple, { to: into.failedButRipple, by: into.byButRipple, drive });
  }
  return into;
}

/** What of a drive's state is accepted and was not before. */
function freshStates(
  of: DriveStates,
  into: DriveStates | undefined,
  { drive, accepts }: { drive: number; accepts: Accepts },
): number {
  const how = of.state[drive]!;
  const was = into === undefined ? 0 : into.state[drive]!;
  const alone = how % 2 === 1 && was % 2 === 0 && accepts(of.failed[drive]!, of.by[drive]!);
  const inductor =
    how >= DRIVE_STATE.withInductor &&
    was < DRIVE_STATE.withInductor &&
    accepts(of.failedButRipple[drive]!, of.byButRipple[drive]!);
  return (alone ? DRIVE_STATE.alone : 0) + (inductor ? DRIVE_STATE.withInductor : 0);
}

function copyFailure(
  failed: Float64Array,
  by: Float64Array,
  { to, by: into, drive }: { to: Float64Array; by: Float64Array; drive: number },
): void {
  to[drive] = failed[drive] ?? 0;
  into[drive] = by[drive] ?? 0;
}

function judgedOn(setup: AxisSetup, catalogue: Catalogue, { duty, mode }: { duty: Duty; mode: JudgingMode }): Judged {
  const { axis, site, voltage: bus, fit } = setup;
  return judgeAxis({ axis, site, bus, catalogue, fit }, duty, mode);
}

/** Judges an axis in every case of carried mass. Cost grows with the number of cases. */
export function axisColumns(
  setup: AxisSetup,
  catalogue: Catalogue,
  { cases, judging }: { cases: readonly MassCase[]; judging: Judging },
): AxisColumns {
  const duties = cases.map((range) => dutyOf(setup.axis, setup.cycle, range));
  const all = duties.map((duty) => judgedOn(setup, catalogue, { duty, mode: judging.mode }));
  return {
    setup,
    cases,
    duties,
    columns: merged(all, catalogue, { cases, judging }),
    judging,
    tally: all[0]?.tally ?? newTally(),
  };
}

function merged(
  all: readonly Judged[],
  catalogue: Catalogue,
  { cases, judging }: { cases: readonly MassCase[]; judging: Judging },
): AxisColumn[] {
  const found = new Map<string, { candidate: Candidate; passing: number[] }>();
  all.forEach((judged, c) => {
    eachCandidate(judged, (pair, drive, inductor, index) => {
      const { failed, by } = failuresOf(judged, { index, drive, inductor });
      if (judging.accepts?.(failed, by) === false) return;
      const key = `${pair.motor} ${pair.gearbox} ${drive} ${inductor}`;
      const entry = found.get(key);
      if (entry !== undefined) entry.passing.push(c);
      else found.set(key, { candidate: candidateOf(judged, { pair, drive, inductor, index }), passing: [c] });
    });
  });
  return [...found.values()].flatMap(({ candidate, passing }) => columnOf(candidate, catalogue, { passing, cases }));
}

/** A candidate as a column. */
export function columnOf(
  candidate: Candidate,
  { motors, gearboxes, drives, inductors }: Catalogue,
  { passing, cases }: { passing: readonly number[]; cases: readonly MassCase[] },
): AxisColumn[] {
  const [motor, drive] = [motors[candidate.motor], drives[candidate.drive]];
  if (motor === undefined || drive === undefined) return [];
  const parts = { motor, gearbox: gearboxes[candidate.gearbox], drive, inductor: inductors[candidate.inductor] };
  return [
    {
      ...parts,
      pair: candidate.motor * (gearboxes.length + 1) + candidate.gearbox + 1,
      mass: ridingMass(parts),
      cases: passing,
      capacity: Math.max(...passing.map((c) => cases[c]?.high ?? 0)),
      peakTorque: candidate.peakTorque,
      failed: candidate.failed,
      by: candidate.by,
    },
  ];
}
