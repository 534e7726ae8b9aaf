import type { Drive, Feedback, Inductor } from "../machine/catalogue.ts";
import type { Needs } from "../machine/problem.ts";
import type { Duty } from "../physics/duty/duty.ts";
import { torqueRippleOf } from "../physics/limits/axis-limits.ts";
import { allowedRipple, electricalFrequency, peakCurrentAt, rippleCurrent } from "../physics/limits/drive-limits.ts";
import { overloadTime } from "../physics/limits/heat-limits.ts";
import { cabinetFactor } from "../physics/limits/rating.ts";
import type { JudgeInput } from "./judge-axis.ts";
import { type HeatRules, type OverloadQuestion, restfulCurrent, seeOverload } from "./judge-heat.ts";
import type { PairTorque } from "./judge-pair.ts";
import { adoptScan, goesOn, limitIndex, newScan, resetScan, type Scan, see, share } from "./limit-scan.ts";
import type { MotorRow } from "./motor-row.ts";
import { countRejected, type Tally } from "./tally.ts";

const CONTINUOUS = limitIndex("drive.continuous_current");
const PEAK = limitIndex("drive.peak_current");
const RIPPLE = limitIndex("drive.ripple_current");
const FREQUENCY = limitIndex("drive.frequency");
const TORQUE_RIPPLE = limitIndex("axis.torque_ripple");
const INDUCTOR = limitIndex("inductor.continuous_current");

/** A drive as one axis sees it. */
export interface DriveRow {
  readonly index: number;
  readonly drive: Drive;
  /** Derated [A]. */
  readonly continuous: number;
  /** Highest electrical frequency [Hz]; Infinity where it is not known and need not be. */
  readonly frequency: number;
  /** Time constant of its overload [s]; undefined: none. */
  readonly overloadTime: number | undefined;
  /** Ripple of the torque by commutation, as a share of what the axis bears; 0 where it does not ask. */
  readonly torqueRipple: number;
  /** RMS current with its margin up to which its overload cannot fail on the duty [A]. */
  readonly restful: number;
}

/** A list of inductors, and those that begin with it, by the inductor that comes next. Filled in while judging. */
interface Helping {
  readonly list: readonly number[];
  readonly longer: Map<number, Helping>;
}

/** Drives and inductors as one axis sees them. */
export interface DriveTable {
  /** By catalogue index; undefined where the drive does not fit the axis. */
  readonly rows: readonly (DriveRow | undefined)[];
  readonly byFeedback: ReadonlyMap<Feedback, readonly DriveRow[]>;
  readonly inductors: readonly { readonly index: number; readonly inductor: Inductor }[];
  /** Lists of inductors that help somewhere: most motors with their drives share theirs. */
  readonly helping: Helping;
  readonly highestBus: number;
  readonly thresholds: Float64Array;
}

export function driveTable({ catalogue, fit, site, bus, axis }: JudgeInput, rules: HeatRules): DriveTable {
  const factor = cabinetFactor(site);
  const unknown = axis.needs.rejectUnknown ? 0 : Number.POSITIVE_INFINITY;
  const rows = catalogue.drives.map((drive, index) => {
    if (!fit.drives.includes(index)) return undefined;
    const [continuous, time] = [drive.continuousCurrent * factor, overloadTime(drive)];
    return {
      index,
      drive,
      continuous,
      frequency: drive.maxFrequency ?? unknown,
      overloadTime: time,
      torqueRipple: askedRipple(axis.needs, drive),
      restful: restfulCurrent(time, continuous, rules),
    };
  });
  const byFeedback = new Map<Feedback, DriveRow[]>();
  for (const row of rows) {
    for (const kind of row?.drive.feedback ?? []) {
      if (row !== undefined) byFeedback.set(kind, [...(byFeedback.get(kind) ?? []), row]);
    }
  }
  const inductors = fit.inductors.flatMap((index) => {
    const inductor = catalogue.inductors[index];
    return inductor === undefined ? [] : [{ index, inductor }];
  });
  const helping = { list: [], longer: new Map() };
  return { rows, byFeedback, inductors, helping, highestBus: bus.high, thresholds: rules.thresholds };
}

function askedRipple({ torqueRipple, commutationError }: Needs, drive: Drive): number {
  return torqueRipple === undefined ? 0 : share(torqueRippleOf(drive, commutationError), torqueRipple);
}

