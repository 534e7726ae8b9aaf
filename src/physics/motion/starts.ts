import type { FollowTable, Segment } from "../../machine/problem.ts";

/** Speed at which a segment ends, before the next begins [m/s], rotary [rad/s]. Source: definition. */
export function endSpeed(segment: Segment | undefined): number {
  if (segment?.kind === "follow") return segment.table.of === "velocity" ? (segment.table.values.at(-1) ?? 0) : 0;
  return segment?.kind === "run" && segment.decelerateTime === undefined ? segment.speed : 0;
}

/**
 * Number of times the axis is set moving over a period: from rest, and within tables also back the other way, so that a
 * table counts as the moves it describes. Source: definition.
 *
 * @param isWhole - one followed table is the whole period: positions go on from its last row to its first
 */
export function startsIn(motion: readonly Segment[], isWhole: boolean): number {
  let way = isWhole ? wayRoundTheEnd(motion.at(-1)) : Math.sign(endSpeed(motion.at(-1)));
  let starts = 0;
  for (const segment of motion) {
    if (segment.kind === "follow") {
      for (const next of waysOf(segment.table)) {
        if (next !== 0 && next !== way) starts += 1;
        way = next;
      }
    } else if (moves(segment) && way === 0) starts += 1;
    way = Math.sign(endSpeed(segment));
  }
  return starts;
}

function moves(segment: Segment): boolean {
  return segment.kind === "run" || (segment.kind === "move" && segment.distance !== 0);
}

function wayRoundTheEnd(whole: Segment | undefined): number {
  if (whole?.kind !== "follow" || whole.table.of === "velocity") return Math.sign(endSpeed(whole));
  return waysOf(whole.table).at(-1) ?? 0;
}

/** Slower than this share of a table's largest speed an axis counts as standing: measured tables tremble at rest. */
const STANDING = 1e-3;

/** The ways a table goes, row by row: 1, −1, 0 while it stands. */
function waysOf({ of, times, values }: FollowTable): number[] {
  const speeds = of === "velocity" ? values : values.slice(1).map((value, k) => meanSpeed(times, values, k, value));
  const top = speeds.reduce((most, speed) => Math.max(most, Math.abs(speed)), 0);
  const ways = speeds.map((speed) => (Math.abs(speed) <= STANDING * top ? 0 : Math.sign(speed)));
  if (of === "position") return ways;
  // A line stands where both its ends do; else it goes the way of the end that moves, or of both in turn.
  return ways.slice(1).flatMap((next, k) => {
    const before = ways[k] ?? 0;
    return next === 0 || before === 0 ? [before + next] : [before, next];
  });
}

function meanSpeed(times: readonly number[], values: readonly number[], k: number, value: number): number {
  return (value - (values[k] ?? 0)) / ((times[k + 1] ?? 0) - (times[k] ?? 0));
}
