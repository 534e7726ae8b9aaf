import type { LawName, MoveSegment } from "../../machine/problem.ts";
import { DEFAULT_SHAPE, type LawShape, MOTION_LAWS } from "./motion-law.ts";
import { peakValues } from "./unit-law.ts";

/** A move with its time and shape settled. */
export interface TimedMove {
  readonly time: number;
  readonly shape: LawShape;
}

/** What a move's limits lack, in words, when its time cannot be worked out. */
export interface Unsolvable {
  readonly lacking: string;
}

/**
 * Time and shape of a move: as given, or the shortest within its limits.
 *
 * Source: kinematics; see each law's way below.
 *
 * @returns time [s] and shares, or what is lacking
 */
export function timedMove(move: MoveSegment): TimedMove | Unsolvable {
  const { accelerate = 1 / 3, decelerate = 1 / 3, jerk = 0.25 } = move;
  if (move.time !== undefined) return { time: move.time, shape: { accelerate, decelerate, jerk } };
  const distance = Math.abs(move.distance);
  if (distance === 0) return { lacking: "a time (a move by nothing has no other)" };
  const solve = BY_LIMITS[move.law] ?? byPeaks;
  return solve(distance, move);
}

type ByLimits = (distance: number, move: MoveSegment) => TimedMove | Unsolvable;
const BY_LIMITS: Readonly<Partial<Record<LawName, ByLimits>>> = {
  trapezoid: trapezoidByLimits,
  "s-curve": sCurveByLimits,
};

/** Time-optimal trapezoid: T = s/v + v/a with v = min(max speed, √(a·s)). Source: kinematics of constant acceleration. */
function trapezoidByLimits(distance: number, move: MoveSegment): TimedMove | Unsolvable {
  const { maxSpeed = Number.POSITIVE_INFINITY, maxAcceleration } = move;
  if (maxAcceleration === undefined) return { lacking: "max_acceleration" };
  const speed = Math.min(maxSpeed, Math.sqrt(maxAcceleration * distance));
  return symmetric(distance, speed, speed / maxAcceleration, 0);
}

/**
 * Time-optimal seven-phase move: each ramp is jerk-limited, with constant acceleration when the limit is reached.
 *
 * ramp(v) = v/a + a/j where v ≥ a²/j, else 2√(v/j); T = s/v + ramp(v), v the largest with v·ramp(v) ≤ s.
 * Source: kinematics of constant jerk.
 */
function sCurveByLimits(distance: number, move: MoveSegment): TimedMove | Unsolvable {
  const { maxSpeed = Number.POSITIVE_INFINITY, maxAcceleration = Number.POSITIVE_INFINITY, maxJerk: j } = move;
  if (j === undefined) return { lacking: "max_jerk" };
  const a = maxAcceleration;
  const pureJerk = (distance * Math.sqrt(j) * 0.5) ** (2 / 3);
  const reachesA = pureJerk >= (a * a) / j;
  const longest = reachesA ? (-(a * a) / j + Math.sqrt((a * a * a * a) / (j * j) + 4 * a * distance)) / 2 : pureJerk;
  const speed = Math.min(maxSpeed, longest);
  const full = speed >= (a * a) / j;
  const ramp = full ? speed / a + a / j : 2 * Math.sqrt(speed / j);
  return symmetric(distance, speed, ramp, full ? a / j / ramp : 0.5);
}

function symmetric(distance: number, speed: number, ramp: number, jerk: number): TimedMove {
  const time = Math.max(distance / speed + ramp, 2 * ramp);
  const share = Math.min(0.5, ramp / time);
  return { time, shape: { accelerate: share, decelerate: share, jerk } };
}

/** T = max(Cv·s/v, √(Ca·s/a), ∛(Cj·s/j)) for laws of fixed shape. */
function byPeaks(distance: number, move: MoveSegment): TimedMove | Unsolvable {
  const { speed, acceleration } = peakValues(move.law, DEFAULT_SHAPE);
  const jerk = MOTION_LAWS[move.law].peakJerk;
  if (move.maxJerk !== undefined && !Number.isFinite(jerk))
    return { lacking: "a law without jumps of acceleration (max_jerk)" };
  const times = [
    move.maxSpeed === undefined ? 0 : (speed * distance) / move.maxSpeed,
    move.maxAcceleration === undefined ? 0 : Math.sqrt((acceleration * distance) / move.maxAcceleration),
    move.maxJerk === undefined ? 0 : Math.cbrt((jerk * distance) / move.maxJerk),
  ];
  const time = Math.max(...times);
  if (time === 0) return { lacking: "time, max_speed, max_acceleration or max_jerk" };
  return { time, shape: DEFAULT_SHAPE };
}
