import type { LimitId } from "../../machine/limit.ts";
import type { Duty } from "../duty/duty.ts";
import { checked, unchecked } from "./judgement.ts";
import type { JudgeLimit } from "./motor-limits.ts";

/**
 * Radial force that belt or pinion puts on the shaft that drives it, per torque of that shaft [1/m]; 0 where there is none.
 *
 * F_r = factor·|τ_in|/κ. Belt: both strands pull at the shaft with their pretension, whatever the motion; twice the largest
 * tangential force where nothing else is said (common practice, no source). Pinion: 1/cos of the pressure angle.
 * Source: tooth force of an involute gear, F = F_t/cos α (textbook of machine elements).
 */
export function radialPerTorque({ axis: { mechanism }, travel }: Pick<Duty, "axis" | "travel">): number {
  return "radialFactor" in mechanism ? (mechanism.radialFactor ?? 0) / travel : 0;
}

/** Radial force on the gearbox's output shaft against what its bearings take [N]. Source: see `radialPerTorque`. */
const gearboxShaft: JudgeLimit = ({ duty, gearbox }) => {
  if (gearbox === undefined) return undefined;
  return shaftLoad("gearbox.shaft_load", duty, gearbox.radialLoad);
};

/** Radial force on the motor's shaft where there is no gearbox between [N]. Source: see `radialPerTorque`. */
const motorShaft: JudgeLimit = ({ duty, motor, gearbox }) => {
  if (gearbox !== undefined) return undefined;
  return shaftLoad("motor.shaft_load", duty, motor.radialLoad);
};

function shaftLoad(id: LimitId, duty: Duty, allowed: number | undefined): ReturnType<JudgeLimit> {
  const perTorque = radialPerTorque(duty);
  if (perTorque === 0) return undefined;
  if (allowed === undefined) return unchecked(id, "radial_load");
  const { value, at } = duty.peakTorque;
  return checked(id, { demand: perTorque * value, allowed, unit: "N", time: at });
}

/** Loads on shafts. Source: see each limit. */
export const SHAFT_LIMITS: Readonly<Partial<Record<LimitId, JudgeLimit>>> = {
  "gearbox.shaft_load": gearboxShaft,
  "motor.shaft_load": motorShaft,
};
