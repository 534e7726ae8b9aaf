import type { Drive, Motor } from "../../machine/catalogue.ts";
import { peakCurrentAt } from "./drive-limits.ts";
import { allowedVoltage, envelopeOf } from "./motor-limits.ts";
import type { PickDuty } from "./pick-duty.ts";
import type { MotorRating } from "./rating.ts";

/** What a motor on its drive can reach when motoring, at the lowest bus voltage; no margins. */
export interface Reach {
  /** From standstill to the maximum speed [rad/s]. */
  readonly speed: readonly number[];
  /** Largest torque at each speed [N·m]. */
  readonly peak: readonly number[];
  /** Torque that can be held for ever at each speed [N·m]. */
  readonly continuous: readonly number[];
}

/** What the region is worked out from. */
export type ReachSource = Pick<PickDuty, "motor" | "drive" | "rating" | "phaseInductance" | "bus"> & {
  readonly duty: { readonly axis: { readonly needs: { readonly voltageReserve: number } } };
};

const STEPS = 24;

/**
 * The reachable region: at each speed the least of peak torque × cos δ, the catalogue's envelope, what the drive's peak
 * current and the lowest bus voltage give; for ever the least of that and √(T0² − β·n²).
 *
 * Points are evenly spread, with the knee of the envelope among them.
 * Source: see the limits of the same figures.
 */
export function reachOf(source: ReachSource): Reach {
  const speed = speedsOf(source.motor);
  const peak = speed.map((turning) => largestTorque(source, turning));
  const { continuousTorque, speedLoss } = source.rating;
  const continuous = speed.map((turning, k) => {
    const held = Math.sqrt(Math.max(0, continuousTorque ** 2 - speedLoss * turning ** 2));
    return Math.min(held, peak[k] ?? 0);
  });
  return { speed, peak, continuous };
}

function speedsOf({ maxSpeed, peakKneeSpeed: knee = 0 }: Motor): number[] {
  const even = Array.from({ length: STEPS + 1 }, (_, k) => maxSpeed * (k / STEPS));
  const isBetween = knee < maxSpeed && !even.includes(knee);
  return isBetween ? [...even, knee].toSorted((a, b) => a - b) : even;
}

/** Largest torque of the motor at a speed [N·m]; 0 where the voltage gives none. Source: see `reachOf`. */
function largestTorque(source: ReachSource, turning: number): number {
  const { motor, rating, drive, bus, duty } = source;
  const envelope = envelopeOf(motor, rating)?.(turning) ?? rating.peakTorque;
  const voltage = allowedVoltage(bus.low, duty.axis.needs.voltageReserve);
  return Math.min(
    rating.peakTorque,
    envelope,
    torqueByCurrent(motor, rating, drive),
    torqueByVoltage(source, turning, voltage),
  );
}

/** Torque at the drive's peak current [N·m]: `peakCurrentAt` solved for the torque. Source: see there. */
export function torqueByCurrent(motor: Motor, rating: Pick<MotorRating, "alignment">, drive: Drive): number {
  const { alignment } = rating;
  const linear = drive.peakCurrent * motor.torqueConstant * alignment;
  const atStall = motor.stallTorque * alignment;
  if (linear <= atStall) return linear;
  const [low, high] = [peakCurrentAt(motor, alignment, atStall), peakCurrentAt(motor, alignment, 2 * atStall)];
  return high > low ? atStall * (1 + (drive.peakCurrent - low) / (high - low)) : Number.POSITIVE_INFINITY;
}

/**
 * Largest motoring torque at a terminal voltage [N·m]: `terminalVoltage` solved for the current,
 * i = (V² − E²)/(E·R + √(V²·Z² − E²·X²)), V = U/√3, E = Ke·ω/√3, X = ω_e·L, Z² = R² + X².
 *
 * Source: steady-state dq equations of a surface-magnet machine with i_d = 0, a quadratic in i_q.
 *
 * @param turning - speed of the motor, 0 or above [rad/s]
 * @param voltage - line-line rms [V]
 */
export function torqueByVoltage(
  { motor, rating, phaseInductance }: Pick<PickDuty, "motor" | "rating" | "phaseInductance">,
  turning: number,
  voltage: number,
): number {
  const [phase, emf] = [voltage / Math.sqrt(3), (motor.voltageConstant * turning) / Math.sqrt(3)];
  if (emf > phase) return 0;
  const resistance = rating.hotResistance;
  const reactance = ((turning * motor.poles) / 2) * phaseInductance;
  const root = Math.sqrt(phase ** 2 * (resistance ** 2 + reactance ** 2) - (emf * reactance) ** 2);
  const divisor = emf * resistance + root;
  if (divisor === 0) return Number.POSITIVE_INFINITY;
  return (phase ** 2 - emf ** 2) / divisor / rating.currentPerTorque;
}
