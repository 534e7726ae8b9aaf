import type { Catalogue } from "../machine/catalogue.ts";
import type { Axis, Site } from "../machine/problem.ts";
import type { Duty } from "../physics/duty/duty.ts";
import type { BusVoltage } from "../physics/limits/rating.ts";
import { type FitParts, frameFits } from "./fit.ts";
import { type DutyHull, dutyHull, gearDuty } from "./gear-duty.ts";
import { type HeatForms, heatFormsOf } from "./heat-form.ts";
import {
  type DriveQuestion,
  type DriveRoom,
  type DriveRow,
  type DriveStates,
  type DriveTable,
  driveDemand,
  driveTable,
  type Failures,
  judgeDrives,
  keptOutcome,
  newDriveRoom,
  type Outcome,
} from "./judge-drives.ts";
import { gearboxFails } from "./judge-gearbox.ts";
import type { HeatRules } from "./judge-heat.ts";
import { mechanismFails } from "./judge-mechanism.ts";
import { judgePair, type Pair } from "./judge-pair.ts";
import { adoptScan, goesOn, newScan, resetScan, type Scan, thresholdsOf } from "./limit-scan.ts";
import { type MotorRow, motorRow } from "./motor-row.ts";
import { countRejected, countUnfit, newTally, type Tally } from "./tally.ts";

/** A motor and gearbox that go on together. */
export interface JudgedPair extends Failures {
  readonly motor: number;
  /** −1: none. */
  readonly gearbox: number;
  readonly inductors: Outcome["inductors"];
}

/** Candidates of one axis, by catalogue index: pairs, and for each pair which drives go with it. */
export interface Judged {
  readonly pairs: readonly JudgedPair[];
  readonly drives: DriveTable;
  /** By pair. */
  readonly states: readonly DriveStates[];
  /** How many limits a candidate in it may fail. */
  readonly most: number;
  readonly tally: Tally;
}

/** What judging an axis reads. */
export interface JudgeInput {
  readonly axis: Axis;
  readonly site: Site;
  readonly bus: BusVoltage;
  readonly catalogue: Catalogue;
  readonly fit: FitParts;
  /** Only these motors, by gearbox (catalogue indices, −1: none); the tally then leaves the others out. */
  readonly only?: ReadonlyMap<number, readonly number[]>;
  /** Only what went on in another judging of the axis; the tally then counts no other drives. */
  readonly among?: Among;
}

/** The drives a motor with a gearbox goes on with, by drive index; undefined where it does not. */
export type Among = (motor: number, gearbox: number) => Uint8Array | undefined;

/**
 * Judges every combination of the catalogues on an axis, in stages: gearbox alone, motor with gearbox, drive.
 *
 * Optimistic by rounding: peaks come from the vertices of a hull and voltages from the quadrature nodes, so that nothing
 * feasible is dropped; what the solver keeps is judged again, exactly (`judgePick`). Cost grows with what survives.
 */
export function judgeAxis(input: JudgeInput, duty: Duty, most = 0): Judged {
  const { axis, catalogue, fit, site } = input;
  const rules: HeatRules = {
    thresholds: thresholdsOf(axis.needs),
    period: duty.period,
    rejectUnknown: axis.needs.rejectUnknown,
  };
  const drives = driveTable(input, rules);
  const run: Run = {
    input,
    duty,
    hull: dutyHull(duty),
    rows: motorsOf(input).flatMap((index) => {
      const motor = catalogue.motors[index];
      return motor === undefined ? [] : [motorRow(axis, { site, rules }, { motor, index })];
    }),
    drives,
    scan: newScan(drives.thresholds, most),
    room: newDriveRoom(drives, most),
    atNodes: new Float64Array(duty.nodes.count),
    heatForms: heatFormsOf(duty),
    pairs: [],
    states: [],
    tally: newTally(),
  };
  countLeftOut(run);
  for (const gearbox of fit.gearboxes) if (input.only?.has(gearbox) !== false) judgeGearbox(run, gearbox);
  return { pairs: run.pairs, drives, states: run.states, most, tally: run.tally };
}

function motorsOf({ fit, only }: JudgeInput): readonly number[] {
  if (only === undefined) return fit.motors;
  const wanted = new Set([...only.values()].flat());
  return fit.motors.filter((motor) => wanted.has(motor));
}

