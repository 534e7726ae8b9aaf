import type { Axis, FollowTable, LawName, MoveSegment, RunSegment, Segment } from "../machine/problem.ts";
import { followedStretches } from "./followed.ts";
import { type LawPeaks, type LawPiece, type LawShares, lawPeaks, lawPieces } from "./motion-law.ts";

/** Position, speed and acceleration at the output [m or rad, per s, per s²]. */
export interface State {
  readonly q: number;
  readonly v: number;
  readonly a: number;
}

/** A stretch of machine time in which the motion is smooth and does not turn round. */
export interface Piece {
  /** Machine time [s]. */
  readonly begin: number;
  readonly end: number;
  /** State at machine time t of the closed stretch: its own one-sided limits at the borders. */
  readonly at: (t: number) => State;
  /** −1, 0, 1: sign of the speed inside. */
  readonly direction: number;
  /** Index of the segment; −1 in the rest of the cycle after the list. */
  readonly segment: number;
  /** Time since the segment began, and since the list of segments did, at machine time t [s]. */
  readonly since: (t: number) => number;
  readonly listed: (t: number) => number;
}

/** The motion of an axis over its period. */
export interface AxisMotion {
  readonly period: number;
  readonly pieces: readonly Piece[];
}

/** A stretch in list time (from 0), before `start` shifts and wraps it. */
interface Raw {
  readonly length: number;
  readonly at: (s: number) => State;
  readonly segment: number;
}

const REST: LawShares = { accelerate: 1 / 3, decelerate: 1 / 3, jerk: 0.25 };

/** Time and shares of a time-optimal trapezoid: triangle where the speed is not reached. */
function trapezoidByLimits(s: number, v: number, a: number): { time: number; shares: LawShares } {
  const top = Math.min(v, Math.sqrt(s * a));
  const ramp = top / a;
  const time = s / top + ramp;
  return { time, shares: { accelerate: ramp / time, decelerate: ramp / time, jerk: 0.25 } };
}

/** Time and shares of a time-optimal seven-phase move. */
function softByLimits(s: number, v: number, a: number, j: number): { time: number; shares: LawShares } {
  // A ramp to the speed `top` takes jerk time tj twice and, where a is reached, a constant part between.
  const ramp = (top: number): { tj: number; ta: number } => {
    const tj = Math.min(a / j, Math.sqrt(top / j));
    return { tj, ta: tj + top / (j * tj) };
  };
  // Distance needed for both ramps grows with the speed: bisect where the full speed needs too much.
  const needs = (top: number): number => top * ramp(top).ta;
  let top = Math.min(v, 1e12);
  if (needs(top) > s) {
    let low = 0;
    let high = top;
    for (let k = 0; k < 200; k++) {
      const mid = (low + high) / 2;
      if (needs(mid) > s) high = mid;
      else low = mid;
    }
    top = low;
  }
  const { tj, ta } = ramp(top);
  const time = s / top + ta;
  return { time, shares: { accelerate: ta / time, decelerate: ta / time, jerk: tj / ta } };
}

function sharesOf({ accelerate, decelerate, jerk }: MoveSegment): LawShares {
  return {
    accelerate: accelerate ?? REST.accelerate,
    decelerate: decelerate ?? REST.decelerate,
    jerk: jerk ?? REST.jerk,
  };
}

/** Peaks of laws that nothing of a move shapes, each sampled once for the moves of a list. */
type KnownPeaks = Map<LawName, LawPeaks>;

/** Time, pieces of a move, whether given by time or by limits. */
function planMove(move: MoveSegment, known: KnownPeaks): { time: number; law: LawPiece[] } {
  const s = Math.abs(move.distance);
  if (move.time !== undefined) return { time: move.time, law: lawPieces(move.law, sharesOf(move)) };
  const v = move.maxSpeed ?? Infinity;
  const a = move.maxAcceleration ?? Infinity;
  const j = move.maxJerk ?? Infinity;
  if (move.law === "trapezoid" || move.law === "s-curve") {
    const plan = move.law === "trapezoid" ? trapezoidByLimits(s, v, a) : softByLimits(s, v, a, j);
    return { time: plan.time, law: lawPieces(move.law, plan.shares) };
  }
  const law = lawPieces(move.law, REST);
  const peak = known.get(move.law) ?? lawPeaks(law);
  known.set(move.law, peak);
  const byJerk = j === Infinity ? 0 : Math.cbrt((peak.jerk * s) / j);
  return { time: Math.max((peak.speed * s) / v, Math.sqrt((peak.acceleration * s) / a), byJerk), law };
}

function moveRaws(move: MoveSegment, { time, law }: ReturnType<typeof planMove>, q0: number, segment: number): Raw[] {
  const d = move.distance;
  return law.map((piece) => ({
    segment,
    length: (piece.to - piece.from) * time,
    at: (s) => {
      const u = piece.from + s / time;
      return {
        q: q0 + d * piece.position(u),
        v: (d / time) * piece.speed(u),
        a: (d / time ** 2) * piece.acceleration(u),
      };
    },
  }));
}

