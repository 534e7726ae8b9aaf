import { supremum } from "../duty/duty.ts";
import type { PickDuty } from "./pick-duty.ts";

/** How far an axis falls until its brake grips, at its output: m, rotary rad. */
export interface Drop {
  readonly fromStandstill: number;
  /** From its largest downward speed of the cycle. */
  readonly fromMotion: number;
}

/**
 * Distance an axis drops while its brake closes: κ·(v·t + ½·a·t²) at the input shaft, a = hanging torque over all inertia
 * that turns with it, v = largest speed the way it falls.
 *
 * Free of friction and with no efficiency, the largest a and v whenever they occur: not too short unless the pull grows on
 * the way beyond what it is anywhere in the cycle (imbalance, crank). A counterbalance counts as working.
 * Source: kinematics of constant acceleration; second law of motion.
 *
 * @param time - until the brake grips [s]
 */
export function dropOf({ duty, factors, ratio }: Pick<PickDuty, "duty" | "factors" | "ratio">, time: number): Drop {
  const turning = factors.inertia * ratio + duty.axis.mechanism.inertia;
  const acceleration = supremum(duty.pieces, ({ hanging, loadInertia }) => {
    const inertia = turning + loadInertia.least;
    return (t) => (hanging(t) === 0 ? 0 : Math.abs(hanging(t)) / inertia);
  }).value;
  // What hangs pulls against the torque that holds it.
  const speed = supremum(duty.pieces, (piece) => (t) => -Math.sign(piece.hanging(t)) * piece.speed(t)).value;
  const fallen = (acceleration * time * time) / 2;
  return {
    fromStandstill: duty.travel * fallen,
    fromMotion: duty.travel * (Math.max(0, speed) * time + fallen),
  };
}
