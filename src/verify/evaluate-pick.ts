import type { Drive, Gearbox, Inductor, Motor } from "../machine/catalogue.ts";
import type { LimitId } from "../machine/limit.ts";
import type { Axis, Bus, Site } from "../machine/problem.ts";
import { betaOf, type Duty, motorSideInertia, ratioOf } from "./duty.ts";
import { fullest, warmth } from "./heat.ts";
import { mechanismFindings, resonanceFindings, rippleFindings, shaftFindings } from "./mechanism.ts";
import { type Finding, restFindings } from "./rest.ts";
import type { Shaft } from "./shaft.ts";

/** What is bought for one axis. */
export interface AxisPick {
  readonly motor: Motor;
  readonly gearbox: Gearbox | null;
  readonly drive: Drive;
  readonly inductor: Inductor | null;
}

export interface Check {
  readonly id: LimitId;
  readonly demand: number;
  readonly allowed: number;
  readonly utilisation: number | null;
  readonly passes: boolean;
}

export interface PickVerdict {
  readonly passes: boolean;
  /** Why the parts do not belong together or are not wanted; null: they do. */
  readonly unfit: string | null;
  readonly limits: readonly Check[];
  readonly unchecked: readonly { readonly id: LimitId; readonly missing: string; readonly passes: boolean }[];
  /** Largest utilisation against what is tolerated; Infinity: unfit, unknown or nothing allowed. */
  readonly worst: number;
}

/** Lowest and highest voltage of a bus without chopper [V]. */
export function busVoltage(site: Site, bus: Bus): { low: number; high: number } {
  if (bus.voltage !== undefined) return { low: 0.95 * bus.voltage, high: bus.voltage };
  const mean = site.phases === 3 ? 1.35 : 1.1;
  return {
    low: mean * site.mains * (1 - site.mainsTolerance),
    high: Math.SQRT2 * site.mains * (1 + site.mainsTolerance),
  };
}

/** 1 % per 100 m above 1000 m. Common practice, no source. */
function altitudeFactor(site: Site): number {
  return Math.max(0, 1 - Math.max(0, site.altitude - 1000) / 10_000);
}

/** Continuous ratings of electronics: −1 %/K above 40 °C, and altitude. Common practice, no source. */
export function cabinetFactor(site: Site): number {
  return Math.max(0, 1 - Math.max(0, site.cabinetAmbient - 40) / 100) * altitudeFactor(site);
}

function ambientFactor(site: Site, motor: Motor): number {
  const room = (motor.windingLimit - site.ambient) / (motor.windingLimit - motor.referenceAmbient);
  return Math.min(1, Math.sqrt(Math.max(0, room)));
}

/** Passes at demand ≤ allowed·(1 + tolerated share); 0/0 passes; null lifts the limit. */
export function check(id: LimitId, demand: number, allowed: number, relax: number | null | undefined): Check {
  const utilisation = allowed === 0 ? (demand === 0 ? 0 : null) : demand / allowed;
  const passes = relax === null || demand <= allowed * (1 + (relax ?? 0)) * (1 + 1e-9);
  return { id, demand, allowed, utilisation, passes };
}

/** Does the axis need a holding brake with this static torque at the motor? */
export function needsBrake(axis: Axis, staticTorqueAtMotor: number): boolean {
  return axis.needs.brake ?? staticTorqueAtMotor > 1e-6;
}

/** Current at a motor torque [A rms], linear. */
export function currentOf(motor: Motor, torque: number, cosine: number): number {
  return Math.abs(torque) / (motor.torqueConstant * cosine);
}

/** Current at the peak: above T0 it rises straight to the catalogue's peak current, where one is given. */
function saturatedCurrent(motor: Motor, torque: number, cosine: number): number {
  const equal = torque / cosine;
  const stall = motor.stallTorque / motor.torqueConstant;
  if (motor.peakCurrent === undefined || equal <= motor.stallTorque || motor.peakTorque <= motor.stallTorque)
    return equal / motor.torqueConstant;
  const rise = (motor.peakCurrent - stall) / (motor.peakTorque - motor.stallTorque);
  return stall + rise * (equal - motor.stallTorque);
}

