import type { Motor } from "../../machine/catalogue.ts";
import type { Judgement, LimitId } from "../../machine/limit.ts";
import { outputTurns } from "../../machine/mechanism.ts";
import type { Scalar } from "../../maths/scalar.ts";
import { type Duty, supremum } from "../duty/duty.ts";
import type { SignalPiece } from "../duty/signal-piece.ts";
import { checked, unchecked } from "./judgement.ts";
import { type PickDuty, torqueAndSpeed } from "./pick-duty.ts";
import type { MotorRating } from "./rating.ts";

/** Judges one limit of a pick; undefined where the limit does not apply. */
export type JudgeLimit = (pick: PickDuty) => Judgement | undefined;

/**
 * Heat over the whole cycle against the torque that can be held all day.
 *
 * demand = √(⟨τ²⟩ + β·⟨n²⟩)·(1 + torque margin) [N·m]; allowed = T0 × deratings [N·m]
 * Source: RMS rule with speed losses T_cont(n)² = T0² − β·n²; common practice, no source.
 */
const continuousTorque: JudgeLimit = ({ duty, rating, ratio, rmsTorque }) =>
  checked("motor.continuous_torque", {
    demand:
      heatTorque(rmsTorque ** 2, rating.speedLoss * ratio ** 2 * duty.meanSquareSpeed) *
      (1 + duty.axis.needs.torqueMargin),
    allowed: rating.continuousTorque,
    unit: "N*m",
  });

/** √(⟨τ²⟩ + β⟨n²⟩) [N·m]. Source: as for the continuous torque. */
export function heatTorque(meanSquareTorque: number, speedLoss: number): number {
  return Math.sqrt(meanSquareTorque + speedLoss);
}

/** demand = max|τ|·(1 + peak margin), allowed = peak torque × cos δ [N·m]. Source: common practice, no source. */
const peakTorque: JudgeLimit = ({ duty, rating, peakTorque: peak }) =>
  checked("motor.peak_torque", {
    demand: peak.value * (1 + duty.axis.needs.peakMargin),
    allowed: rating.peakTorque,
    unit: "N*m",
    time: peak.at,
  });

/**
 * Worst ratio of torque to the envelope: peak torque up to the knee speed, then straight to the value at maximum speed.
 *
 * Source: common practice, no source.
 */
const torqueAtSpeed: JudgeLimit = (pick) => {
  const { motor, duty, ratio, factors, rating } = pick;
  const envelope = envelopeOf(motor, rating);
  if (envelope === undefined) return unchecked("motor.torque_at_speed", missingEnvelope(motor));
  const margin = 1 + duty.axis.needs.peakMargin;
  const worst = supremum(duty.pieces, (piece) => {
    const read = torqueAndSpeed(piece, factors);
    const both = { torque: 0, speed: 0 };
    return (t) => {
      read(t, both);
      return (margin * Math.abs(both.torque)) / envelope(ratio * Math.abs(both.speed));
    };
  });
  const speed = speedJustAt(duty.pieces, worst.at) * ratio;
  const allowed = envelope(speed);
  return checked("motor.torque_at_speed", { demand: worst.value * allowed, allowed, unit: "N*m", time: worst.at });
};

/** Torque allowed at a speed [N·m]; undefined where the catalogue does not give it. Source: common practice, no source. */
export function envelopeOf(motor: Motor, rating: MotorRating): Scalar | undefined {
  const { peakKneeSpeed: knee, peakTorqueAtMaxSpeed: last, maxSpeed } = motor;
  if (knee === undefined || last === undefined) return undefined;
  const top = rating.peakTorque;
  const bottom = last * rating.alignment;
  if (knee >= maxSpeed) return () => top;
  return (speed) => top + (bottom - top) * Math.min(1, Math.max(0, (speed - knee) / (maxSpeed - knee)));
}

function missingEnvelope(motor: Motor): string {
  return motor.peakKneeSpeed === undefined ? "peak_knee_speed" : "peak_torque_at_max_speed";
}

