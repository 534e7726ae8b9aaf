import { inverse, Matrix } from "ml-matrix";
import type { DesignPoint, Ground } from "./family.ts";
import { modelRow } from "./model-rows.ts";
import type { DesignModel } from "./request.ts";

/** What an exchange looks at. */
export interface ExchangeTask {
  readonly ground: Ground;
  readonly model: DesignModel;
  /** Values tried on each factor. */
  readonly values: readonly (readonly number[])[];
  /** Allowed points a point may jump to as a whole, where constraints bar the way of single coordinates. */
  readonly jumps: readonly DesignPoint[];
  /** So many points at the start stay as they are. */
  readonly fixed: number;
}

/** Added to the diagonal of X'X, so that a start that cannot estimate the model yet has a way up. */
const RIDGE = 1e-6;

/** A smaller gain in the determinant is rounding. */
const LEAST_GAIN = 1e-7;

const MOST_ROUNDS = 100;

/**
 * Coordinate exchange, with jumps where constraints call for them: one coordinate of one point after the other takes the allowed value that raises |X'X| most, until
 * a whole round brings nothing.
 *
 * Source: R. K. Meyer, C. J. Nachtsheim, "The coordinate-exchange algorithm for constructing exact optimal experimental
 * designs", Technometrics 37 (1995) 60–69.
 */
export function exchanged(start: readonly DesignPoint[], task: ExchangeTask): DesignPoint[] {
  const points = [...start];
  const steps = coordinateSteps(task);
  const leaps = task.jumps.length > 0 ? [(): readonly DesignPoint[] => task.jumps] : [];
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    if (!exchangeRound(points, task, steps) && !exchangeRound(points, task, leaps)) break;
  }
  return points;
}

/** Points offered in place of one. */
type Offers = (point: DesignPoint) => readonly DesignPoint[];

/** For each coordinate: the point with every value there. */
function coordinateSteps({ values }: ExchangeTask): Offers[] {
  return values.map(
    (list, k): Offers =>
      (point) =>
        list.map((value) => point.map((x, j) => (j === k ? value : x))),
  );
}

/** One round over all points that may move; whether anything changed. */
function exchangeRound(points: DesignPoint[], task: ExchangeTask, offers: readonly Offers[]): boolean {
  if (offers.length === 0) return false;
  const expand = modelRow(task.ground.factors, task.model);
  let spread = spreadOf(points.map(expand));
  let hasChanged = false;
  for (let i = task.fixed; i < points.length; i += 1) {
    for (const offered of offers) {
      const point = points[i]!;
      const better = bestOffer(point, offered(point), { task, expand, spread });
      if (better === undefined) continue;
      spread = swapped(spread, expand(point), expand(better));
      points[i] = better;
      hasChanged = true;
    }
  }
  return hasChanged;
}

/** (X'X + ridge)⁻¹ */
function spreadOf(rows: readonly number[][]): number[][] {
  const x = new Matrix(rows.map((row) => [...row]));
  return inverse(x.transpose().mmul(x).add(Matrix.eye(x.columns).mul(RIDGE))).to2DArray();
}

/**
 * The inverse when row x gives way to row y, one after the other; it is worked out anew each round against rounding.
 *
 * Source: J. Sherman, W. J. Morrison, Ann. Math. Stat. 21 (1950) 124–127.
 */
function swapped(spread: readonly number[][], x: readonly number[], y: readonly number[]): number[][] {
  return added(added(spread, y, 1), x, -1);
}

function added(spread: readonly number[][], row: readonly number[], sign: 1 | -1): number[][] {
  const turned = image(spread, row);
  const scale = sign / (1 + sign * inner(row, turned));
  return spread.map((line, i) => line.map((s, j) => s - scale * turned[i]! * turned[j]!));
}

interface Search {
  readonly task: ExchangeTask;
  readonly expand: (point: DesignPoint) => number[];
  readonly spread: readonly number[][];
}

/** The offered point that raises the determinant most in place of another; undefined: none does. */
function bestOffer(
  point: DesignPoint,
  offers: readonly DesignPoint[],
  { task, expand, spread }: Search,
): DesignPoint | undefined {
  const old = expand(point);
  const turned = image(spread, old);
  const variance = inner(old, turned);
  let best: DesignPoint | undefined;
  let bestGain = 1 + LEAST_GAIN;
  for (const moved of offers) {
    const gain = moveGain({ spread, turned, variance }, old, expand(moved));
    if (gain > bestGain && task.ground.settings.isAllowed(moved)) {
      best = moved;
      bestGain = gain;
    }
  }
  return best;
}

/**
 * By what |X'X| is multiplied when row x moves to y = x + e.
 *
 * Δ = 1 + d(y) − d(x) − (d(y)·d(x) − d(x, y)²) = (1 + e'Dx)² + e'De·(1 − d(x)), d(x, y) = x'Dy, D = (X'X)⁻¹
 * Source: V. V. Fedorov, Theory of Optimal Experiments (1972), chapter 3. Hot: in a coordinate exchange
 * e is 0 but for the columns of one factor.
 */
function moveGain(
  { spread, turned, variance }: { spread: readonly number[][]; turned: readonly number[]; variance: number },
  x: readonly number[],
  y: readonly number[],
): number {
  const moves: number[] = [];
  for (let j = 0; j < x.length; j += 1) if (x[j] !== y[j]) moves.push(j);
  let along = 0;
  let across = 0;
  for (const i of moves) {
    const line = spread[i]!;
    const step = y[i]! - x[i]!;
    along += step * turned[i]!;
    for (const j of moves) across += step * line[j]! * (y[j]! - x[j]!);
  }
  return (1 + along) ** 2 + across * (1 - variance);
}

/** Hot: spread · row. */
function image(spread: readonly number[][], row: readonly number[]): number[] {
  return spread.map((line) => inner(line, row));
}

function inner(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let k = 0; k < a.length; k += 1) sum += a[k]! * b[k]!;
  return sum;
}
