import type { MotorSize } from "./motor-size.ts";

export type Bus = "400 V" | "230 V" | "48 V";

/**
 * Lowest and nominal DC bus voltage [V]: rectified three-phase and one-phase mains, 10 % low mains; regulated 48 V, 5 % low.
 * Source: mean of a six-pulse bridge 1.35 U (textbook); the rest common practice, no source.
 */
const BUS_VOLTAGE: Readonly<Record<Bus, { readonly low: number; readonly nominal: number }>> = {
  "400 V": { low: 1.35 * 400 * 0.9, nominal: 1.35 * 400 },
  "230 V": { low: 1.1 * 230 * 0.9, nominal: 1.1 * 230 },
  "48 V": { low: 0.95 * 48, nominal: 48 },
};

/** One winding of a size. SI; line-line values as a catalogue prints them; speeds in rpm. */
export interface Winding {
  readonly size: MotorSize;
  readonly bus: Bus;
  readonly ratedSpeed: number;
  readonly ratedTorque: number;
  /** [N*m/A rms] */
  readonly torqueConstant: number;
  /** [V*s/rad] line-line rms */
  readonly voltageConstant: number;
  /** [ohm] at 25 degC */
  readonly resistance: number;
  readonly inductance: number;
  readonly maxSpeed: number;
  readonly kneeSpeed: number;
  readonly peakTorqueAtMaxSpeed: number;
}

const RADIANS = Math.PI / 30;

/** Line-line rms voltage per N*m/A of torque constant; loss at stall fixed, so R and L grow with its square. */
function voltagePerConstant(size: MotorSize, torque: number, speedRpm: number): number {
  const omega = speedRpm * RADIANS;
  const hot = size.loss / (3 * size.stall ** 2);
  const reactance = ((omega * size.poles) / 2) * size.electricalTime * coldOver(size.limit) * hot;
  const along = omega / 3 + hot * torque;
  return Math.sqrt(3) * Math.hypot(along, reactance * torque);
}

/** Copper resistance at 25 degC over that at a temperature. Source: 234.5 degC for copper, standard test practice (from memory). */
function coldOver(temperature: number): number {
  return (234.5 + 25) / (234.5 + temperature);
}

/** The largest x in [0, high] for which a rising function stays within a bound. */
function largestWithin(bound: number, high: number, rising: (x: number) => number): number {
  if (rising(high) <= bound) return high;
  let [low, top] = [0, high];
  for (let step = 0; step < 60; step += 1) {
    const middle = (low + top) / 2;
    if (rising(middle) <= bound) low = middle;
    else top = middle;
  }
  return low;
}

const downTo = (value: number, step: number): number => Math.floor(value / step) * step;

/** The winding that reaches its rated point with 13 % of the lowest bus voltage to spare. */
export function designWinding(size: MotorSize, bus: Bus, ratedSpeed: number): Winding {
  const ratedTorque = Math.sqrt(size.stall ** 2 - size.slope * ratedSpeed ** 2);
  const { low, nominal } = BUS_VOLTAGE[bus];
  const torqueConstant = (0.87 * low) / Math.SQRT2 / voltagePerConstant(size, ratedTorque, ratedSpeed);
  const voltageConstant = torqueConstant / Math.sqrt(3);
  const idleSpeed = low / Math.SQRT2 / voltageConstant / RADIANS;
  const maxSpeed = downTo(Math.min(0.95 * idleSpeed, size.fastest), 50);
  const resistance = ((2 * size.loss) / (3 * size.stall ** 2)) * coldOver(size.limit) * torqueConstant ** 2;
  const voltage = (torque: number, speed: number): number => torqueConstant * voltagePerConstant(size, torque, speed);
  const available = nominal / Math.SQRT2;
  return {
    size,
    bus,
    ratedSpeed,
    ratedTorque,
    torqueConstant,
    voltageConstant,
    resistance,
    inductance: resistance * size.electricalTime,
    maxSpeed,
    kneeSpeed: downTo(
      largestWithin(available, maxSpeed, (speed) => voltage(size.peak, speed)),
      10,
    ),
    peakTorqueAtMaxSpeed: largestWithin(available, size.peak, (torque) => voltage(torque, maxSpeed)),
  };
}
