import type { Motor } from "../../machine/catalogue.ts";
import type { LimitId } from "../../machine/limit.ts";
import type { Hold } from "../duty/holds.ts";
import { checked, unchecked } from "./judgement.ts";
import type { JudgeLimit } from "./motor-limits.ts";
import type { MotorRating } from "./rating.ts";

/**
 * Largest torque held at rest for longer than the winding time against what the motor holds standing still [N·m]; no margin.
 *
 * At rest the current stays in the same phase, which then gets twice the heat it gets while turning. Before the winding
 * has followed, the heat over time speaks for it. Nothing held for so long: not judged.
 * Source: peak of a sine against its mean square; common practice, no source.
 */
const standstillTorque: JudgeLimit = ({ duty, motor, rating, ratio }) => {
  if (duty.holds.length === 0) return undefined;
  if (motor.windingTime === undefined) return unchecked("motor.standstill_torque", "winding_time");
  const held = heldLongerThan(duty.holds, motor.windingTime);
  if (held === undefined) return undefined;
  return checked("motor.standstill_torque", {
    demand: held.torque / ratio,
    allowed: allowedAtRest(motor, rating),
    unit: "N*m",
    time: held.at,
  });
};

/** The largest torque that is held for longer than a time [s]. Source: definition. */
export function heldLongerThan(holds: readonly Hold[], time: number): Hold | undefined {
  return holds.find((hold) => hold.time > time);
}

/** The catalogue's standstill torque, else T0/√2, derated like T0 [N·m]. Source: common practice, no source. */
export function allowedAtRest({ standstillTorque: given, stallTorque }: Motor, rating: MotorRating): number {
  return ((given ?? stallTorque / Math.SQRT2) / stallTorque) * rating.continuousTorque;
}

/** Limits of an axis that stands and holds. Source: see each limit. */
export const REST_LIMITS: Readonly<Partial<Record<LimitId, JudgeLimit>>> = {
  "motor.standstill_torque": standstillTorque,
};