function speedJustAt(pieces: readonly SignalPiece[], time: number): number {
  const piece = pieces.find(({ from, to }) => time >= from && time <= to);
  return piece === undefined ? 0 : Math.abs(piece.speed(time));
}

/** demand = i·max θ'·(1 + speed margin), allowed = maximum speed [rad/s]. Source: common practice, no source. */
const speed: JudgeLimit = ({ duty, motor, ratio }) =>
  checked("motor.speed", {
    demand: ratio * duty.peakSpeed.value * (1 + duty.axis.needs.speedMargin),
    allowed: motor.maxSpeed,
    unit: "rad/s",
    time: duty.peakSpeed.at,
  });

/**
 * Line-line rms voltage at an instant [V]:
 * √3·√((Ke·ω/√3 + R_hot·i_q)² + (ω_e·L·i_q)²), i_q = τ/(Kt·cos δ) signed, ω_e = ω·poles/2.
 *
 * Source: steady-state dq equations of a surface-magnet machine with i_d = 0 (textbook of electric drives).
 *
 * @param turning - speed of the motor, ω [rad/s]
 * @param torque - of the motor [N·m]
 */
export function terminalVoltage(
  { motor, rating, phaseInductance }: Pick<PickDuty, "motor" | "rating" | "phaseInductance">,
  turning: number,
  torque: number,
): number {
  const current = torque * rating.currentPerTorque;
  const resistive = (motor.voltageConstant * turning) / Math.sqrt(3) + rating.hotResistance * current;
  const reactive = ((turning * motor.poles) / 2) * phaseInductance * current;
  return Math.sqrt(3 * (resistive * resistive + reactive * reactive));
}

/** Worst terminal voltage against what the lowest bus voltage gives, less the reserve [V]. Source: space-vector limit U/√2. */
const voltage: JudgeLimit = (pick) => {
  const worst = supremum(pick.duty.pieces, (piece) => {
    const read = torqueAndSpeed(piece, pick.factors);
    const both = { torque: 0, speed: 0 };
    return (t) => {
      read(t, both);
      return terminalVoltage(pick, pick.ratio * both.speed, both.torque);
    };
  });
  const allowed = allowedVoltage(pick.bus.low, pick.duty.axis.needs.voltageReserve);
  return checked("motor.voltage", { demand: worst.value, allowed, unit: "V", time: worst.at });
};

/** U_low/√2·(1 − reserve) [V]. Source: linear range of space-vector modulation. */
export function allowedVoltage(lowestBus: number, reserve: number): number {
  return (lowestBus / Math.SQRT2) * (1 - reserve);
}

/**
 * (J_gearbox + J_coupling + (J_in + m_max·κ²)/i²)/(J_motor + J_brake) [1].
 *
 * Source: common practice, no source.
 */
export const inertiaRatio: JudgeLimit = ({ duty, motor, gearbox, ratio }) => {
  const allowed = duty.axis.needs.inertiaRatio;
  if (allowed === null) return undefined;
  const load = (gearbox?.inertia ?? 0) + duty.axis.mechanism.couplingInertia + duty.largestInertia / ratio ** 2;
  return checked("motor.inertia_ratio", {
    demand: load / (motor.rotorInertia + motor.brakeInertia),
    allowed,
    unit: "1",
  });
};

/** Detent torque at the load, T_d·i/κ [N], rotary [N·m]; only where the axis asks. Source: common practice, no source. */
const detent: JudgeLimit = ({ duty, motor, ratio }) => {
  const allowed = duty.axis.needs.detent;
  if (allowed === undefined) return undefined;
  if (motor.detentTorque === undefined) return unchecked("motor.detent", "detent_torque");
  const unit = outputTurns(duty.axis.mechanism) ? "N*m" : "N";
  return checked("motor.detent", { demand: (motor.detentTorque * ratio) / duty.leastTravel, allowed, unit });
};

