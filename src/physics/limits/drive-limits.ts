import type { Drive, Motor } from "../../machine/catalogue.ts";
import type { LimitId } from "../../machine/limit.ts";
import { checked, unchecked } from "./judgement.ts";
import type { JudgeLimit } from "./motor-limits.ts";
import { cabinetFactor } from "./rating.ts";

/** RMS current × (1 + current margin) against the derated continuous current [A]. Source: common practice, no source. */
const driveContinuousCurrent: JudgeLimit = ({ duty, drive, rating, rmsTorque, site }) =>
  checked("drive.continuous_current", {
    demand: rmsTorque * rating.currentPerTorque * (1 + duty.axis.needs.currentMargin),
    allowed: drive.continuousCurrent * cabinetFactor(site),
    unit: "A",
  });

/**
 * Current at a peak torque [A]: torque/(Kt·cos δ); where the catalogue gives the peak current, it rises straight from
 * (T0, T0/Kt) to (peak torque, peak current): saturation.
 *
 * Source: common practice, no source.
 */
export function peakCurrentAt(motor: Motor, alignment: number, torque: number): number {
  const aligned = torque / alignment;
  const linear = aligned / motor.torqueConstant;
  const { peakCurrent, stallTorque, peakTorque } = motor;
  if (peakCurrent === undefined || aligned <= stallTorque || peakTorque <= stallTorque) return linear;
  const start = stallTorque / motor.torqueConstant;
  return start + ((peakCurrent - start) * (aligned - stallTorque)) / (peakTorque - stallTorque);
}

/** Peak current × (1 + current margin) against the drive's [A]. Source: common practice, no source. */
const drivePeakCurrent: JudgeLimit = ({ duty, motor, drive, rating, peakTorque }) =>
  checked("drive.peak_current", {
    demand: peakCurrentAt(motor, rating.alignment, peakTorque.value) * (1 + duty.axis.needs.currentMargin),
    allowed: drive.peakCurrent,
    unit: "A",
    time: peakTorque.at,
  });

/**
 * Ripple per volt of bus, henry and hertz: RMS, and peak to peak.
 *
 * Sinusoidal: 0.02515 and 1/6, two-level space-vector modulation at full modulation; six-step: 1/(8·√12) and 1/8.
 * Source: derived numerically, shared/reference/physics/pwm_ripple.csv; Grandi & Loncarski on three-phase PWM ripple.
 */
const RIPPLE: Readonly<Record<Drive["commutation"], { readonly rms: number; readonly peakToPeak: number }>> = {
  sinusoidal: { rms: 0.02515, peakToPeak: 1 / 6 },
  "six-step": { rms: 1 / (8 * Math.sqrt(12)), peakToPeak: 1 / 8 },
};

/** Worst RMS ripple current [A] from bus voltage [V] and phase inductance [H]. Source: see the table above. */
export function rippleCurrent(
  drive: Drive,
  highestBus: number,
  phaseInductance: number,
): { rms: number; peakToPeak: number } {
  const perCoefficient = highestBus / (phaseInductance * drive.switchingFrequency);
  const { rms, peakToPeak } = RIPPLE[drive.commutation];
  return { rms: rms * perCoefficient, peakToPeak: peakToPeak * perCoefficient };
}

/** Ripple against a share of the stall current T0/Kt [A]. Source: common practice, no source. */
const driveRippleCurrent: JudgeLimit = ({ duty, motor, drive, bus, phaseInductance }) => {
  const { rms, peakToPeak } = rippleCurrent(drive, bus.high, phaseInductance);
  return checked("drive.ripple_current", {
    demand: rms,
    allowed: allowedRipple(motor, duty.axis.needs.rippleCurrent),
    unit: "A",
    beside: { name: "peak to peak", value: peakToPeak, unit: "A" },
  });
};

/** share × T0/Kt [A]. Source: common practice, no source. */
export function allowedRipple(motor: Motor, share: number): number {
  return (share * motor.stallTorque) / motor.torqueConstant;
}

/** Electrical frequency n/60·poles/2 against the drive's [Hz]. Source: definition of synchronous speed. */
const driveFrequency: JudgeLimit = ({ duty, motor, drive, ratio }) => {
  if (drive.maxFrequency === undefined) return unchecked("drive.frequency", "max_frequency");
  return checked("drive.frequency", {
    demand: electricalFrequency(motor, ratio * duty.peakSpeed.value),
    allowed: drive.maxFrequency,
    unit: "Hz",
    time: duty.peakSpeed.at,
  });
};

/** [Hz] from motor speed [rad/s]. Source: definition of synchronous speed. */
export function electricalFrequency(motor: Motor, speed: number): number {
  return ((speed / (2 * Math.PI)) * motor.poles) / 2;
}

/** RMS current of the cycle through a series inductor [A]. Source: common practice, no source. */
const inductorCurrent: JudgeLimit = ({ inductor, rating, rmsTorque }) =>
  inductor === undefined
    ? undefined
    : checked("inductor.continuous_current", {
        demand: rmsTorque * rating.currentPerTorque,
        allowed: inductor.continuousCurrent,
        unit: "A",
      });

/** Drive and inductor limits in the order of the documentation. Source: see each limit. */
export const DRIVE_LIMITS: Readonly<Partial<Record<LimitId, JudgeLimit>>> = {
  "drive.continuous_current": driveContinuousCurrent,
  "drive.peak_current": drivePeakCurrent,
  "drive.ripple_current": driveRippleCurrent,
  "drive.frequency": driveFrequency,
  "inductor.continuous_current": inductorCurrent,
};
