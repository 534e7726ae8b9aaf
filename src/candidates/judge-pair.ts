import type { Gearbox } from "../machine/catalogue.ts";
import type { Scalar } from "../maths/scalar.ts";
import type { Duty } from "../physics/duty/duty.ts";
import { allowedVoltage, envelopeOf, heatTorque, needsBrake, terminalVoltage } from "../physics/limits/motor-limits.ts";
import { flowFactors } from "../physics/limits/pick-duty.ts";
import type { BusVoltage } from "../physics/limits/rating.ts";
import { type GearDuty, hullPeak, meanSquare } from "./gear-duty.ts";
import type { HeatForms } from "./heat-form.ts";
import { seeTemperature } from "./judge-heat.ts";
import { seeMotorShaft } from "./judge-mechanism.ts";
import { seeStandstill } from "./judge-rest.ts";
import { goesOn, HOPELESS, limitIndex, type Scan, see, share } from "./limit-scan.ts";
import type { MotorRow } from "./motor-row.ts";

const CONTINUOUS = limitIndex("motor.continuous_torque");
const PEAK = limitIndex("motor.peak_torque");
const AT_SPEED = limitIndex("motor.torque_at_speed");
const SPEED = limitIndex("motor.speed");
const VOLTAGE = limitIndex("motor.voltage");
const INERTIA = limitIndex("motor.inertia_ratio");
const DETENT = limitIndex("motor.detent");
const RIPPLE = limitIndex("motor.speed_ripple");
const BRAKE = limitIndex("motor.brake");
const RESOLUTION = limitIndex("motor.resolution");
const EMERGENCY = limitIndex("gearbox.emergency_torque");

/** A motor behind a gearbox (or none) on a duty; one record goes through all motors of a gearbox. */
export interface Pair {
  row: MotorRow;
  readonly gearbox: Gearbox | undefined;
  readonly geared: GearDuty;
  readonly duty: Duty;
  readonly bus: BusVoltage;
  /** Written when the pair is judged. */
  readonly torque: PairTorque;
  /** Room for a number at every quadrature node, shared by all pairs of a run. */
  readonly atNodes: Float64Array;
  readonly heatForms: HeatForms;
}

/** What the pair asks of a drive, least within the duty's range of carried mass. */
export interface PairTorque {
  meanSquare: number;
  peak: number;
}

/**
 * Notes every limit of a motor with a gearbox, dear ones only where the cheap ones pass.
 *
 * @returns false where the feedback cannot start an axis that hangs on its brake
 */
export function judgePair(scan: Scan, pair: Pair): boolean {
  const { row, geared, duty, gearbox, torque } = pair;
  const braked = needsBrake(duty, geared.ratio);
  if (braked && row.motor.feedback === "encoder-incremental") return false;
  noteTorque(pair);
  torqueLimits(scan, pair);
  inertiaLimits(scan, pair);
  if (braked) seeBrake(scan, pair);
  if (duty.holds.length > 0) seeStandstill(scan, pair);
  if (gearbox === undefined) seeMotorShaft(scan, duty, row.motor);
  askedLimits(scan, pair);
  const emergency = gearbox?.emergencyTorque;
  if (emergency !== undefined) see(scan, EMERGENCY, (torque.peak * geared.ratio) / emergency);
  if (goesOn(scan) && scan.count < HOPELESS) dearLimits(scan, pair);
  return true;
}

function noteTorque({ row, geared, gearbox, torque, duty: { slack } }: Pair): void {
  const a = (row.inertia + (gearbox?.inertia ?? 0)) * geared.ratio;
  const f = row.motor.frictionTorque + (gearbox?.dragTorque ?? 0);
  const rms = Math.sqrt(meanSquare(geared, a, f)) - slack.rms * geared.reach;
  torque.meanSquare = rms > 0 ? rms * rms : 0;
  torque.peak = Math.max(0, hullPeak(geared, a, f) - slack.peak * geared.reach);
}

function torqueLimits(scan: Scan, { row: { motor, rating }, geared: { ratio }, duty, torque }: Pair): void {
  const { needs } = duty.axis;
  const heat = heatTorque(torque.meanSquare, rating.speedLoss * ratio * ratio * duty.meanSquareSpeed);
  see(scan, CONTINUOUS, share(heat * (1 + needs.torqueMargin), rating.continuousTorque));
  see(scan, PEAK, share(torque.peak * (1 + needs.peakMargin), rating.peakTorque));
  see(scan, SPEED, (ratio * duty.peakSpeed.value * (1 + needs.speedMargin)) / motor.maxSpeed);
}

function inertiaLimits(scan: Scan, { row, geared: { ratio }, gearbox, duty }: Pair): void {
  const { inertiaRatio } = duty.axis.needs;
  if (inertiaRatio === null) return;
  const load = (duty.largestInertia - duty.slack.inertia) / (ratio * ratio);
  const outside = (gearbox?.inertia ?? 0) + duty.axis.mechanism.couplingInertia + load;
  see(scan, INERTIA, share(outside / row.rotorInertia, inertiaRatio));
}

function seeBrake(scan: Scan, { row: { motor }, geared: { ratio }, duty }: Pair): void {
  const torque = Math.max(0, duty.hangingTorque - duty.slack.hanging) / ratio;
  const { brakeTorque } = motor;
  see(
    scan,
    BRAKE,
    brakeTorque === undefined ? Number.POSITIVE_INFINITY : share(torque * duty.axis.needs.brakeFactor, brakeTorque),
  );
}

