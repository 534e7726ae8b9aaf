import type { Drive, Gearbox, Inductor, Motor, PartBase } from "../machine/catalogue.ts";
import type { LimitId } from "../machine/limit.ts";
import type { Axis, Bus, Machine, Problem, Site } from "../machine/problem.ts";
import { betaOf, type Duty, dutyOf, hotResistance, motorSideInertia, motorTorque, ratioOf } from "./duty.ts";
import { fullest, hottest } from "./heat.ts";
import { mechanismFindings, resonanceFindings, rippleFindings, shaftFindings } from "./mechanism.ts";
import { type AxisMotion, type Grid, gridOf, motionOf, type Sampled, sampled } from "./motion.ts";
import { type Finding, restFindings } from "./rest.ts";
import { type Shaft, shaftOf } from "./shaft.ts";

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
function needsBrake(axis: Axis, staticTorqueAtMotor: number): boolean {
  return axis.needs.brake ?? staticTorqueAtMotor > 1e-6;
}

const names = (list: readonly string[], part: PartBase): boolean => list.includes(part.part);

/** First reason why the parts do not fit together or are not allowed on this axis; null: none. */
function unfitReason(problem: Problem, axis: Axis, pick: AxisPick, static0: number): string | null {
  const { motor, gearbox, drive, inductor } = pick;
  const { needs, allow } = axis;
  const parts = [motor, gearbox, drive, inductor].filter((part) => part !== null);
  if (parts.some((part) => names(problem.forbid.parts, part))) return "forbidden part";
  if (parts.some((part) => problem.forbid.makers.includes(part.maker))) return "forbidden maker";
  if (allow.makers !== undefined && parts.some((part) => !allow.makers?.includes(part.maker))) return "maker";
  if (allow.motors !== undefined && !names(allow.motors, motor)) return "motor not listed";
  if (allow.drives !== undefined && !names(allow.drives, drive)) return "drive not listed";
  if (allow.constructions !== undefined && !allow.constructions.includes(motor.construction)) return "construction";
  if (gearbox === null && !allow.gearless) return "gearless";
  if (gearbox !== null) {
    if (allow.gearboxes !== undefined && !names(allow.gearboxes, gearbox)) return "gearbox not listed";
    if (allow.gearboxKinds !== undefined && !allow.gearboxKinds.includes(gearbox.style)) return "gearbox kind";
    if (!gearbox.motorFrames.map((f) => f.trim()).includes(motor.frame.trim())) return "frame";
    if (allow.ratios !== undefined && (gearbox.ratio < allow.ratios[0] || gearbox.ratio > allow.ratios[1]))
      return "ratio";
  }
  if (needs.feedback !== undefined && !needs.feedback.includes(motor.feedback)) return "feedback wanted";
  if (!drive.feedback.includes(motor.feedback)) return "feedback of the drive";
  if (motor.feedback === "encoder-incremental" && needsBrake(axis, static0 / ratioOf(gearbox))) return "alignment move";
  if (needs.ip !== undefined && (motor.ip === undefined || !needs.ip.includes(motor.ip))) return "ip";
  if (needs.maxLength !== undefined && motor.length > needs.maxLength) return "length";
  if (needs.maxWidth !== undefined && motor.width > needs.maxWidth) return "width";
  const byKind: Record<string, PartBase | null> = { motor, gearbox, drive, inductor };
  for (const [key, wanted] of Object.entries(needs.match)) {
    const [kind = "", column = ""] = key.split(".");
    const part = byKind[kind];
    if (part !== null && part !== undefined && !wanted.includes((part.texts[column] ?? "").trim()))
      return `match ${key}`;
  }
  return null;
}

