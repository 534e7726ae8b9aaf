import { type Candidate, candidateOf, eachCandidate } from "../candidates/each-candidate.ts";
import { type Judged, judgeAxis } from "../candidates/judge-axis.ts";
import type { Failures } from "../candidates/judge-drives.ts";
import type { JudgingMode } from "../candidates/limit-scan.ts";
import { newTally, type Tally } from "../candidates/tally.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import { type Duty, dutyOf } from "../physics/duty/duty.ts";
import type { PickParts } from "../physics/limits/pick-duty.ts";
import { ridingMass } from "./answer.ts";
import type { MassCase } from "./mass-cases.ts";
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

/** Candidates of one axis with the duties they were judged on, one per case of carried mass. */
export interface AxisColumns {
  readonly setup: AxisSetup;
  readonly cases: readonly MassCase[];
  readonly duties: readonly Duty[];
  readonly columns: readonly AxisColumn[];
  readonly mode: JudgingMode;
  readonly tally: Tally;
}

/** An axis judged over one range of carried mass, its candidates still packed. */
export interface JudgedAxis {
  readonly setup: AxisSetup;
  readonly range: MassCase;
  readonly duty: Duty;
  readonly judged: Judged;
  /** Where limits were surveyed: which failures to look at. */
  readonly accepts?: (failures: Failures) => boolean;
}

/** Judges an axis over a range of carried mass. */
export function judgedAxis(setup: AxisSetup, catalogue: Catalogue, { range, mode }: { range: MassCase; mode: JudgingMode }): JudgedAxis {
  const duty = dutyOf(setup.axis, setup.cycle, range);
  const input = { axis: setup.axis, site: setup.site, bus: setup.voltage, catalogue, fit: setup.fit };
  return { setup, range, duty, judged: judgeAxis(input, duty, mode) };
}

/** Judges an axis in every case of carried mass. Cost grows with the number of cases. */
export function axisColumns(
  setup: AxisSetup,
  catalogue: Catalogue,
  { cases, mode }: { cases: readonly MassCase[]; mode: JudgingMode },
): AxisColumns {
  const all = cases.map((range) => judgedAxis(setup, catalogue, { range, mode }));
  const tally = all[0]?.judged.tally ?? newTally();
  return { setup, cases, duties: all.map(({ duty }) => duty), columns: merged(all, catalogue, cases), mode, tally };
}

function merged(all: readonly JudgedAxis[], catalogue: Catalogue, cases: readonly MassCase[]): AxisColumn[] {
  const found = new Map<string, { candidate: Candidate; passing: number[] }>();
  all.forEach(({ judged }, c) => {
    eachCandidate(judged, (pair, drive, inductor) => {
      const key = `${pair.motor} ${pair.gearbox} ${drive} ${inductor}`;
      const entry = found.get(key);
      if (entry !== undefined) entry.passing.push(c);
      else found.set(key, { candidate: candidateOf(judged, { pair, drive, inductor }), passing: [c] });
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