/** Limits judged only where the axis asks for them; an empty cell then fails as unknown. */
function askedLimits(scan: Scan, pair: Pair): void {
  const { needs } = pair.duty.axis;
  const { motor } = pair.row;
  const { ratio } = pair.geared;
  const { travel, leastTravel } = pair.duty;
  if (needs.detent !== undefined)
    see(scan, DETENT, share((known(motor.detentTorque) * ratio) / leastTravel, needs.detent));
  if (needs.resolution !== undefined) {
    see(
      scan,
      RESOLUTION,
      motor.resolution === undefined
        ? Number.POSITIVE_INFINITY
        : (2 * Math.PI * travel) / (ratio * motor.resolution * needs.resolution),
    );
  }
  if (needs.speedRipple !== undefined && needs.smoothFrom !== undefined)
    seeRipple(scan, pair, { allowed: needs.speedRipple, from: needs.smoothFrom });
}

function known(value: number | undefined): number {
  return value ?? Number.POSITIVE_INFINITY;
}

function seeRipple(
  scan: Scan,
  { row, geared: { ratio }, gearbox, duty }: Pair,
  { allowed, from }: { allowed: number; from: number },
): void {
  const { detentTorque, detents } = row.motor;
  if (detentTorque === 0) return;
  const load = (duty.smallestInertia + duty.slack.inertia) / (ratio * ratio);
  const inertia = row.inertia + (gearbox?.inertia ?? 0) + load;
  const turning = (ratio * from) / duty.travel;
  const ripple = known(detentTorque) / (inertia * (detents ?? 0) * turning * turning);
  see(scan, RIPPLE, ripple / allowed);
}

/** Temperature, envelope and voltage: at once where a mean or the worst corner passes, else over the cycle. */
function dearLimits(scan: Scan, pair: Pair): void {
  seeTemperature(scan, pair);
  seeEnvelope(scan, pair);
  const { row, geared, duty, bus, torque } = pair;
  const allowed = allowedVoltage(bus.low, duty.axis.needs.voltageReserve);
  const corner = terminalVoltage(
    row,
    geared.ratio * duty.peakSpeed.value,
    torque.peak + 2 * duty.slack.peak * geared.reach,
  );
  if (corner <= allowed) return;
  see(scan, VOLTAGE, worstVoltage(pair) / allowed);
}

/** Largest terminal voltage at the quadrature nodes [V], each the least of what can ride. Hot. */
function worstVoltage(pair: Pair): number {
  const { count, ratio, speed, torque, loose } = seenAtNodes(pair);
  let worst = 0;
  for (let k = 0; k < count; k++) {
    const voltage = leastVoltage(pair.row, ratio * speed[k]!, torque[k]!, loose);
    if (voltage > worst) worst = voltage;
  }
  return worst;
}

function seeEnvelope(scan: Scan, pair: Pair): void {
  const { row, geared, duty, torque } = pair;
  const { needs } = duty.axis;
  const envelope = envelopeOf(row.motor, row.rating);
  if (envelope === undefined) {
    if (needs.rejectUnknown) see(scan, AT_SPEED, Number.POSITIVE_INFINITY);
    return;
  }
  const margin = 1 + needs.peakMargin;
  if (margin * torque.peak <= envelope(geared.ratio * duty.peakSpeed.value)) return;
  see(scan, AT_SPEED, margin * worstInEnvelope(pair, envelope));
}

/** Largest torque over what the envelope allows at its speed, at the quadrature nodes. Hot. */
function worstInEnvelope(pair: Pair, envelope: Scalar): number {
  const { count, ratio, speed, torque, loose } = seenAtNodes(pair);
  let worst = 0;
  for (let k = 0; k < count; k++) {
    const used = (Math.abs(torque[k]!) - loose) / envelope(Math.abs(ratio * speed[k]!));
    if (used > worst) worst = used;
  }
  return worst;
}

/** Least terminal voltage within a range of torques, torque ± loose: U² is a parabola in the current. Hot. */
function leastVoltage(row: MotorRow, speed: number, torque: number, loose: number): number {
  if (loose === 0) return terminalVoltage(row, speed, torque);
  const { motor, rating, phaseInductance } = row;
  const reactance = ((speed * motor.poles) / 2) * phaseInductance;
  const emf = (motor.voltageConstant * speed) / Math.sqrt(3);
  const bottom = (-emf * rating.hotResistance) / (rating.hotResistance ** 2 + reactance ** 2);
  const wanted = bottom / rating.currentPerTorque;
  return terminalVoltage(row, speed, Math.min(torque + loose, Math.max(torque - loose, wanted)));
}

/** What a pair does at the quadrature nodes. */
interface AtNodes {
  readonly count: number;
  readonly ratio: number;
  /** Of the input shaft [rad/s]. */
  readonly speed: Float64Array;
  /** Of the motor [N·m], in the room that pairs share. */
  readonly torque: Float64Array;
  /** By how much what rides can move it [N·m]. */
  readonly loose: number;
}

/** Hot. */
function seenAtNodes({ row, geared, gearbox, duty, atNodes }: Pair): AtNodes {
  const a = (row.inertia + (gearbox?.inertia ?? 0)) * geared.ratio;
  const f = row.motor.frictionTorque + (gearbox?.dragTorque ?? 0);
  const factor = flowFactors(gearbox);
  const { count, acceleration, speed, torque, turning, flow } = duty.nodes;
  for (let k = 0; k < count; k++) atNodes[k] = a * acceleration[k]! + factor[flow[k]!]! * torque[k]! + f * turning[k]!;
  return { count, ratio: geared.ratio, speed, torque: atNodes, loose: duty.slack.peak * geared.reach };
}