/** Current at a motor torque [A rms], linear. */
function currentOf(motor: Motor, torque: number, cosine: number): number {
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
class Sheet {
  readonly limits: Check[] = [];
  readonly unchecked: { id: LimitId; missing: string; passes: boolean }[] = [];
  private readonly axis: Axis;
  constructor(axis: Axis) {
    this.axis = axis;
  }
  add(id: LimitId, demand: number, allowed: number): void {
    this.limits.push(check(id, demand, allowed, this.axis.needs.relax[id]));
  }
  /** A value is missing: fails where the problem asks for the limit, or rejects every unknown. */
  unknown(id: LimitId, missing: string, asked: boolean): void {
    const lifted = this.axis.needs.relax[id] === null;
    this.unchecked.push({ id, missing, passes: lifted || !(asked || this.axis.needs.rejectUnknown) });
  }
  addAll(findings: readonly Finding[]): void {
    for (const finding of findings) {
      if ("missing" in finding) this.unknown(finding.id, finding.missing, finding.asked);
      else this.add(finding.id, finding.demand, finding.allowed);
    }
  }
}

/** Highest temperature of the winding once every cycle is like the last [°C]. */
function hottestWinding(site: Site, motor: Motor, duty: Duty, cosine: number): number {
  const full = (motor.stallTorque * altitudeFactor(site)) ** 2;
  const share = (torque2: number, speed2: number): number => (torque2 / cosine ** 2 + betaOf(motor) * speed2) / full;
  const { time, heat } = duty.squareTorque;
  const steps = { time, heat: heat.map((torque2, k) => share(torque2, duty.squareSpeed.heat[k] ?? 0)) };
  const body = { winding: motor.windingTime ?? 0, housing: motor.housingTime, share: motor.windingShare };
  const used = hottest(steps, body, share(duty.rmsTorque ** 2, duty.rmsSpeed ** 2));
  return site.ambient + (motor.windingLimit - motor.referenceAmbient) * used;
}

function motorLimits(
  sheet: Sheet,
  site: Site,
  axis: Axis,
  pick: AxisPick,
  shaft: Shaft,
  duty: Duty,
  low: number,
): void {
  const { motor, gearbox } = pick;
  const { needs } = axis;
  const i = ratioOf(gearbox);
  const cosine = Math.cos(needs.commutationError);
  const heat = Math.sqrt(duty.rmsTorque ** 2 + betaOf(motor) * duty.rmsSpeed ** 2);
  const derated = motor.stallTorque * cosine * ambientFactor(site, motor) * altitudeFactor(site);
  sheet.add("motor.continuous_torque", heat * (1 + needs.torqueMargin), derated);
  sheet.add("motor.peak_torque", duty.peakTorque * (1 + needs.peakMargin), motor.peakTorque * cosine);
  if (duty.atSpeed === null) sheet.unknown("motor.torque_at_speed", "peak_knee_speed", false);
  else sheet.add("motor.torque_at_speed", duty.atSpeed.torque * (1 + needs.peakMargin), duty.atSpeed.envelope * cosine);
  sheet.add("motor.speed", duty.topSpeed * (1 + needs.speedMargin), motor.maxSpeed);
  sheet.add("motor.voltage", duty.voltage, (low / Math.SQRT2) * (1 - needs.voltageReserve));
  if (motor.windingTime === undefined) sheet.unknown("motor.winding_temperature", "winding_time", false);
  else sheet.add("motor.winding_temperature", hottestWinding(site, motor, duty, cosine), motor.windingLimit);

  const reflected = (mass: number): number => (axis.mechanism.inertia + mass * shaft.kappa ** 2) / i ** 2;
  const rotor = motor.rotorInertia + motor.brakeInertia;
  const beside = (gearbox?.inertia ?? 0) + axis.mechanism.couplingInertia;
  if (needs.inertiaRatio !== null)
    sheet.add("motor.inertia_ratio", (beside + reflected(shaft.mostMass)) / rotor, needs.inertiaRatio);

  const detent = motor.detentTorque;
  if (needs.detent !== undefined) {
    if (detent === undefined) sheet.unknown("motor.detent", "detent_torque", true);
    else sheet.add("motor.detent", (detent * i) / shaft.kappa, needs.detent);
  }
  if (needs.speedRipple !== undefined && needs.smoothFrom !== undefined) {
    if (detent === undefined) sheet.unknown("motor.speed_ripple", "detent_torque", true);
    else if (detent !== 0 && motor.detents === undefined) sheet.unknown("motor.speed_ripple", "detents", true);
    else {
      const total = motorSideInertia(axis, motor, gearbox) + reflected(shaft.leastMass);
      const slow = (i * needs.smoothFrom) / shaft.kappa;
      const ripple = detent === 0 ? 0 : detent / (total * (motor.detents ?? 1) * slow ** 2);
      sheet.add("motor.speed_ripple", ripple, needs.speedRipple);
    }
  }
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

function gearboxLimits(sheet: Sheet, axis: Axis, gearbox: Gearbox, shaft: Shaft, duty: Duty): void {
  const { needs } = axis;
  sheet.add("gearbox.peak_torque", duty.outputPeak * needs.gearboxShock, gearbox.accelerationTorque);
  sheet.add("gearbox.mean_torque", duty.outputMean, gearbox.ratedTorque);
  if (gearbox.emergencyTorque === undefined) sheet.unknown("gearbox.emergency_torque", "emergency_torque", false);
  else sheet.add("gearbox.emergency_torque", duty.peakTorque * gearbox.ratio, gearbox.emergencyTorque);
  sheet.add("gearbox.max_speed", duty.topSpeed, gearbox.maxInputSpeed);
  sheet.add("gearbox.mean_speed", duty.meanSpeed, gearbox.ratedInputSpeed);
  if (needs.backlash !== undefined) sheet.add("gearbox.backlash", gearbox.backlash * shaft.kappa, needs.backlash);
}

function driveLimits(sheet: Sheet, site: Site, axis: Axis, pick: AxisPick, duty: Duty, high: number): void {
  const { motor, drive, inductor } = pick;
  const { needs } = axis;
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
function furtherFindings(site: Site, axis: Axis, { motor, gearbox, drive }: AxisPick, shaft: Shaft): Finding[] {
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

/** Judges picks of one axis; keeps what only depends on the axis and the carried mass. */
export class AxisOracle {
  readonly motion: AxisMotion;
  readonly axis: Axis;
  private readonly problem: Problem;
  private readonly voltage: { low: number; high: number };
  private readonly own: Grid;
  private readonly shafts = new Map<string, Shaft>();
  private readonly motions = new Map<Grid, Sampled>();
  private readonly duties = new Map<string, Duty>();

  /** @param steps - least sub-steps of each piece */
  constructor(problem: Problem, machine: Machine, axis: Axis, steps = 400) {
    const bus = machine.buses.find(({ id }) => id === axis.bus);
    if (bus === undefined) throw new Error(`axis ${axis.id} names no bus`);
    this.problem = problem;
    this.axis = axis;
    this.voltage = busVoltage(problem.site, bus);
    this.motion = motionOf(axis, machine.cycle);
    this.own = gridOf([this.motion], this.motion.period, steps, steps);
  }

  shaft(carried: number, grid: Grid = this.own): Shaft {
    const key = `${grid === this.own ? "own" : "bus"} ${carried}`;
    const known = this.shafts.get(key);
    if (known !== undefined && known.sampled.grid === grid) return known;
    const motion = this.motions.get(grid) ?? sampled(this.motion, grid);
    this.motions.set(grid, motion);
    const made = shaftOf(this.axis, carried, motion);
    this.shafts.set(key, made);
    return made;
  }

  private duty(pick: AxisPick, carried: number): Duty {
    const series = pick.inductor?.inductance ?? 0;
    const { motor, gearbox } = pick;
    const key = [motor.maker, motor.part, gearbox?.maker, gearbox?.part, series, carried].join("|");
    const known = this.duties.get(key);
    if (known !== undefined) return known;
    const made = dutyOf(this.axis, this.shaft(carried), motor, gearbox, series);
    this.duties.set(key, made);
    return made;
  }

  /** Every limit of a pick that needs neither the supply nor the other axes. */
  judge(pick: AxisPick, carried: number): PickVerdict {
    const shaft = this.shaft(carried);
    const low = pick.drive.busMin !== undefined && pick.drive.busMin > this.voltage.low;
    const unfit =
      unfitReason(this.problem, this.axis, pick, shaft.staticTorque) ?? (low ? "bus voltage too low" : null);
    if (unfit !== null) return { passes: false, unfit, limits: [], unchecked: [], worst: Infinity };
    const duty = this.duty(pick, carried);
    const sheet = new Sheet(this.axis);
    motorLimits(sheet, this.problem.site, this.axis, pick, shaft, duty, this.voltage.low);
    if (pick.gearbox !== null) gearboxLimits(sheet, this.axis, pick.gearbox, shaft, duty);
    driveLimits(sheet, this.problem.site, this.axis, pick, duty, this.voltage.high);
    sheet.addAll(furtherFindings(this.problem.site, this.axis, pick, shaft));
    const known = sheet.unchecked.every(({ passes }) => passes);
    return {
      passes: known && sheet.limits.every(({ passes }) => passes),
      unfit: null,
      limits: sheet.limits,
      unchecked: sheet.unchecked,
      worst: known ? worstOf(sheet.limits, this.axis.needs.relax) : Infinity,
    };
  }

  /**
   * Electrical power at the bus at every node, without the drive's fixed loss [W].
   *
   * P = τω + 3·R_hot·I² + 3·R_hot·β·ω²/Kt² + loss_per_amp·I
   *
   * @param grid - nodes of the machine cycle, or of the axis's own period
   */
  power(pick: AxisPick, carried: number, grid: Grid = this.own): Float64Array {
    const shaft = this.shaft(carried, grid);
    const { motor, gearbox, drive } = pick;
    const cosine = Math.cos(this.axis.needs.commutationError);
    const copper = 3 * hotResistance(motor);
    const speedLoss = (copper * betaOf(motor)) / motor.torqueConstant ** 2;
    const i = ratioOf(gearbox);
    return Float64Array.from(shaft.torque, (torque, k) => {
      const at = { torque, acceleration: shaft.acceleration[k] ?? 0, direction: shaft.direction[k] ?? 0 };
      const own = motorTorque(this.axis, motor, gearbox, at);
      const speed = i * (shaft.speed[k] ?? 0);
      const current = currentOf(motor, own, cosine);
      return own * speed + copper * current ** 2 + speedLoss * speed ** 2 + drive.lossPerAmp * current;
    });
  }
}

/** One pick, judged once. */
export function evaluatePick(
  problem: Problem,
  machine: Machine,
  axis: Axis,
  pick: AxisPick,
  carried: number,
): PickVerdict & { readonly power: Float64Array; readonly grid: Grid } {
  const oracle = new AxisOracle(problem, machine, axis);
  return {
    ...oracle.judge(pick, carried),
    power: oracle.power(pick, carried),
    grid: oracle.shaft(carried).sampled.grid,
  };
}
