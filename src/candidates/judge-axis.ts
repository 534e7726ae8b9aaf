import type { Catalogue } from "../machine/catalogue.ts";
import type { Axis, Site } from "../machine/problem.ts";
import type { Duty } from "../physics/duty/duty.ts";
import type { BusVoltage } from "../physics/limits/rating.ts";
import { type DriveTable, driveTable, judgeDrives } from "./judge-drives.ts";
import { type FitParts, frameFits } from "./fit.ts";
import { type DutyHull, dutyHull, type GearDuty, gearDuty } from "./gear-duty.ts";
import { gearboxFails } from "./judge-gearbox.ts";
import { judgePair, type Pair } from "./judge-pair.ts";
import { newScan, resetScan, type Scan, thresholdsOf } from "./limit-scan.ts";
import { type MotorRow, motorRow } from "./motor-row.ts";
import { countRejected, countUnfit, newTally, type Tally } from "./tally.ts";

/** A motor and gearbox that pass together, and what they ask of a drive. */
export interface PassedPair {
  readonly motor: number;
  /** −1: none. */
  readonly gearbox: number;
  readonly meanSquareTorque: number;
  readonly peakTorque: number;
}

/** Candidates of one axis that pass, by catalogue index; arrays of equal length. */
export interface Judged {
  readonly pairs: readonly PassedPair[];
  /** Index into `pairs`. */
  readonly pair: readonly number[];
  readonly drive: readonly number[];
  /** −1: none. */
  readonly inductor: readonly number[];
  readonly tally: Tally;
}

/** What judging an axis reads. */
export interface JudgeInput {
  readonly axis: Axis;
  readonly site: Site;
  readonly bus: BusVoltage;
  readonly catalogue: Catalogue;
  readonly fit: FitParts;
}

/**
 * Judges every combination of the catalogues on an axis, in stages: gearbox alone, motor with gearbox, drive.
 *
 * Optimistic by rounding: peaks come from the vertices of a hull and voltages from the quadrature nodes, so that nothing
 * feasible is dropped; what the solver keeps is judged again, exactly (`judgePick`). Cost grows with what survives.
 */
export function judgeAxis(input: JudgeInput, duty: Duty): Judged {
  const { axis, catalogue, fit, site } = input;
  const hull = dutyHull(duty);
  const run: Run = {
    input,
    duty,
    hull,
    rows: fit.motors.flatMap((index) => {
      const motor = catalogue.motors[index];
      return motor === undefined ? [] : [motorRow(axis, site, { motor, index })];
    }),
    drives: driveTable(input),
    scan: newScan(thresholdsOf(axis.needs)),
    found: { pairs: [], pair: [], drive: [], inductor: [], tally: newTally() },
  };
  countLeftOut(run);
  for (const gearbox of fit.gearboxes) judgeGearbox(run, gearbox);
  return run.found;
}

interface Run {
  readonly input: JudgeInput;
  readonly duty: Duty;
  readonly hull: DutyHull;
  readonly rows: readonly MotorRow[];
  readonly drives: DriveTable;
  readonly scan: Scan;
  readonly found: { pairs: PassedPair[]; pair: number[]; drive: number[]; inductor: number[]; tally: Tally };
}

/** Combinations with a part that cannot stand on the axis. */
function countLeftOut({ input: { catalogue, fit }, found: { tally } }: Run): void {
  const [gearboxes, drives] = [catalogue.gearboxes.length + 1, catalogue.drives.length];
  tally.judged = catalogue.motors.length * gearboxes * drives;
  for (const [reason, count] of fit.unfit.motors) countUnfit(tally, reason, count * gearboxes * drives);
  for (const [reason, count] of fit.unfit.gearboxes) countUnfit(tally, reason, count * fit.motors.length * drives);
  for (const [reason, count] of fit.unfit.drives) {
    countUnfit(tally, reason, count * fit.motors.length * fit.gearboxes.length);
  }
}

function judgeGearbox(run: Run, index: number): void {
  const { input, duty, rows, scan, found } = run;
  const gearbox = input.catalogue.gearboxes[index];
  const fitting = rows.filter(({ motor }) => frameFits(motor, gearbox));
  countUnfit(found.tally, "frame", (rows.length - fitting.length) * input.fit.drives.length);
  resetScan(scan);
  if (gearbox !== undefined) gearboxFails(scan, duty, gearbox);
  if (scan.first >= 0) {
    countRejected(found.tally, scan, fitting.length * input.fit.drives.length);
    return;
  }
  const geared = gearDuty(duty, run.hull, gearbox);
  for (const row of fitting) judgeRow(run, { row, gearbox, geared, index });
}

interface Geared extends Omit<Pair, "duty" | "bus"> {
  readonly geared: GearDuty;
  readonly index: number;
}

function judgeRow(run: Run, pair: Geared): void {
  const { input, duty, scan, found, drives } = run;
  const accepted = drives.byFeedback.get(pair.row.motor.feedback) ?? [];
  countUnfit(found.tally, "feedback", input.fit.drives.length - accepted.length);
  if (accepted.length === 0) return;
  resetScan(scan);
  const torque = judgePair(scan, { ...pair, duty, bus: input.bus });
  if (torque === "unfit") {
    countUnfit(found.tally, "feedback", accepted.length);
    return;
  }
  if (scan.first >= 0) {
    countRejected(found.tally, scan, accepted.length);
    return;
  }
  const passed = judgeDrives(scan, drives, { ...pair, duty, torque, accepted, tally: found.tally });
  if (passed.length === 0) return;
  const at = found.pairs.push({ motor: pair.row.index, gearbox: pair.index, meanSquareTorque: torque.meanSquare, peakTorque: torque.peak }) - 1;
  for (const { drive, inductor } of passed) {
    found.pair.push(at);
    found.drive.push(drive);
    found.inductor.push(inductor);
  }
}
