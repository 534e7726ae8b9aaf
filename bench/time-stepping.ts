import type { Drive, Gearbox, Motor } from "../src/machine/catalogue.ts";
import type { Axis, Site } from "../src/machine/problem.ts";

/** Steps of one cycle. */
export const STEPS = 2000;

/** What an axis asks at its input shaft, at the middle of every step: worked out once for an axis. */
export interface SteppedAxis {
  readonly axis: Axis;
  readonly site: Site;
  /** Lowest bus voltage [V]. */
  readonly busLow: number;
  /** [rad/s] */
  readonly speed: Float64Array;
  /** [rad/s²] */
  readonly acceleration: Float64Array;
  /** Load torque while it drives power out, takes power in, and at rest [N·m]; zero elsewhere. */
  readonly motoring: Float64Array;
  readonly regenerating: Float64Array;
  readonly resting: Float64Array;
  /** Sense of rotation. */
  readonly turning: Float64Array;
  /** [rad²/s²] and [rad/s] */
  readonly squareSpeed: number;
  readonly peakSpeed: number;
}

/** Sorts the load torque by the way power flows, once for all candidates of an axis. */
export function steppedAxis(
  about: Pick<SteppedAxis, "axis" | "site" | "busLow">,
  { speed, acceleration, torque }: Record<"speed" | "acceleration" | "torque", Float64Array>,
): SteppedAxis {
  const where = (flows: (power: number) => boolean): Float64Array =>
    torque.map((load, k) => (flows(load * speed[k]!) ? load : 0));
  return {
    ...about,
    speed,
    acceleration,
    motoring: where((power) => power > 0),
    regenerating: where((power) => power < 0),
    resting: where((power) => power === 0),
    turning: speed.map(Math.sign),
    squareSpeed: speed.reduce((sum, v) => sum + v * v, 0) / STEPS,
    peakSpeed: speed.reduce((most, v) => Math.max(most, Math.abs(v)), 0),
  };
}

/** A motor behind a gearbox (or none) on a drive. */
export interface SteppedPick {
  readonly motor: Motor;
  readonly gearbox: Gearbox | undefined;
  readonly drive: Drive;
}

/** What stepping through a cycle finds; utilisations pass at 1 or below. */
export interface Stepped {
  /** Without the speed's share of the heat [N·m]. */
  readonly rmsTorque: number;
  readonly peakTorque: number;
  /** Largest, smallest (most given back) and mean electrical power at the bus [W]. */
  readonly peakPower: number;
  readonly backPower: number;
  readonly meanPower: number;
  readonly continuousTorque: number;
  readonly peak: number;
  readonly speed: number;
  readonly continuousCurrent: number;
  readonly peakCurrent: number;
  readonly voltage: number;
  readonly torqueAtSpeed: number;
}

/** Constants of a pick that the loop reads. */
interface Factors {
  readonly ratio: number;
  readonly inertia: number;
  readonly drag: number;
  readonly motoring: number;
  readonly regenerating: number;
  readonly resistance: number;
  readonly inductance: number;
  readonly polePairs: number;
  readonly currentPerTorque: number;
  /** Line-neutral [V·s/rad]. */
  readonly voltagePerSpeed: number;
  /** [W/A] */
  readonly lossPerAmp: number;
  /** Peak torque falls straight from the knee [N·m, rad/s, N·m·s/rad]; the slope is 0 where the catalogue gives no fall. */
  readonly peakTorque: number;
  readonly knee: number;
  readonly slope: number;
}

/**
 * The usual way to judge a candidate, as fast as a plain loop goes: step through the cycle, work out torque, current,
 * voltage and power at every step, keep sums and peaks. Written for comparison; nothing else uses it.
 *
 * What it does not do makes it faster, not slower: no carried-mass range, no feedback, brake, detent or ripple limit.
 */
export function stepThrough(stepped: SteppedAxis, pick: SteppedPick): Stepped {
  const factors = factorsOf(stepped, pick);
  const sums = sumsOver(stepped, factors);
  const { axis, site, busLow } = stepped;
  const { motor, drive } = pick;
  const { needs } = axis;
  const rmsTorque = Math.sqrt(sums.squareTorque / STEPS);
  const heat = Math.sqrt(sums.squareTorque / STEPS + speedLoss(motor) * factors.ratio ** 2 * stepped.squareSpeed);
  const current = rmsTorque * factors.currentPerTorque * (1 + needs.currentMargin);
  return {
    rmsTorque,
    peakTorque: sums.peakTorque,
    peakPower: sums.peakPower,
    backPower: sums.backPower,
    meanPower: sums.power / STEPS + drive.fixedLoss,
    continuousTorque: (heat * (1 + needs.torqueMargin)) / (motor.stallTorque * ambientFactor(motor, site)),
    peak: (sums.peakTorque * (1 + needs.peakMargin)) / motor.peakTorque,
    speed: (stepped.peakSpeed * factors.ratio * (1 + needs.speedMargin)) / motor.maxSpeed,
    continuousCurrent: current / drive.continuousCurrent,
    peakCurrent: (sums.peakTorque * factors.currentPerTorque * (1 + needs.currentMargin)) / drive.peakCurrent,
    voltage: Math.sqrt(3 * sums.squareVoltage) / ((busLow / Math.SQRT2) * (1 - needs.voltageReserve)),
    torqueAtSpeed: sums.share * (1 + needs.peakMargin),
  };
}