/** Collects the limits of one pick. */
interface Sheet {
  readonly limits: Check[];
  readonly unchecked: { id: LimitId; missing: string; passes: boolean }[];
  readonly add: (id: LimitId, demand: number, allowed: number) => void;
  /** A value is missing: fails where the problem asks for the limit, or rejects every unknown. */
  readonly unknown: (id: LimitId, missing: string, asked: boolean) => void;
  readonly addAll: (findings: readonly Finding[]) => void;
}

function sheetOf({ needs }: Axis): Sheet {
  const limits: Check[] = [];
  const unchecked: { id: LimitId; missing: string; passes: boolean }[] = [];
  const add: Sheet["add"] = (id, demand, allowed) => limits.push(check(id, demand, allowed, needs.relax[id]));
  const unknown: Sheet["unknown"] = (id, missing, asked) => {
    const lifted = needs.relax[id] === null;
    unchecked.push({ id, missing, passes: lifted || !(asked || needs.rejectUnknown) });
  };
  const addAll: Sheet["addAll"] = (findings) => {
    for (const finding of findings) {
      if ("missing" in finding) unknown(finding.id, finding.missing, finding.asked);
      else add(finding.id, finding.demand, finding.allowed);
    }
  };
  return { limits, unchecked, add, unknown, addAll };
}

/** Temperature of the winding at every node once every cycle is like the last [°C]; null without its time constant. */
export function windingTemperatures(site: Site, motor: Motor, duty: Duty, cosine: number): Float64Array | null {
  if (motor.windingTime === undefined) return null;
  const full = (motor.stallTorque * altitudeFactor(site)) ** 2;
  const share = (torque2: number, speed2: number): number => (torque2 / cosine ** 2 + betaOf(motor) * speed2) / full;
  const { time, heat } = duty.squareTorque;
  const steps = { time, heat: heat.map((torque2, k) => share(torque2, duty.squareSpeed.heat[k] ?? 0)) };
  const body = { winding: motor.windingTime, housing: motor.housingTime, share: motor.windingShare };
  const used = warmth(steps, body, share(duty.rmsTorque ** 2, duty.rmsSpeed ** 2));
  return used.map((one) => site.ambient + (motor.windingLimit - motor.referenceAmbient) * one);
}

/** Highest temperature of the winding [°C]; null without its time constant. */
export function hottestWinding(site: Site, axis: Axis, motor: Motor, duty: Duty): number | null {
  const winding = windingTemperatures(site, motor, duty, Math.cos(axis.needs.commutationError));
  return winding === null ? null : highest(winding);
}

/** What the limits of one pick are worked out from. */
interface Seen {
  readonly site: Site;
  readonly axis: Axis;
  readonly pick: AxisPick;
  readonly shaft: Shaft;
  readonly duty: Duty;
  /** Of the winding, over that duty [°C]; null without its time constant. */
  readonly hottest: number | null;
  /** Lowest and highest voltage of the bus without chopper [V]. */
  readonly low: number;
  readonly high: number;
}

function motorLimits(sheet: Sheet, seen: Seen): void {
  heatLimits(sheet, seen);
  peakLimits(sheet, seen);
  inertiaLimits(sheet, seen);
  smoothnessLimits(sheet, seen);
  restLimits(sheet, seen);
}

function highest(values: Float64Array): number {
  return values.reduce((most, value) => Math.max(most, value));
}

function heatLimits(sheet: Sheet, { site, axis: { needs }, pick: { motor }, duty, hottest }: Seen): void {
  const cosine = Math.cos(needs.commutationError);
  const heat = Math.sqrt(duty.rmsTorque ** 2 + betaOf(motor) * duty.rmsSpeed ** 2);
  const derated = motor.stallTorque * cosine * ambientFactor(site, motor) * altitudeFactor(site);
  sheet.add("motor.continuous_torque", heat * (1 + needs.torqueMargin), derated);
  if (hottest === null) sheet.unknown("motor.winding_temperature", "winding_time", false);
  else sheet.add("motor.winding_temperature", hottest, motor.windingLimit);
}

