import type { FollowSegment, FollowTable, Segment } from "../../machine/problem.ts";
import { splineSlopes } from "../../maths/cubic-spline.ts";
import { oneWay } from "./one-way.ts";
import type { CurvePiece } from "./unit-law.ts";

/** Where an axis is when a segment begins. */
export interface State {
  readonly position: number;
  readonly speed: number;
}

/** What is wrong with a segment, in words. */
export interface Wrong {
  readonly found: string;
  readonly expected: string;
}

/** Speeds below this share of the table's largest are rounding. */
const STILL = 1e-9;

/**
 * Curves of a followed table, one for each way between two rows, cut where the axis turns round.
 *
 * Positions: a cubic spline, periodic where the table is the whole cycle, else clamped: from the speed at which the
 * segment before ends, to rest. Velocities: straight lines.
 * Source: see `splineSlopes`; speed integrated once.
 */
export function followCurves({ table }: FollowSegment, state: State, isWhole: boolean): CurvePiece[] | Wrong {
  const wrong = unjoined(table, state);
  if (wrong !== undefined && !(isWhole && table.of === "position")) return wrong;
  const pieces = table.of === "velocity" ? lines(table, state) : splines(table, state, isWhole);
  return pieces.flatMap(oneWay);
}

/** Where a list of segments begins: at the first position of a table that comes first, else at 0. Source: definition. */
export function startPosition(first: Segment | undefined): number {
  return first?.kind === "follow" && first.table.of === "position" ? (first.table.values[0] ?? 0) : 0;
}

function unjoined(table: FollowTable, { position, speed }: State): Wrong | undefined {
  const [first = 0] = table.values;
  const size = table.values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  const at = table.of === "velocity" ? speed : position;
  if (Math.abs(first - at) <= STILL * Math.max(size, Math.abs(at))) return undefined;
  const what = table.of === "velocity" ? "speed" : "position";
  const unit = table.of === "velocity" ? "m/s or rad/s" : "m or rad";
  return {
    found: `a jump of ${what} to ${round(first)} (${unit})`,
    expected: `a first row at the ${what} before it, ${round(at)}`,
  };
}

function round(value: number): string {
  return String(Number(value.toPrecision(6)));
}

function lines({ times, values }: FollowTable, { position }: State): CurvePiece[] {
  let reached = position;
  return times.slice(1).map((to, k) => {
    const length = to - (times[k] ?? 0);
    const [from = 0, until = 0] = [values[k], values[k + 1]];
    const polynomial = [reached, from, (until - from) / (2 * length)];
    reached += ((from + until) / 2) * length;
    return { length, curve: { polynomial } };
  });
}

function splines({ times, values }: FollowTable, { speed }: State, isWhole: boolean): CurvePiece[] {
  const slopes = splineSlopes({ times, values }, isWhole ? "periodic" : { first: speed, last: 0 });
  const top = slopes.reduce((most, slope) => Math.max(most, Math.abs(slope)), 0);
  return times.slice(1).map((to, k) => {
    const length = to - (times[k] ?? 0);
    const [position = 0, s = 0, next = 0] = [values[k], slopes[k], slopes[k + 1]];
    const mean = ((values[k + 1] ?? 0) - position) / length;
    if (Math.max(Math.abs(s), Math.abs(next), Math.abs(mean)) <= STILL * top) {
      return { length, curve: { polynomial: [position] } };
    }
    const polynomial = [position, s, (3 * mean - 2 * s - next) / length, (s + next - 2 * mean) / length ** 2];
    return { length, curve: { polynomial } };
  });
}
