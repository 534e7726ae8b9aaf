import { type Candidate, candidateOf, eachCandidate } from "../candidates/each-candidate.ts";
import type { Failures } from "../candidates/judge-drives.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import type { PickParts } from "../physics/limits/pick-duty.ts";
import { ridingMass } from "./answer.ts";
import type { JudgedAxis, Judging, Look, RunDuties } from "./judged-axis.ts";
import type { MassCase } from "./mass-cases.ts";
import type { AxisSetup } from "./setup.ts";

/** A candidate that passes its axis's limits in one case of carried mass. */
export interface AxisColumn extends PickParts, Failures {
  /** Identifies motor and gearbox within the axis. */
  readonly pair: number;
  /** Motor and gearbox [kg]. */
  readonly mass: number;
  /** Case (by index) in which it passes. */
  readonly case: number;
  /** Heaviest load of that case [kg]. */
  readonly capacity: number;
  /** Lightest load of that case [kg]. */
  readonly lightest: number;
}

/** Candidates of one axis with the duties they were judged on, one per case of carried mass. */
export interface AxisColumns {
  readonly setup: AxisSetup;
  readonly cases: readonly MassCase[];
  readonly duties: readonly RunDuties[];
  readonly columns: readonly AxisColumn[];
  readonly judging: Judging;
}

/** A packed candidate in one of its cases. */
export interface Visit {
  readonly look: Look;
  /** Index of motor with gearbox in the look. */
  readonly index: number;
  readonly drive: number;
  /** −1: none. */
  readonly inductor: number;
  readonly case: number;
}

/** Every candidate of an axis in every case it is looked at in. */
export function everyVisit({ looks }: JudgedAxis): Visit[] {
  const visits: Visit[] = [];
  for (const look of looks)
    eachCandidate(look.judged, (_, drive, inductor, index) => {
      for (const at of look.cases) visits.push({ look, index, drive, inductor, case: at });
    });
  return visits;
}

/** Some candidates of an axis as columns. */
export function columnsOf(axis: JudgedAxis, catalogue: Catalogue, visits: Iterable<Visit>): AxisColumns {
  const { setup, cases, duties, judging } = axis;
  const columns: AxisColumn[] = [];
  for (const { look, index, drive, inductor, case: at } of visits) {
    const pair = look.judged.pairs[index];
    if (pair === undefined) continue;
    const candidate = candidateOf(look.judged, { pair, index, drive, inductor });
    const column = columnOf(candidate, catalogue, { at, cases });
    if (column !== undefined) columns.push(column);
  }
  return { setup, cases, duties, columns, judging };
}

/** A candidate as a column of one case. */
export function columnOf(
  candidate: Candidate,
  { motors, gearboxes, drives, inductors }: Catalogue,
  { at, cases }: { at: number; cases: readonly MassCase[] },
): AxisColumn | undefined {
  const [motor, drive] = [motors[candidate.motor], drives[candidate.drive]];
  if (motor === undefined || drive === undefined) return undefined;
  const gearbox = gearboxes[candidate.gearbox];
  return {
    motor,
    gearbox,
    drive,
    inductor: inductors[candidate.inductor],
    pair: candidate.motor * (gearboxes.length + 1) + candidate.gearbox + 1,
    mass: ridingMass({ motor, gearbox }),
    case: at,
    capacity: cases[at]?.high ?? 0,
    lightest: cases[at]?.low ?? 0,
    failed: candidate.failed,
    by: candidate.by,
  };
}