function peakLimits(sheet: Sheet, { axis: { needs }, pick: { motor }, duty, low }: Seen): void {
  const cosine = Math.cos(needs.commutationError);
  sheet.add("motor.peak_torque", duty.peakTorque * (1 + needs.peakMargin), motor.peakTorque * cosine);
  if (duty.atSpeed === null) sheet.unknown("motor.torque_at_speed", "peak_knee_speed", false);
  else sheet.add("motor.torque_at_speed", duty.atSpeed.torque * (1 + needs.peakMargin), duty.atSpeed.envelope * cosine);
  sheet.add("motor.speed", duty.topSpeed * (1 + needs.speedMargin), motor.maxSpeed);
  sheet.add("motor.voltage", duty.voltage, (low / Math.SQRT2) * (1 - needs.voltageReserve));
}

/** Inertia of the mechanism and of a load at its shaft, at the motor [kg·m²]. */
function reflected({ axis, pick }: Seen, load: number): number {
  return (axis.mechanism.inertia + load) / ratioOf(pick.gearbox) ** 2;
}

function inertiaLimits(sheet: Sheet, seen: Seen): void {
  const { axis, pick, shaft } = seen;
  const { motor, gearbox } = pick;
  const { needs } = axis;
  const rotor = motor.rotorInertia + motor.brakeInertia;
  const beside = (gearbox?.inertia ?? 0) + axis.mechanism.couplingInertia;
  if (needs.inertiaRatio !== null)
    sheet.add("motor.inertia_ratio", (beside + reflected(seen, shaft.mostLoad)) / rotor, needs.inertiaRatio);
}

function smoothnessLimits(sheet: Sheet, seen: Seen): void {
  const { axis, pick, shaft } = seen;
  const { motor, gearbox } = pick;
  const { needs } = axis;
  const i = ratioOf(gearbox);
  const detent = motor.detentTorque;
  if (needs.detent !== undefined) {
    if (detent === undefined) sheet.unknown("motor.detent", "detent_torque", true);
    else sheet.add("motor.detent", (detent * i) / shaft.leastKappa, needs.detent);
  }
  if (needs.speedRipple !== undefined && needs.smoothFrom !== undefined) {
    if (detent === undefined) sheet.unknown("motor.speed_ripple", "detent_torque", true);
    else if (detent !== 0 && motor.detents === undefined) sheet.unknown("motor.speed_ripple", "detents", true);
    else sheet.add("motor.speed_ripple", speedRipple(seen, needs.smoothFrom), needs.speedRipple);
  }
}

/** T_d/(J·N_d·ω²) at the slowest smooth speed, with the least load. */
function speedRipple(seen: Seen, smoothFrom: number): number {
  const { axis, pick, shaft } = seen;
  const { motor, gearbox } = pick;
  const { detentTorque: detent = 0 } = motor;
  const total = motorSideInertia(axis, motor, gearbox) + reflected(seen, shaft.leastLoad);
  const slow = (ratioOf(gearbox) * smoothFrom) / shaft.kappa;
  return detent === 0 ? 0 : detent / (total * (motor.detents ?? 1) * slow ** 2);
}

function restLimits(sheet: Sheet, { axis, pick: { motor, gearbox }, shaft }: Seen): void {
  const { needs } = axis;
  const i = ratioOf(gearbox);
  const held = shaft.staticTorque / i;
  if (needsBrake(axis, held)) {
    const row = check("motor.brake", held * needs.brakeFactor, motor.brakeTorque ?? 0, needs.relax["motor.brake"]);
    const missing = motor.brakeTorque === undefined && needs.relax["motor.brake"] !== null;
    sheet.limits.push(missing ? { ...row, utilisation: null, passes: false } : row);
  }
  if (needs.resolution !== undefined) {
    if (motor.resolution === undefined) sheet.unknown("motor.resolution", "resolution", true);
    else sheet.add("motor.resolution", (2 * Math.PI * shaft.kappa) / (i * motor.resolution), needs.resolution);
  }
}

function gearboxLimits(sheet: Sheet, gearbox: Gearbox, { axis: { needs }, shaft, duty }: Seen): void {
  sheet.add("gearbox.peak_torque", duty.outputPeak * needs.gearboxShock, gearbox.accelerationTorque);
  sheet.add("gearbox.mean_torque", duty.outputMean, gearbox.ratedTorque);
  if (gearbox.emergencyTorque === undefined) sheet.unknown("gearbox.emergency_torque", "emergency_torque", false);
  else sheet.add("gearbox.emergency_torque", duty.peakTorque * gearbox.ratio, gearbox.emergencyTorque);
  sheet.add("gearbox.max_speed", duty.topSpeed, gearbox.maxInputSpeed);
  sheet.add("gearbox.mean_speed", duty.meanSpeed, gearbox.ratedInputSpeed);
  if (needs.backlash !== undefined) sheet.add("gearbox.backlash", gearbox.backlash * shaft.kappa, needs.backlash);
}