function factorsOf({ axis, site }: SteppedAxis, { motor, gearbox, drive }: SteppedPick): Factors {
  const ratio = gearbox?.ratio ?? 1;
  const outside = (gearbox?.inertia ?? 0) + axis.mechanism.couplingInertia;
  const winding = Math.max(motor.windingLimit, site.ambient);
  return {
    ratio,
    inertia: motor.rotorInertia + (motor.brakeTorque === undefined ? 0 : (motor.brakeInertia ?? 0)) + outside,
    drag: motor.frictionTorque + (gearbox?.dragTorque ?? 0),
    motoring: 1 / (ratio * (gearbox?.efficiency ?? 1)),
    regenerating: (gearbox?.backEfficiency ?? 1) / ratio,
    resistance: (motor.resistance / 2) * ((234.5 + winding) / 259.5),
    inductance: motor.inductance / 2,
    polePairs: motor.poles / 2,
    currentPerTorque: 1 / (motor.torqueConstant * Math.cos(axis.needs.commutationError)),
    voltagePerSpeed: motor.voltageConstant / Math.sqrt(3),
    lossPerAmp: drive.lossPerAmp,
    ...fallOf(motor),
  };
}

function fallOf({
  peakTorque,
  peakKneeSpeed,
  peakTorqueAtMaxSpeed,
  maxSpeed,
}: Motor): Pick<Factors, "peakTorque" | "knee" | "slope"> {
  if (peakKneeSpeed === undefined || peakTorqueAtMaxSpeed === undefined)
    return { peakTorque, knee: maxSpeed, slope: 0 };
  return { peakTorque, knee: peakKneeSpeed, slope: (peakTorque - peakTorqueAtMaxSpeed) / (maxSpeed - peakKneeSpeed) };
}

interface Sums {
  squareTorque: number;
  squareVoltage: number;
  power: number;
  peakTorque: number;
  peakPower: number;
  backPower: number;
  share: number;
}

/** The loop. Hot: numbers only, no branch but for the peaks. */
function sumsOver(stepped: SteppedAxis, factors: Factors): Sums {
  const { speed, acceleration, motoring, regenerating, resting, turning } = stepped;
  const { ratio, resistance, currentPerTorque, drag, knee, slope, peakTorque: most } = factors;
  const [out, back, rest, inertia] = [factors.motoring, factors.regenerating, 1 / ratio, factors.inertia * ratio];
  const copper = 3 * resistance * currentPerTorque * currentPerTorque;
  const loss = factors.lossPerAmp * currentPerTorque;
  const emf = factors.voltagePerSpeed * ratio;
  const drop = resistance * currentPerTorque;
  const reactance = ratio * factors.polePairs * factors.inductance * currentPerTorque;
  let [squareTorque, squareVoltage, power] = [0, 0, 0];
  let [peakTorque, peakPower, backPower, share] = [0, 0, 0, 0];
  for (let k = 0; k < STEPS; k++) {
    const v = speed[k]!;
    const tau =
      inertia * acceleration[k]! +
      out * motoring[k]! +
      back * regenerating[k]! +
      rest * resting[k]! +
      drag * turning[k]!;
    const inPhase = emf * v + drop * tau;
    const across = reactance * v * tau;
    const voltage = inPhase * inPhase + across * across;
    const square = tau * tau;
    const torque = Math.abs(tau);
    const over = Math.abs(v) * ratio - knee;
    const atSpeed = torque / (over > 0 ? most - slope * over : most);
    const drawn = tau * v * ratio + copper * square + loss * torque;
    squareTorque += square;
    power += drawn;
    if (voltage > squareVoltage) squareVoltage = voltage;
    if (torque > peakTorque) peakTorque = torque;
    if (drawn > peakPower) peakPower = drawn;
    if (drawn < backPower) backPower = drawn;
    if (atSpeed > share) share = atSpeed;
  }
  return { squareTorque, squareVoltage, power, peakTorque, peakPower, backPower, share };
}

function speedLoss({ stallTorque, ratedTorque, ratedSpeed }: Motor): number {
  return (stallTorque ** 2 - ratedTorque ** 2) / ratedSpeed ** 2;
}

function ambientFactor({ windingLimit, referenceAmbient }: Motor, { ambient, altitude }: Site): number {
  const cooling = Math.sqrt(Math.max(0, windingLimit - ambient) / (windingLimit - referenceAmbient));
  return Math.min(1, cooling) * (1 - Math.max(0, altitude - 1000) / 10_000);
}