/** What a pair asks of its drive: currents with their margin [A], frequency [Hz], ripple it bears [A]. */
export interface DriveDemand {
  readonly rms: number;
  readonly continuous: number;
  readonly peak: number;
  readonly frequency: number;
  readonly ripple: number;
  /** Phase inductance of the motor [H]. */
  readonly inductance: number;
}

/** What a motor at these torques asks of a drive. */
export function driveDemand(
  row: MotorRow,
  torque: PairTorque,
  { duty, ratio }: { duty: Duty; ratio: number },
): DriveDemand {
  const { needs } = duty.axis;
  const rms = Math.sqrt(torque.meanSquare) * row.rating.currentPerTorque;
  return {
    rms,
    continuous: rms * (1 + needs.currentMargin),
    peak: peakCurrentAt(row.motor, row.rating.alignment, torque.peak) * (1 + needs.currentMargin),
    frequency: electricalFrequency(row.motor, ratio * duty.peakSpeed.value),
    ripple: allowedRipple(row.motor, needs.rippleCurrent),
    inductance: row.motor.inductance / 2,
  };
}

/** How a drive goes with a pair: not at all, alone, only with a series inductor, or (in a survey) either way. */
export const DRIVE_STATE = { rejected: 0, alone: 1, withInductor: 2, both: 3 } as const;

/** Outcome of joining a pair with every drive, by drive index. */
export interface DriveStates {
  readonly state: Uint8Array;
  /**
   * Where limits may be failed, four to a drive: limits that pair and drive fail and the worst excess, then the same without
   * counting the ripple.
   */
  readonly marks: Float64Array;
}

/** Room for the outcome; a run that lets nothing be failed needs no marks. */
export function newStates(count: number, most: number): DriveStates {
  return { state: new Uint8Array(count), marks: most === 0 ? NONE : new Float64Array(4 * count) };
}

/** What a drive with the pair fails, alone or with an inductor. */
export function failuresOn({ marks }: DriveStates, drive: number, withInductor: boolean): Failures {
  const at = 4 * drive + (withInductor ? 2 : 0);
  return { failed: marks[at] ?? 0, by: marks[at + 1] ?? 0 };
}

const NONE = new Float64Array(0);

/** Room to join one pair after the other in. */
export interface DriveRoom {
  readonly scan: Scan;
  readonly ofInductor: Scan;
  /** The outcome is written here. */
  readonly states: DriveStates;
  /** Outcomes kept before, by hash. */
  readonly kept: Map<number, Outcome[]>;
}

/** What becomes of a pair: the drives it goes on with, and by drive index the inductors that bring the ripple down, where the drive does not do without. */
export interface Outcome {
  readonly states: DriveStates;
  readonly inductors: ReadonlyMap<number, readonly number[]>;
}

export function newDriveRoom({ rows, thresholds }: DriveTable, most: number): DriveRoom {
  return {
    scan: newScan(thresholds, most),
    ofInductor: newScan(thresholds, 0),
    states: newStates(rows.length, most),
    kept: new Map(),
  };
}

const NO_INDUCTORS: Outcome["inductors"] = new Map();

/** The outcome to be kept: one for all pairs that share it, because most of many thousands go with the same drives. Hot. */
export function keptOutcome({ states, kept }: DriveRoom, inductors: Outcome["inductors"] = NO_INDUCTORS): Outcome {
  const { state, marks } = states;
  if (marks.length > 0) return { states: { state: state.slice(), marks: marks.slice() }, inductors };
  const hash = hashOf(state);
  const alike = kept.get(hash) ?? [];
  for (const known of alike)
    if (isSame(known.states.state, state) && sameLists(known.inductors, inductors)) return known;
  const outcome = { states: { state: state.slice(), marks: NONE }, inductors };
  kept.set(hash, [...alike, outcome]);
  return outcome;
}

/** Source: G. Fowler, L. C. Noll, K.-P. Vo, D. Eastlake, The FNV Non-Cryptographic Hash Algorithm (FNV-1a, 32 bits). */
function hashOf(state: Uint8Array): number {
  let hash = 0x811c9dc5;
  for (let at = 0; at < state.length; at++) hash = Math.imul(hash ^ state[at]!, 0x01000193);
  return hash;
}

function isSame(one: Uint8Array, other: Uint8Array): boolean {
  for (let at = 0; at < one.length; at++) if (one[at] !== other[at]) return false;
  return true;
}

