import { type Duty, supremum } from "./duty.ts";

/**
 * Time in which an axis comes to rest from its highest speed, at the largest acceleration of the same run; the longest of its
 * runs [s]. 0 where it never speeds up: it stands, or turns evenly.
 *
 * What a stop takes that asks no more of an axis than its work does.
 * Source: kinematics; that an emergency stop nobody describes is such a one: common practice, no source.
 *
 * @param runs - of one axis
 */
export function rampTime(runs: readonly Duty[]): number {
  const times = runs.map(({ pieces, peakSpeed }) => {
    const acceleration = supremum(pieces, (piece) => (t) => Math.abs(piece.acceleration(t))).value;
    return acceleration > 0 ? peakSpeed.value / acceleration : 0;
  });
  return Math.max(0, ...times);
}