/** Constant acceleration from v0 to v1; cut where the speed passes through zero. */
function rampRaws(v0: number, v1: number, length: number, q0: number, segment: number): Raw[] {
  if (length <= 0) return [];
  const a = (v1 - v0) / length;
  const part = (from: number, to: number): Raw => ({
    segment,
    length: to - from,
    at: (s) => {
      const t = from + s;
      return { q: q0 + v0 * t + (a * t * t) / 2, v: v0 + a * t, a };
    },
  });
  if (v0 * v1 >= 0) return [part(0, length)];
  const turn = -v0 / a;
  return [part(0, turn), part(turn, length)];
}

function runRaws(run: RunSegment, v0: number, q0: number, segment: number): Raw[] {
  const stop = run.decelerateTime ?? 0;
  const end = run.decelerateTime === undefined ? run.speed : 0;
  const first = rampRaws(v0, run.speed, run.accelerateTime, q0, segment);
  const q1 = q0 + ((v0 + run.speed) / 2) * run.accelerateTime;
  const steady = run.time - run.accelerateTime - stop;
  const middle = rampRaws(run.speed, run.speed, steady, q1, segment);
  const last = rampRaws(run.speed, end, stop, q1 + run.speed * steady, segment);
  return [...first, ...middle, ...last];
}

/** Speed at the end of a segment: only a run without a stop and a table of velocities keep moving. */
function endSpeed(segment: Segment | undefined): number {
  if (segment?.kind === "follow") return segment.table.of === "velocity" ? (segment.table.values.at(-1) ?? 0) : 0;
  return segment?.kind === "run" && segment.decelerateTime === undefined ? segment.speed : 0;
}

function segmentRaws(
  segment: Segment,
  { v: v0, q: q0 }: { v: number; q: number },
  index: number,
  { isWhole, known }: { isWhole: boolean; known: KnownPeaks },
): Raw[] {
  if (segment.kind === "move") return moveRaws(segment, planMove(segment, known), q0, index);
  if (segment.kind === "run") return runRaws(segment, v0, q0, index);
  if (segment.kind === "dwell") return rampRaws(0, 0, segment.time, q0, index);
  return followedStretches(segment.table, { q: q0, v: v0 }, isWhole).map((own) => ({ ...own, segment: index }));
}

function tableOf(segment: Segment | undefined): FollowTable | undefined {
  return segment?.kind === "follow" ? segment.table : undefined;
}

/** All stretches in list time, the list beginning at position 0 or at the first position of its table. */
function listRaws({ motion: segments, inCycle }: Axis, cycle: number): Raw[] {
  const raws: Raw[] = [];
  const known: KnownPeaks = new Map();
  const table = tableOf(segments[0]);
  const fills = !inCycle || Math.abs((table?.times.at(-1) ?? 0) - cycle) < 1e-9 * cycle;
  let q = table?.of === "position" ? (table.values[0] ?? 0) : 0;
  let v = endSpeed(segments.at(-1));
  for (const [index, segment] of segments.entries()) {
    const own = segmentRaws(segment, { v, q }, index, { isWhole: segments.length === 1 && fills, known });
    const last = own.at(-1);
    if (last !== undefined) q = last.at(last.length).q;
    v = endSpeed(segment);
    raws.push(...own);
  }
  return raws;
}

/** A stretch with the time at which its segment began, and at which it begins in the list itself [s]. */
interface Timed extends Raw {
  readonly since: number;
  readonly listed: number;
}

/** Stretches one after the other, cut at the rows of the tables of force that count on them. */
function timed({ load, motion }: Axis, raws: readonly Raw[]): Timed[] {
  let [listed, began, segment] = [0, 0, -2];
  return raws.flatMap((raw) => {
    if (raw.segment !== segment) began = listed;
    segment = raw.segment;
    const rows = [
      ...(load.forceTable?.times ?? []).map((row) => row - listed),
      ...(motion[segment]?.forceTable?.times ?? []).map((row) => row - (listed - began)),
    ].filter((row) => row > 1e-9 * raw.length && row < (1 - 1e-9) * raw.length);
    const [from, start] = [listed, began];
    listed += raw.length;
    const borders = [0, ...rows.toSorted((a, b) => a - b), raw.length];
    return borders.slice(1).map((to, k) => {
      const cut = borders[k] ?? 0;
      const at = (s: number): State => raw.at(cut + s);
      return { segment: raw.segment, length: to - cut, at, since: from - start + cut, listed: from + cut };
    });
  });
}

/** Cuts a stretch that begins at machine time t0 at the ends of the period. */
function placed(raw: Timed, t0: number, period: number): Piece[] {
  const speed = raw.at(raw.length / 2).v;
  const piece = (begin: number, end: number, shift: number): Piece => ({
    begin,
    end,
    segment: raw.segment,
    direction: Math.sign(speed),
    at: (t) => raw.at(Math.min(raw.length, Math.max(0, t - shift))),
    since: (t) => raw.since + t - shift,
    listed: (t) => raw.listed + t - shift,
  });
  const begin = ((t0 % period) + period) % period;
  const end = begin + raw.length;
  if (end <= period * (1 + 1e-12)) return [piece(begin, Math.min(end, period), begin)];
  return [piece(begin, period, begin), piece(0, end - period, begin - period)];
}