/** Equal lists are one and the same within an axis (see `Helping`). */
function sameLists(one: Outcome["inductors"], other: Outcome["inductors"]): boolean {
  if (one === other) return true;
  if (one.size !== other.size) return false;
  for (const [drive, list] of one) if (other.get(drive) !== list) return false;
  return true;
}

/** A pair to be joined with every drive that takes its motor's feedback. */
export interface DriveQuestion extends OverloadQuestion {
  readonly table: DriveTable;
  readonly accepted: readonly DriveRow[];
  readonly tally: Tally;
  /** By drive index: inductors that help. Filled in, and made when the first one does. */
  inductors: Map<number, readonly number[]> | undefined;
}

/**
 * Joins a pair with its drives, starting from the pair's own verdict. Hot: see the judging benchmark.
 *
 * @returns how many drives go on with the pair
 */
export function judgeDrives(pair: Scan, question: DriveQuestion, room: DriveRoom): number {
  const { scan, states } = room;
  const { table, demand } = question;
  states.state.fill(0);
  states.marks.fill(0);
  let passed = 0;
  for (const row of question.accepted) {
    adoptScan(scan, pair);
    seeDrive(scan, row, question);
    const { failed, by } = scan;
    const mayGoOn = goesOn(scan);
    seeRipple(scan, row.drive, { demand, table, inductance: 0 });
    const isAlone = goesOn(scan);
    const needsInductor = scan.failed !== failed && mayGoOn && noteInductors(row, question, room);
    states.state[row.index] = (isAlone ? DRIVE_STATE.alone : 0) + (needsInductor ? DRIVE_STATE.withInductor : 0);
    if (scan.most > 0) noteFailures(states, row.index, { scan, failed, by });
    if (isAlone || needsInductor) passed += 1;
    else countRejected(question.tally, scan, 1);
  }
  question.tally.passed += passed;
  return passed;
}

function noteFailures(
  states: DriveStates,
  at: number,
  { scan, failed, by }: { scan: Scan; failed: number; by: number },
): void {
  states.marks[4 * at] = scan.failed;
  states.marks[4 * at + 1] = scan.by;
  states.marks[4 * at + 2] = failed;
  states.marks[4 * at + 3] = by;
}

function seeDrive(scan: Scan, row: DriveRow, question: DriveQuestion): void {
  const { demand } = question;
  see(scan, CONTINUOUS, demand.continuous / row.continuous);
  see(scan, PEAK, demand.peak / row.drive.peakCurrent);
  see(scan, FREQUENCY, demand.frequency / row.frequency);
  if (row.torqueRipple > 0) see(scan, TORQUE_RIPPLE, row.torqueRipple);
  if (demand.continuous > row.restful && goesOn(scan)) seeOverload(scan, row, question);
}

function seeRipple(
  scan: Scan,
  drive: Drive,
  { demand, table, inductance }: { demand: DriveDemand; table: DriveTable; inductance: number },
): void {
  see(scan, RIPPLE, rippleCurrent(drive, table.highestBus, demand.inductance + inductance).rms / demand.ripple);
}

/** Notes the inductors that help; true where there is one. */
function noteInductors(row: DriveRow, question: DriveQuestion, { ofInductor }: DriveRoom): boolean {
  if (question.table.inductors.length === 0) return false;
  const helping = helpingInductors(ofInductor, row, question);
  if (helping.length === 0) return false;
  question.inductors ??= new Map();
  question.inductors.set(row.index, helping);
  return true;
}

/** Inductors (by index) that bring a drive's ripple down far enough and bear the current. */
function helpingInductors(scan: Scan, { drive }: DriveRow, { table, demand }: DriveQuestion): readonly number[] {
  let found = table.helping;
  for (const { index, inductor } of table.inductors) {
    resetScan(scan);
    see(scan, INDUCTOR, demand.rms / inductor.continuousCurrent);
    if (scan.first >= 0) continue;
    seeRipple(scan, drive, { demand, table, inductance: inductor.inductance });
    if (scan.first < 0) found = longerBy(found, index);
  }
  return found.list;
}

function longerBy({ list, longer }: Helping, index: number): Helping {
  const known = longer.get(index) ?? { list: [...list, index], longer: new Map() };
  longer.set(index, known);
  return known;
}

/** Limits failed, as `failedLimits` reads them, and how many times the worst exceeds its threshold. */
export interface Failures {
  readonly failed: number;
  readonly by: number;
}