interface Run {
  readonly input: JudgeInput;
  readonly duty: Duty;
  readonly hull: DutyHull;
  readonly rows: readonly MotorRow[];
  readonly drives: DriveTable;
  readonly scan: Scan;
  readonly room: DriveRoom;
  readonly atNodes: Float64Array;
  readonly heatForms: HeatForms;
  readonly pairs: JudgedPair[];
  readonly states: DriveStates[];
  readonly tally: Tally;
}

/** Combinations with a part that cannot stand on the axis. */
function countLeftOut({ input: { catalogue, fit }, tally }: Run): void {
  const [gearboxes, drives] = [catalogue.gearboxes.length + 1, catalogue.drives.length];
  tally.judged = catalogue.motors.length * gearboxes * drives;
  for (const [reason, count] of fit.unfit.motors) countUnfit(tally, reason, count * gearboxes * drives);
  for (const [reason, count] of fit.unfit.gearboxes) countUnfit(tally, reason, count * fit.motors.length * drives);
  for (const [reason, count] of fit.unfit.drives) {
    countUnfit(tally, reason, count * fit.motors.length * fit.gearboxes.length);
  }
}

function judgeGearbox(run: Run, index: number): void {
  const { input, duty, rows, scan, tally, atNodes, heatForms } = run;
  const gearbox = input.catalogue.gearboxes[index];
  const only = input.only?.get(index);
  const asked = only === undefined ? rows : rows.filter((row) => only.includes(row.index));
  const fitting = asked.filter(({ motor }) => frameFits(motor, gearbox));
  countUnfit(tally, "frame", (asked.length - fitting.length) * input.fit.drives.length);
  resetScan(scan);
  mechanismFails(scan, duty, gearbox);
  if (gearbox !== undefined) gearboxFails(scan, duty, gearbox);
  if (!goesOn(scan)) {
    countRejected(tally, scan, drivesLeft(run, fitting, index));
    return;
  }
  const [first] = fitting;
  if (first === undefined) return;
  const geared = gearDuty(duty, run.hull, gearbox);
  const alone = { ...scan };
  const torque = { meanSquare: 0, peak: 0 };
  const pair: Geared = { row: first, gearbox, geared, duty, bus: input.bus, torque, atNodes, heatForms, index, alone };
  for (const row of fitting) {
    pair.row = row;
    judgeRow(run, pair);
  }
}

/** How many drives are still asked with these motors behind a gearbox. */
function drivesLeft({ input: { among, fit } }: Run, rows: readonly MotorRow[], gearbox: number): number {
  if (among === undefined) return rows.length * fit.drives.length;
  return rows.reduce((sum, row) => sum + (among(row.index, gearbox)?.filter((how) => how > 0).length ?? 0), 0);
}

interface Geared extends Pair {
  readonly index: number;
  /** What the gearbox fails whatever the motor. */
  readonly alone: Scan;
}

function judgeRow(run: Run, pair: Geared): void {
  const { input, scan, tally, drives } = run;
  const all = drives.byFeedback.get(pair.row.motor.feedback) ?? [];
  countUnfit(tally, "feedback", input.fit.drives.length - all.length);
  const left = input.among?.(pair.row.index, pair.index);
  const accepted = input.among === undefined ? all : all.filter(({ index }) => (left?.[index] ?? 0) > 0);
  if (accepted.length === 0) return;
  adoptScan(scan, pair.alone);
  if (!judgePair(scan, pair)) countUnfit(tally, "feedback", accepted.length);
  else if (goesOn(scan)) joinDrives(run, pair, accepted);
  else countRejected(tally, scan, accepted.length);
}

function joinDrives(run: Run, pair: Geared, accepted: readonly DriveRow[]): void {
  const { scan, room, duty, drives: table, tally } = run;
  const demand = driveDemand(pair.row, pair.torque, { duty, ratio: pair.geared.ratio });
  const question: DriveQuestion = { pair, demand, accepted, table, tally, inductors: undefined, heats: undefined };
  if (judgeDrives(scan, question, room) === 0) return;
  const { states, inductors } = keptOutcome(room, question.inductors);
  run.pairs.push({ motor: pair.row.index, gearbox: pair.index, inductors, failed: scan.failed, by: scan.by });
  run.states.push(states);
}