/**
 * The motion of an axis over the machine cycle, or over its own period when it is out of the cycle.
 *
 * @param cycle - machine cycle [s]
 */
export function motionOf(axis: Axis, cycle: number): AxisMotion {
  const raws = listRaws(axis, cycle);
  const listed = raws.reduce((sum, { length }) => sum + length, 0);
  const period = axis.inCycle ? cycle : listed;
  const end = raws.at(-1);
  const held = end === undefined ? 0 : end.at(end.length).q;
  const rest = period - listed;
  if (rest < -1e-9 * period) throw new Error(`axis ${axis.id} moves longer than its cycle`);
  if (rest > 1e-9 * period) raws.push({ segment: -1, length: rest, at: () => ({ q: held, v: 0, a: 0 }) });
  const pieces: Piece[] = [];
  let t = axis.inCycle ? axis.start : 0;
  for (const raw of timed(axis, raws)) {
    pieces.push(...placed(raw, t, period));
    t += raw.length;
  }
  return {
    period,
    pieces: pieces.filter((p) => p.end - p.begin > 1e-11 * period).toSorted((x, y) => x.begin - y.begin),
  };
}

/** Nodes over a period: every cell between two borders has its own closed set of nodes, so jumps are seen from both sides. */
export interface Grid {
  readonly period: number;
  /** Time of each node [s]; a border appears once as an end and once as a beginning. */
  readonly time: Float64Array;
  /** Simpson weights, summing to 1: Σ weight·f is the mean of f. */
  readonly weight: Float64Array;
  /** Middle of the cell of each node [s]. */
  readonly middle: Float64Array;
}

const MOST_NODES = 400_000;
const LEAST_STEPS = 8;

/** Closed cells between consecutive borders of all given motions. */
export function gridOf(
  motions: readonly AxisMotion[],
  period: number,
  leastSteps: number,
  stepsPerPeriod: number,
): Grid {
  const all = motions.flatMap(({ pieces }) => pieces.flatMap(({ begin, end }) => [begin, end]));
  const sorted = [0, period, ...all].toSorted((x, y) => x - y);
  const borders = sorted.filter((t, k) => k === 0 || t - (sorted[k - 1] ?? 0) > 1e-10 * period);
  const cells = borders.slice(1).map((to, k) => ({ from: borders[k] ?? 0, to }));
  // Motions of very many pieces, such as long tables, are finely cut already.
  const least = Math.max(LEAST_STEPS, Math.min(leastSteps, Math.floor(MOST_NODES / cells.length)));
  const steps = cells.map(({ from, to }) => {
    const wanted = Math.max(least, Math.ceil((stepsPerPeriod * (to - from)) / period));
    return wanted + (wanted % 2);
  });
  const nodes = steps.reduce((sum, n) => sum + n + 1, 0);
  const grid = { time: new Float64Array(nodes), weight: new Float64Array(nodes), middle: new Float64Array(nodes) };
  let at = 0;
  for (const [c, { from, to }] of cells.entries()) {
    const n = steps[c] ?? 0;
    const h = (to - from) / n;
    for (let k = 0; k <= n; k++, at++) {
      grid.time[at] = k === n ? to : from + k * h;
      grid.weight[at] = ((h / 3) * (k === 0 || k === n ? 1 : k % 2 === 1 ? 4 : 2)) / period;
      grid.middle[at] = (from + to) / 2;
    }
  }
  return { period, ...grid };
}

/** The motion at every node of a grid. */
export interface Sampled {
  readonly grid: Grid;
  readonly position: Float64Array;
  readonly speed: Float64Array;
  readonly acceleration: Float64Array;
  readonly direction: Int8Array;
  readonly segment: Int32Array;
  /** Time since the segment began, and since the list of segments did [s]. */
  readonly since: Float64Array;
  readonly listed: Float64Array;
}

/** Samples a motion; every cell of the grid must lie inside one piece of it. */
export function sampled(motion: AxisMotion, grid: Grid): Sampled {
  const n = grid.time.length;
  const out = {
    grid,
    position: new Float64Array(n),
    speed: new Float64Array(n),
    acceleration: new Float64Array(n),
    direction: new Int8Array(n),
    segment: new Int32Array(n),
    since: new Float64Array(n),
    listed: new Float64Array(n),
  };
  let p = 0;
  for (let k = 0; k < n; k++) {
    const middle = grid.middle[k] ?? 0;
    while (p < motion.pieces.length - 1 && middle > (motion.pieces[p]?.end ?? 0)) p++;
    const piece = motion.pieces[p];
    if (piece === undefined) throw new Error("a motion without pieces");
    const time = grid.time[k] ?? 0;
    const { q, v, a } = piece.at(time);
    out.since[k] = piece.since(time);
    out.listed[k] = piece.listed(time);
    out.position[k] = q;
    out.speed[k] = v;
    out.acceleration[k] = a;
    out.direction[k] = piece.direction;
    out.segment[k] = piece.segment;
  }
  return out;
}