function driveLimits(sheet: Sheet, { site, axis: { needs }, pick, duty, high }: Seen): void {
  const { motor, drive, inductor } = pick;
  const cosine = Math.cos(needs.commutationError);
  const rms = currentOf(motor, duty.rmsTorque, cosine);
  sheet.add("drive.continuous_current", rms * (1 + needs.currentMargin), drive.continuousCurrent * cabinetFactor(site));
  const peak = saturatedCurrent(motor, duty.peakTorque, cosine);
  sheet.add("drive.peak_current", peak * (1 + needs.currentMargin), drive.peakCurrent);
  const perContinuous = drive.peakCurrent / drive.continuousCurrent;
  if (perContinuous > 1) {
    const tau = -drive.peakTime / Math.log(1 - 1 / perContinuous ** 2);
    const full = (drive.continuousCurrent * cabinetFactor(site)) / (1 + needs.currentMargin);
    const largest = Math.sqrt(fullest(duty.squareTorque, tau));
    sheet.add("drive.overload", (currentOf(motor, largest, cosine) / full) ** 2, 1);
  }
  const inductance = motor.inductance / 2 + (inductor?.inductance ?? 0);
  const perCycle = high / (inductance * drive.switchingFrequency);
  const ripple = drive.commutation === "sinusoidal" ? 0.02515 * perCycle : perCycle / 8 / Math.sqrt(12);
  sheet.add("drive.ripple_current", ripple, (needs.rippleCurrent * motor.stallTorque) / motor.torqueConstant);
  if (drive.maxFrequency === undefined) sheet.unknown("drive.frequency", "max_frequency", false);
  else sheet.add("drive.frequency", ((duty.topSpeed / (2 * Math.PI)) * motor.poles) / 2, drive.maxFrequency);
  sheet.add("drive.bus_voltage", high, drive.busMax);
  if (inductor !== null) sheet.add("inductor.continuous_current", rms, inductor.continuousCurrent);
}

/** Limits of standing still, of shafts and of the mechanism. */
function furtherFindings({ site, axis, pick: { motor, gearbox, drive }, shaft }: Seen): Finding[] {
  const derating = Math.cos(axis.needs.commutationError) * ambientFactor(site, motor) * altitudeFactor(site);
  return [
    ...restFindings(shaft, motor, ratioOf(gearbox), derating),
    ...mechanismFindings(axis, shaft),
    ...rippleFindings(axis, drive),
    ...shaftFindings(axis, shaft, { motor, gearbox }),
    ...resonanceFindings(axis, shaft, gearbox),
  ];
}

/** Largest utilisation of a list of checks against what each tolerates; Infinity where one fails without a number. */
function worstOf(checks: readonly Check[], relax: Axis["needs"]["relax"]): number {
  const shares = checks.map(({ id, utilisation }) => {
    const tolerated = relax[id];
    if (tolerated === null) return 0;
    return utilisation === null ? Infinity : utilisation / (1 + (tolerated ?? 0));
  });
  return Math.max(0, ...shares);
}

/** What the simulation says of one pick whose parts fit together. */
export function pickVerdict(seen: Seen): PickVerdict {
  const { axis, pick } = seen;
  const sheet = sheetOf(axis);
  motorLimits(sheet, seen);
  if (pick.gearbox !== null) gearboxLimits(sheet, pick.gearbox, seen);
  driveLimits(sheet, seen);
  sheet.addAll(furtherFindings(seen));
  const known = sheet.unchecked.every(({ passes }) => passes);
  return {
    passes: known && sheet.limits.every(({ passes }) => passes),
    unfit: null,
    limits: sheet.limits,
    unchecked: sheet.unchecked,
    worst: known ? worstOf(sheet.limits, axis.needs.relax) : Infinity,
  };
}