/**
 * Share of speed ripple at the slowest smooth speed: T_d/(J_tot·N_d·ω²), ω = i·smooth_from/κ, J_tot with the smallest load.
 *
 * Source: rotor under a sinusoidal detent torque of N_d periods a turn, first order; common practice.
 */
const speedRipple: JudgeLimit = ({ duty, motor, gearbox, ratio }) => {
  const { speedRipple: allowed, smoothFrom } = duty.axis.needs;
  if (allowed === undefined || smoothFrom === undefined) return undefined;
  const { detentTorque, detents } = motor;
  if (detentTorque === undefined) return unchecked("motor.speed_ripple", "detent_torque");
  if (detentTorque === 0) return checked("motor.speed_ripple", { demand: 0, allowed, unit: "1" });
  if (detents === undefined) return unchecked("motor.speed_ripple", "detents");
  const rotor = motor.rotorInertia + motor.brakeInertia + duty.axis.mechanism.couplingInertia + (gearbox?.inertia ?? 0);
  const inertia = rotor + duty.smallestInertia / ratio ** 2;
  const turning = (ratio * smoothFrom) / duty.travel;
  return checked("motor.speed_ripple", {
    demand: detentTorque / (inertia * detents * turning ** 2),
    allowed,
    unit: "1",
  });
};

/**
 * Weight and imbalance at the motor × safety factor against the holding brake; friction is no help [N·m].
 *
 * Source: common practice, no source.
 */
const brake: JudgeLimit = ({ duty, motor, ratio }) => {
  if (!needsBrake(duty, ratio)) return undefined;
  const demand = (duty.hangingTorque / ratio) * duty.axis.needs.brakeFactor;
  if (motor.brakeTorque === undefined || cannotStart({ duty, motor, ratio })) {
    return { kind: "checked", limit: { id: "motor.brake", demand, allowed: 0, unit: "N*m", utilisation: null } };
  }
  return checked("motor.brake", { demand, allowed: motor.brakeTorque, unit: "N*m" });
};

/**
 * True where the motor has to move to find its field at switch-on, but may not: the axis hangs on its brake.
 *
 * Incremental feedback without Hall tracks; no brake is strong enough then.
 * Source: common practice, no source.
 */
export function cannotStart({ duty, motor, ratio }: Pick<PickDuty, "duty" | "motor" | "ratio">): boolean {
  return motor.feedback === "encoder-incremental" && needsBrake(duty, ratio);
}

/**
 * True where a holding brake is asked for, or by default where gravity or imbalance acts at rest at every carried mass.
 *
 * Source: common practice, no source.
 */
export function needsBrake(duty: Duty, ratio: number): boolean {
  return duty.axis.needs.brake ?? (duty.hangingTorque - duty.slack.hanging) / ratio > 1e-6;
}

/** One count at the output, 2πκ/(i·counts) [m], rotary [rad]; only where the axis asks. Source: geometry. */
const resolution: JudgeLimit = ({ duty, motor, ratio }) => {
  const allowed = duty.axis.needs.resolution;
  if (allowed === undefined) return undefined;
  if (motor.resolution === undefined) return unchecked("motor.resolution", "resolution");
  const unit = outputTurns(duty.axis.mechanism) ? "rad" : "m";
  return checked("motor.resolution", {
    demand: (2 * Math.PI * duty.travel) / (ratio * motor.resolution),
    allowed,
    unit,
  });
};

/** Motor limits in the order of the documentation. Source: see each limit. */
export const MOTOR_LIMITS: Readonly<Partial<Record<LimitId, JudgeLimit>>> = {
  "motor.continuous_torque": continuousTorque,
  "motor.peak_torque": peakTorque,
  "motor.torque_at_speed": torqueAtSpeed,
  "motor.speed": speed,
  "motor.voltage": voltage,
  "motor.inertia_ratio": inertiaRatio,
  "motor.detent": detent,
  "motor.speed_ripple": speedRipple,
  "motor.brake": brake,
  "motor.resolution": resolution,
};
