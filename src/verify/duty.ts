import type { Gearbox, Motor } from "../machine/catalogue.ts";
import type { Axis } from "../machine/problem.ts";
import type { HeatSteps } from "./heat.ts";
import type { Shaft } from "./shaft.ts";

/** Everything a motor and its winding do over the cycle, by stepping through it. */
export interface Duty {
  /** √⟨τ²⟩, max|τ| at the motor [N·m]. */
  readonly rmsTorque: number;
  readonly peakTorque: number;
  /** √⟨ω²⟩, max|ω| [rad/s]. */
  readonly rmsSpeed: number;
  readonly topSpeed: number;
  /** ⟨|ω|⟩ [rad/s]. */
  readonly meanSpeed: number;
  /** Torque and envelope where their ratio is worst [N·m]; absent without an envelope. */
  readonly atSpeed: { readonly torque: number; readonly envelope: number } | null;
  /** Largest line-line rms voltage [V]. */
  readonly voltage: number;
  /** max|τ_in|, and the speed-weighted cubic mean [N·m]. */
  readonly outputPeak: number;
  readonly outputMean: number;
  /** τ² and ω² of the motor at every node, for what heats up with time. */
  readonly squareTorque: HeatSteps;
  readonly squareSpeed: HeatSteps;
}

/** Ratio of the gear, 1 without one. */
export function ratioOf(gearbox: Gearbox | null): number {
  return gearbox?.ratio ?? 1;
}

/** What turns with the motor, gearbox input and coupling included [kg·m²]. */
export function motorSideInertia(axis: Axis, motor: Motor, gearbox: Gearbox | null): number {
  return motor.rotorInertia + motor.brakeInertia + axis.mechanism.couplingInertia + (gearbox?.inertia ?? 0);
}

/**
 * Motor torque at one node: rotor side accelerated, load through the gear, drags.
 *
 * τ_m = (J_motor + J_brake + J_coupling + J_gearbox)·i·θ'' + gear(τ_in) + (friction + drag)·sgn(θ')
 */
export function motorTorque(
  axis: Axis,
  motor: Motor,
  gearbox: Gearbox | null,
  at: { readonly torque: number; readonly acceleration: number; readonly direction: number },
): number {
  const i = ratioOf(gearbox);
  const flow = at.torque * at.direction;
  const factor = gearbox === null || flow === 0 ? 1 : flow > 0 ? 1 / gearbox.efficiency : gearbox.backEfficiency;
  const drag = motor.frictionTorque + (gearbox?.dragTorque ?? 0);
  return motorSideInertia(axis, motor, gearbox) * i * at.acceleration + (at.torque / i) * factor + drag * at.direction;
}

/** Phase resistance at the winding's limit temperature [ohm]; copper constant 234.5. Source: IEC 60034-1, from memory. */
export function hotResistance(motor: Motor): number {
  return ((motor.resistance / 2) * (234.5 + motor.windingLimit)) / (234.5 + 25);
}

/** Slope of the continuous torque over speed: T_cont² = T0² − β·ω². */
export function betaOf(motor: Motor): number {
  return (motor.stallTorque ** 2 - motor.ratedTorque ** 2) / motor.ratedSpeed ** 2;
}

/** Line-line rms voltage of a sinusoidal machine with i_d = 0 [V]. Source: dq model, any textbook on AC drives. */
export function lineVoltage(
  motor: Motor,
  torque: number,
  speed: number,
  seriesInductance: number,
  cosine: number,
): number {
  const current = torque / (motor.torqueConstant * cosine);
  const alongQ = (motor.voltageConstant * speed) / Math.sqrt(3) + hotResistance(motor) * current;
  const electrical = (speed * motor.poles) / 2;
  const alongD = electrical * (motor.inductance / 2 + seriesInductance) * current;
  return Math.sqrt(3) * Math.hypot(alongQ, alongD);
}

/** Peak torque at a speed [N·m]: flat up to the knee, then straight through the value at maximum speed. */
function envelopeAt(motor: Motor, speed: number): number | null {
  const { peakKneeSpeed: knee, peakTorqueAtMaxSpeed: end } = motor;
  if (knee === undefined || end === undefined) return null;
  if (speed <= knee) return motor.peakTorque;
  if (motor.maxSpeed <= knee) return end;
  return Math.max(0, motor.peakTorque + ((end - motor.peakTorque) * (speed - knee)) / (motor.maxSpeed - knee));
}

/** Steps through the cycle and keeps every extreme and mean the limits need. */
export function dutyOf(
  axis: Axis,
  shaft: Shaft,
  motor: Motor,
  gearbox: Gearbox | null,
  seriesInductance: number,
): Duty {
  const i = ratioOf(gearbox);
  const cosine = Math.cos(axis.needs.commutationError);
  const { time } = shaft.sampled.grid;
  const torques = shaft.torque.map((torque, k) => {
    const at = { torque, acceleration: shaft.acceleration[k] ?? 0, direction: shaft.direction[k] ?? 0 };
    return motorTorque(axis, motor, gearbox, at);
  });
  const speeds = shaft.speed.map((speed) => i * speed);
  const squareTorque = { time, heat: torques.map((torque) => torque * torque) };
  const squareSpeed = { time, heat: speeds.map((speed) => speed * speed) };
  const voltages = torques.map((torque, k) => lineVoltage(motor, torque, speeds[k] ?? 0, seriesInductance, cosine));
  const outputPeak = largest(shaft.torque);
  const meanSpeed = mean(shaft.weight, speeds.map(Math.abs));
  const cubic = mean(
    shaft.weight,
    shaft.torque.map((input, k) => Math.abs(shaft.speed[k] ?? 0) * Math.abs(input) ** 3),
  );
  return {
    rmsTorque: Math.sqrt(mean(shaft.weight, squareTorque.heat)),
    peakTorque: largest(torques),
    rmsSpeed: Math.sqrt(mean(shaft.weight, squareSpeed.heat)),
    topSpeed: largest(speeds),
    meanSpeed,
    atSpeed: worstAtSpeed(motor, torques, speeds),
    voltage: largest(voltages),
    outputPeak,
    outputMean: meanSpeed > 0 ? Math.cbrt(cubic / (meanSpeed / i)) : outputPeak,
    squareTorque,
    squareSpeed,
  };
}

/** max|x|. */
function largest(values: Float64Array): number {
  return values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
}

function mean(weight: Float64Array, values: Float64Array): number {
  return values.reduce((sum, value, k) => sum + (weight[k] ?? 0) * value, 0);
}

/** Where torque and envelope are in their worst ratio; null without an envelope. */
function worstAtSpeed(motor: Motor, torques: Float64Array, speeds: Float64Array): Duty["atSpeed"] {
  let worst: Duty["atSpeed"] = null;
  for (let k = 0; k < torques.length; k++) {
    const torque = Math.abs(torques[k] ?? 0);
    const envelope = envelopeAt(motor, Math.abs(speeds[k] ?? 0));
    if (envelope !== null && (worst === null || torque * worst.envelope > worst.torque * envelope))
      worst = { torque, envelope };
  }
  return worst;
}
