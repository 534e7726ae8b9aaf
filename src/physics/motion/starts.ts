import type { Segment } from "../../machine/problem.ts";
import { rowsMove } from "./follow-curves.ts";

/** Speed at which a segment ends, before the next begins [m/s], rotary [rad/s]. Source: definition. */
export function endSpeed(segment: Segment | undefined): number {
  if (segment?.kind === "follow") return segment.table.of === "velocity" ? (segment.table.values.at(-1) ?? 0) : 0;
  return segment?.kind === "run" && segment.decelerateTime === undefined ? segment.speed : 0;
}

/**
 * Number of times the axis is set moving from rest over a period. Source: definition.
 *
 * @param isWhole - one followed table is the whole period: positions go on from its last row to its first
 */
export function startsIn(motion: readonly Segment[], isWhole: boolean): number {
  const last = motion.at(-1);
  let moving = isWhole ? joinsMoving(last) : endSpeed(last) !== 0;
  let starts = 0;
  for (const segment of motion) {
    for (const moves of stretchesOf(segment)) {
      if (moves && !moving) starts += 1;
      moving = moves;
    }
    moving &&= endSpeed(segment) !== 0;
  }
  return starts;
}

/** Whether a table that is the whole period goes round its end in motion. */
function joinsMoving(whole: Segment | undefined): boolean {
  if (whole?.kind !== "follow" || whole.table.of === "velocity") return endSpeed(whole) !== 0;
  return rowsMove(whole.table).at(-1) ?? false;
}

/** For each stretch of a segment, whether the axis moves. */
function stretchesOf(segment: Segment): boolean[] {
  if (segment.kind === "follow") return rowsMove(segment.table);
  return [segment.kind === "run" || (segment.kind === "move" && segment.distance !== 0)];
}
