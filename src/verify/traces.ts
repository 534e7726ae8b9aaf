import type { Axis } from "../machine/problem.ts";
import { betaOf, hotResistance, motorTorque, ratioOf } from "./duty.ts";
import { type AxisPick, currentOf } from "./evaluate-pick.ts";
import type { Shaft } from "./shaft.ts";

/** What a pick does at every node of a shaft. */
export interface Traces {
  /** Of the motor [N·m], [rad/s], [A rms]. */
  readonly torque: Float64Array;
  readonly speed: Float64Array;
  readonly current: Float64Array;
  /** At the bus, without the drive's fixed loss [W]. */
  readonly power: Float64Array;
}

/**
 * Torque, speed, current and power of a pick at every node.
 *
 * P = τω + 3·R_hot·I² + 3·R_hot·β·ω²/Kt² + loss_per_amp·I
 *
 * Source: power balance of motor and drive; that speed losses are what the fall of continuous torque tells: common
 * practice, no source.
 */
export function tracesOf(axis: Axis, { motor, gearbox, drive }: AxisPick, shaft: Shaft): Traces {
  const cosine = Math.cos(axis.needs.commutationError);
  const copper = 3 * hotResistance(motor);
  const speedLoss = (copper * betaOf(motor)) / motor.torqueConstant ** 2;
  const i = ratioOf(gearbox);
  const torque = shaft.torque.map((input, k) => {
    const at = { torque: input, acceleration: shaft.acceleration[k] ?? 0, direction: shaft.direction[k] ?? 0 };
    return motorTorque(axis, motor, gearbox, at);
  });
  const speed = shaft.speed.map((own) => i * own);
  const current = torque.map((own) => currentOf(motor, own, cosine));
  const power = torque.map((own, k) => {
    const [n, amps] = [speed[k] ?? 0, current[k] ?? 0];
    return own * n + copper * amps ** 2 + speedLoss * n ** 2 + drive.lossPerAmp * amps;
  });
  return { torque, speed, current, power };
}
