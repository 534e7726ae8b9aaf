import type { LimitId } from "../../machine/limit.ts";
import { outputTurns } from "../../machine/mechanism.ts";
import { checked, unchecked } from "./judgement.ts";
import type { JudgeLimit } from "./motor-limits.ts";

/** demand = max|τ_in|·shock, allowed = acceleration torque at the output [N·m]. Source: common practice, no source. */
const gearboxPeakTorque: JudgeLimit = ({ duty, gearbox }) =>
  gearbox === undefined
    ? undefined
    : checked("gearbox.peak_torque", {
        demand: duty.peakTorque.value * duty.axis.needs.gearboxShock,
        allowed: gearbox.accelerationTorque,
        unit: "N*m",
        time: duty.peakTorque.at,
      });

/** Speed-weighted cubic mean against rated torque [N·m]. Source: ISO 281 exponent; Mott, Machine Elements, eq. 14-11. */
const gearboxMeanTorque: JudgeLimit = ({ duty, gearbox }) =>
  gearbox === undefined
    ? undefined
    : checked("gearbox.mean_torque", { demand: duty.equivalentTorque, allowed: gearbox.ratedTorque, unit: "N*m" });

/** Largest |τ_m|·i of the cycle against the emergency torque [N·m]. Source: common practice, no source. */
const gearboxEmergencyTorque: JudgeLimit = ({ gearbox, ratio, peakTorque }) => {
  if (gearbox === undefined) return undefined;
  const allowed = gearbox.emergencyTorque;
  if (allowed === undefined) return unchecked("gearbox.emergency_torque", "emergency_torque");
  return checked("gearbox.emergency_torque", {
    demand: peakTorque.value * ratio,
    allowed,
    unit: "N*m",
    time: peakTorque.at,
  });
};

/** Highest input speed [rad/s]. Source: common practice, no source. */
const gearboxMaxSpeed: JudgeLimit = ({ duty, gearbox, ratio }) =>
  gearbox === undefined
    ? undefined
    : checked("gearbox.max_speed", {
        demand: ratio * duty.peakSpeed.value,
        allowed: gearbox.maxInputSpeed,
        unit: "rad/s",
        time: duty.peakSpeed.at,
      });

/** Mean input speed over the whole cycle, dwell included [rad/s]. Source: common practice, no source. */
const gearboxMeanSpeed: JudgeLimit = ({ duty, gearbox, ratio }) =>
  gearbox === undefined
    ? undefined
    : checked("gearbox.mean_speed", {
        demand: ratio * duty.meanSpeed,
        allowed: gearbox.ratedInputSpeed,
        unit: "rad/s",
      });

/** Backlash at the output, full catalogue value × κ [m], rotary [rad]; only where the axis asks. Source: geometry. */
export const gearboxBacklash: JudgeLimit = ({ duty, gearbox }) => {
  const allowed = duty.axis.needs.backlash;
  if (gearbox === undefined || allowed === undefined) return undefined;
  const unit = outputTurns(duty.axis.mechanism) ? "rad" : "m";
  return checked("gearbox.backlash", { demand: gearbox.backlash * duty.travel, allowed, unit });
};

/** Gearbox limits in the order of the documentation; none applies to a gearless pick. Source: see each limit. */
export const GEARBOX_LIMITS: Readonly<Partial<Record<LimitId, JudgeLimit>>> = {
  "gearbox.peak_torque": gearboxPeakTorque,
  "gearbox.mean_torque": gearboxMeanTorque,
  "gearbox.emergency_torque": gearboxEmergencyTorque,
  "gearbox.max_speed": gearboxMaxSpeed,
  "gearbox.mean_speed": gearboxMeanSpeed,
  "gearbox.backlash": gearboxBacklash,
};
