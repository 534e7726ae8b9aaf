import type { SignalPiece } from "./signal-piece.ts";

/** Below this an axis hangs free at rest; as for the holding brake [N·m]. */
const NOTHING = 1e-6;

/** A torque of the input shaft that is held at rest without a break, or more than it. */
export interface Hold {
  /** |τ_in| [N·m] */
  readonly torque: number;
  /** The longest time at a stretch [s]; Infinity where the axis never moves and never holds less. */
  readonly time: number;
  /** Machine time at which that stretch begins [s]. */
  readonly at: number;
}

/**
 * The levels of torque held at rest, the largest first, each with the longest time that this much or more is held.
 *
 * A stretch may run over the end of the period. A self-locking mechanism holds itself, and so nothing. A torque that follows
 * a table counts at its larger end between two rows.
 * Source: definition.
 */
export function holdsOf(pieces: readonly SignalPiece[], period: number): Hold[] {
  const rests = pieces.map(({ from, to, turning, torque }) => ({
    from,
    time: to - from,
    torque: turning === 0 ? Math.max(Math.abs(torque(from)), Math.abs(torque(to))) : 0,
  }));
  const levels = [...new Set(rests.map(({ torque }) => torque))].filter((torque) => torque > NOTHING);
  return levels.toSorted((a, b) => b - a).map((torque) => ({ torque, ...longest(rests, { torque, period }) }));
}

interface Rest {
  readonly from: number;
  readonly time: number;
  readonly torque: number;
}

/** The longest stretch at a level; the earliest among equals. Two periods are looked at, because one may wrap. */
function longest(rests: readonly Rest[], { torque, period }: { torque: number; period: number }): Omit<Hold, "torque"> {
  if (rests.every((rest) => rest.torque >= torque)) return { time: Number.POSITIVE_INFINITY, at: 0 };
  let best = { time: 0, at: 0 };
  let [time, at] = [0, 0];
  for (const rest of [...rests, ...rests]) {
    if (rest.torque < torque) time = 0;
    else {
      if (time === 0) at = rest.from;
      time += rest.time;
      if (time > best.time + 1e-12 * period) best = { time, at };
    }
  }
  return best;
}
