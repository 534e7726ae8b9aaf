import type { Axis, FollowSegment, RunSegment, Segment } from "../../machine/problem.ts";
import { advanceCurve, type Curve, positionAt } from "./curve.ts";
import { followCurves, type State, startPosition, type Wrong } from "./follow-curves.ts";
import { timedMove } from "./move-time.ts";
import { oneWay } from "./one-way.ts";
import { endSpeed, startsIn } from "./starts.ts";
import { type CurvePiece, lawOver } from "./unit-law.ts";

/** One exact stretch of an axis's motion in machine time, going one way, with the index of the segment it belongs to. */
export interface MotionPiece {
  /** Machine time [s]; the curve's τ is measured from here. */
  readonly from: number;
  readonly to: number;
  readonly curve: Curve;
  /** Index into the axis's motion; −1: the rest of the cycle. */
  readonly segment: number;
  /** At `from`, time since its segment began and since the list of segments did [s]. */
  readonly since: number;
  readonly listed: number;
}

/** The motion of one axis over one period, pieces in order from time 0 without gaps. */
export interface Cycle {
  /** [s] */
  readonly period: number;
  readonly pieces: readonly MotionPiece[];
  /** Number of segments that set the axis moving. */
  readonly starts: number;
}

/** A motion that cannot be: which segment (−1: the list as a whole), what is wrong, what is expected. */
export interface MotionFault {
  readonly segment: number;
  readonly found: string;
  readonly expected: string;
}

/**
 * The motion of an axis over the machine cycle, from its list of segments.
 *
 * Continuous in position and speed; shorter lists dwell for the rest; the list begins at `start` and wraps.
 * Source: kinematics; the layout of the cycle is a convention, no source.
 *
 * @param machineCycle - [s]; not used by an axis outside the cycle, whose period is the sum of its segments
 * @returns the cycle, or every fault found
 */
export function cycleOf(axis: Axis, machineCycle: number): Cycle | readonly MotionFault[] {
  const isWhole = isWholeTable(axis, machineCycle);
  const { pieces, faults } = chain(axis.motion, isWhole);
  const listed = pieces.reduce((sum, { length }) => sum + length, 0);
  const period = axis.inCycle ? machineCycle : listed;
  if (faults.length > 0) return faults;
  const problems = [...tooLong(listed, period), ...unreturned(axis, pieces), ...unsteadyEnds(axis, listed, period)];
  if (problems.length > 0) return problems;
  const laid = layOut(pieces, listed, period);
  const turned = axis.inCycle ? rotate(laid, axis.start, period) : laid;
  return { period, pieces: turned, starts: startsIn(axis.motion, isWhole) };
}

/** True where the motion could be worked out. Source: definition. */
export function isCycle(outcome: Cycle | readonly MotionFault[]): outcome is Cycle {
  return "pieces" in outcome;
}

type Chained = CurvePiece & { readonly segment: number };

/** True where one table is all the axis does over its period. */
function isWholeTable({ motion, inCycle }: Axis, machineCycle: number): boolean {
  const [only] = motion;
  if (motion.length !== 1 || only?.kind !== "follow") return false;
  return !inCycle || Math.abs((only.table.times.at(-1) ?? 0) - machineCycle) <= 1e-9 * machineCycle;
}

function chain(motion: readonly Segment[], isWhole: boolean): { pieces: Chained[]; faults: MotionFault[] } {
  const pieces: Chained[] = [];
  const faults: MotionFault[] = [];
  const [first, last] = [motion[0], motion.at(-1)];
  let state: State = { position: startPosition(first), speed: endSpeed(last) };
  motion.forEach((segment, index) => {
    const found = segment.kind === "follow" ? followCurves(segment, state, isWhole) : curvesOf(segment, state);
    if (!Array.isArray(found)) {
      faults.push({ segment: index, ...found });
      state = { position: state.position, speed: endSpeed(segment) };
      return;
    }
    pieces.push(...found.filter(({ length }) => length > 0).map((piece) => ({ ...piece, segment: index })));
    const end = found.at(-1);
    const position = end === undefined ? state.position : positionAt(end.curve, end.length);
    state = { position, speed: endSpeed(segment) };
  });
  return { pieces, faults };
}

function curvesOf(segment: Exclude<Segment, FollowSegment>, state: State): CurvePiece[] | Wrong {
  if (segment.kind === "run") return runCurves(segment, state);
  if (state.speed !== 0) {
    return {
      found: "a start while still moving",
      expected: "rest before it: decelerate_time, or a last velocity of 0",
    };
  }
  if (segment.kind === "dwell") return [{ length: segment.time, curve: { polynomial: [state.position] } }];
  const timed = timedMove(segment);
  if ("lacking" in timed) return { found: "limits that do not fix the move's time", expected: timed.lacking };
  const { accelerate, decelerate } = timed.shape;
  if (accelerate + decelerate > 1 + 1e-9) {
    return { found: "accelerate and decelerate of together more than 1", expected: "shares of the move's time" };
  }
  return lawOver(segment.law, timed.shape, { distance: segment.distance, time: timed.time }).map((piece) =>
    lifted(piece, state.position),
  );
}

