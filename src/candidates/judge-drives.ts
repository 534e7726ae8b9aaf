import type { Drive, Feedback, Inductor } from "../machine/catalogue.ts";
import type { Duty } from "../physics/duty/duty.ts";
import { allowedRipple, electricalFrequency, peakCurrentAt, rippleCurrent } from "../physics/limits/drive-limits.ts";
import { cabinetFactor } from "../physics/limits/rating.ts";
import type { GearDuty } from "./gear-duty.ts";
import type { JudgeInput } from "./judge-axis.ts";
import type { PairTorque } from "./judge-pair.ts";
import { adoptScan, limitIndex, newScan, type Scan, see } from "./limit-scan.ts";
import type { MotorRow } from "./motor-row.ts";
import { countRejected, type Tally } from "./tally.ts";

const CONTINUOUS = limitIndex("drive.continuous_current");
const PEAK = limitIndex("drive.peak_current");
const RIPPLE = limitIndex("drive.ripple_current");
const FREQUENCY = limitIndex("drive.frequency");
const INDUCTOR = limitIndex("inductor.continuous_current");

interface DriveRow {
  readonly index: number;
  readonly drive: Drive;
  /** Derated [A]. */
  readonly continuous: number;
}

/** Drives and inductors as one axis sees them. */
export interface DriveTable {
  readonly byFeedback: ReadonlyMap<Feedback, readonly DriveRow[]>;
  readonly inductors: readonly { readonly index: number; readonly inductor: Inductor }[];
  readonly highestBus: number;
}

export function driveTable({ catalogue, fit, site, bus }: JudgeInput): DriveTable {
  const factor = cabinetFactor(site);
  const byFeedback = new Map<Feedback, DriveRow[]>();
  for (const index of fit.drives) {
    const drive = catalogue.drives[index];
    if (drive === undefined) continue;
    const row = { index, drive, continuous: drive.continuousCurrent * factor };
    for (const kind of drive.feedback) byFeedback.set(kind, [...(byFeedback.get(kind) ?? []), row]);
  }
  const inductors = fit.inductors.flatMap((index) => {
    const inductor = catalogue.inductors[index];
    return inductor === undefined ? [] : [{ index, inductor }];
  });
  return { byFeedback, inductors, highestBus: bus.high };
}

/** A pair that passed, to be joined with drives. */
interface DriveQuestion {
  readonly row: MotorRow;
  readonly geared: GearDuty;
  readonly duty: Duty;
  readonly torque: PairTorque;
  readonly accepted: readonly DriveRow[];
  readonly tally: Tally;
}

interface Currents {
  readonly rms: number;
  readonly demand: number;
  readonly peak: number;
  readonly frequency: number;
  readonly ripple: number;
}

/** Drives (with a series inductor where the ripple asks for one) that pass with a pair; the rest is counted. */
export function judgeDrives(scan: Scan, table: DriveTable, question: DriveQuestion): { drive: number; inductor: number }[] {
  const currents = currentsOf(question);
  const bare = newScan(scan.thresholds);
  const passed: { drive: number; inductor: number }[] = [];
  for (const drive of question.accepted) {
    const before = passed.length;
    adoptScan(bare, scan);
    seeDrive(bare, question, { drive, currents });
    const ripple = rippleCurrent(drive.drive, table.highestBus, question.row.motor.inductance / 2).rms / currents.ripple;
    const beforeRipple = bare.first;
    see(bare, RIPPLE, ripple);
    if (bare.first < 0) passed.push({ drive: drive.index, inductor: -1 });
    else if (beforeRipple >= 0) countRejected(question.tally, bare, 1);
    else {
      const helped = helpingInductors(scan, table, { question, drive: drive.drive, currents });
      passed.push(...helped.map((inductor) => ({ drive: drive.index, inductor })));
      if (helped.length === 0) countRejected(question.tally, bare, 1);
    }
    if (passed.length > before) question.tally.passed += 1;
  }
  return passed;
}

function currentsOf({ row, geared, duty, torque }: DriveQuestion): Currents {
  const { needs } = duty.axis;
  const margin = 1 + needs.currentMargin;
  const rms = Math.sqrt(torque.meanSquare) * row.rating.currentPerTorque;
  return {
    rms,
    demand: rms * margin,
    peak: peakCurrentAt(row.motor, row.rating.alignment, torque.peak) * margin,
    frequency: electricalFrequency(row.motor, geared.ratio * duty.peakSpeed.value),
    ripple: allowedRipple(row.motor, needs.rippleCurrent),
  };
}

function seeDrive(
  scan: Scan,
  { duty }: DriveQuestion,
  { drive: { drive, continuous }, currents }: { drive: DriveRow; currents: Currents },
): void {
  see(scan, CONTINUOUS, continuous > 0 ? currents.demand / continuous : Number.POSITIVE_INFINITY);
  see(scan, PEAK, currents.peak / drive.peakCurrent);
  if (drive.maxFrequency !== undefined) see(scan, FREQUENCY, currents.frequency / drive.maxFrequency);
  else if (duty.axis.needs.rejectUnknown) see(scan, FREQUENCY, Number.POSITIVE_INFINITY);
}

function helpingInductors(
  pairScan: Scan,
  { inductors, highestBus }: DriveTable,
  { question, drive, currents }: { question: DriveQuestion; drive: Drive; currents: Currents },
): number[] {
  const helping: number[] = [];
  inductors.forEach(({ index, inductor }) => {
    const scan = newScan(pairScan.thresholds);
    const phase = question.row.motor.inductance / 2 + inductor.inductance;
    see(scan, RIPPLE, rippleCurrent(drive, highestBus, phase).rms / currents.ripple);
    see(scan, INDUCTOR, currents.rms / inductor.continuousCurrent);
    if (scan.first < 0) helping.push(index);
  });
  return helping;
}