function lifted({ length, curve }: CurvePiece, by: number): CurvePiece {
  const [first = 0, ...rest] = curve.polynomial;
  return { length, curve: { ...curve, polynomial: [first + by, ...rest] } };
}

function runCurves(run: RunSegment, { position, speed }: State): CurvePiece[] | Wrong {
  const { accelerateTime: up, decelerateTime: down = 0 } = run;
  if (up + down > run.time * (1 + 1e-9))
    return { found: "ramps longer than the run", expected: "a time that includes both ramps" };
  if (up === 0 && speed !== run.speed) return { found: "a jump of speed", expected: "accelerate_time" };
  if (down === 0 && run.decelerateTime === 0)
    return { found: "a jump of speed", expected: "a decelerate_time above 0" };
  const reached = position + ((speed + run.speed) / 2) * up;
  const held = Math.max(0, run.time - up - down);
  const left = reached + run.speed * held;
  const curves = [
    { length: up, curve: { polynomial: [position, speed, (run.speed - speed) / (2 * (up || 1))] } },
    { length: held, curve: { polynomial: [reached, run.speed] } },
    { length: down, curve: { polynomial: [left, run.speed, -run.speed / (2 * (down || 1))] } },
  ];
  return curves.filter(({ length }, k) => length > 0 || (k === 1 && up === 0 && down === 0)).flatMap(oneWay);
}

function tooLong(listed: number, period: number): MotionFault[] {
  if (listed <= period * (1 + 1e-9)) return [];
  return [
    { segment: -1, found: `segments of ${round(listed)} s`, expected: `at most the cycle of ${round(period)} s` },
  ];
}

function unreturned(axis: Axis, pieces: readonly Chained[]): MotionFault[] {
  const [first, end] = [pieces[0], pieces.at(-1)];
  if (axis.endless || first === undefined || end === undefined) return [];
  const begin = positionAt(first.curve, 0);
  const left = positionAt(end.curve, end.length) - begin;
  const travelled = pieces.reduce((most, p) => Math.max(most, Math.abs(positionAt(p.curve, p.length) - begin)), 0);
  if (Math.abs(left) <= 1e-9 * Math.max(travelled, 1e-9)) return [];
  const found = `a cycle that ends ${round(left)} (m or rad) from where it began`;
  return [{ segment: axis.motion.length - 1, found, expected: 'a return to the start, or "endless": true' }];
}

function unsteadyEnds(axis: Axis, listed: number, period: number): MotionFault[] {
  const last = axis.motion.at(-1);
  if (last === undefined || endSpeed(last) === 0 || listed >= period * (1 - 1e-9)) return [];
  return [
    {
      segment: axis.motion.length - 1,
      found: `a ${last.kind} that goes on into the rest of the cycle`,
      expected: last.kind === "follow" ? "a last velocity of 0" : "decelerate_time",
    },
  ];
}

function round(value: number): string {
  return String(Number(value.toPrecision(6)));
}

function layOut(pieces: readonly Chained[], listed: number, period: number): MotionPiece[] {
  const laid: MotionPiece[] = [];
  let [from, began] = [0, 0];
  for (const { length, curve, segment } of pieces) {
    if (segment !== laid.at(-1)?.segment) began = from;
    laid.push({ from, to: from + length, curve, segment, since: from - began, listed: from });
    from += length;
  }
  const end = laid.at(-1);
  if (period - listed <= 1e-9 * period)
    return end === undefined ? laid : [...laid.slice(0, -1), { ...end, to: period }];
  const position = end === undefined ? 0 : positionAt(end.curve, end.to - end.from);
  const rest = { from: listed, to: period, curve: { polynomial: [position] } };
  return [...laid, { ...rest, segment: -1, since: 0, listed }];
}

/** Moves the list to its start in machine time and wraps what runs over the end of the cycle. */
function rotate(pieces: readonly MotionPiece[], start: number, period: number): MotionPiece[] {
  const shift = ((start % period) + period) % period;
  return pieces.flatMap((piece) => wrap(piece, shift, period)).toSorted((a, b) => a.from - b.from);
}

function wrap(piece: MotionPiece, shift: number, period: number): MotionPiece[] {
  const [from, to] = [piece.from + shift, piece.to + shift];
  if (to <= period * (1 + 1e-12)) return [{ ...piece, from, to: Math.min(to, period) }];
  if (from >= period * (1 - 1e-12)) return [{ ...piece, from: Math.max(0, from - period), to: to - period }];
  const later = period - from;
  const [since, listed] = [piece.since + later, piece.listed + later];
  return [
    { ...piece, from, to: period },
    { ...piece, from: 0, to: to - period, curve: advanceCurve(piece.curve, later), since, listed },
  ];
}
