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
  /** So many points at the start stay as they are. */
  readonly fixed: number;
}

/** Added to the diagonal of X'X, so that a start that cannot estimate the model yet has a way up. */
const RIDGE = 1e-6;

/** A smaller gain in the determinant is rounding. */
const LEAST_GAIN = 1e-7;

const MOST_ROUNDS = 100;

/**
 * Coordinate exchange: one coordinate of one point after the other takes the allowed value that raises |X'X| most, until
 * a whole round brings nothing.
 *
 * Source: R. K. Meyer, C. J. Nachtsheim, "The coordinate-exchange algorithm for constructing exact optimal experimental
 * designs", Technometrics 37 (1995) 60–69.
 */
export function exchanged(start: readonly DesignPoint[], task: ExchangeTask): DesignPoint[] {
  const points = [...start];
  for (let round = 0; round < MOST_ROUNDS; round += 1) if (!exchangeRound(points, task)) break;
  return points;
}

/** One round over all coordinates; whether anything changed. */
function exchangeRound(points: DesignPoint[], task: ExchangeTask): boolean {
  const expand = modelRow(task.ground.factors, task.model);
  let spread = spreadOf(points.map(expand));
  let hasChanged = false;
  for (let i = task.fixed; i < points.length; i += 1) {
    for (let k = 0; k < task.values.length; k += 1) {
      const better = bestValue(points[i]!, k, { task, expand, spread });
      if (better === undefined) continue;
      spread = swapped(spread, expand(points[i]!), expand(better));
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

/** The point with coordinate k at the value that raises the determinant most; undefined: none does. */
function bestValue(point: DesignPoint, k: number, { task, expand, spread }: Search): DesignPoint | undefined {
  const old = expand(point);
  const oldImage = image(spread, old);
  const oldVariance = inner(old, oldImage);
  let best: DesignPoint | undefined;
  let bestGain = 1 + LEAST_GAIN;
  for (const value of task.values[k]!) {
    if (value === point[k]) continue;
    const moved = point.map((x, j) => (j === k ? value : x));
    const row = expand(moved);
    const gain = swapGain(oldVariance, inner(row, image(spread, row)), inner(row, oldImage));
    if (gain > bestGain && task.ground.settings.isAllowed(moved)) {
      best = moved;
      bestGain = gain;
    }
  }
  return best;
}

/**
 * By what |X'X| is multiplied when row x gives way to row y.
 *
 * Δ = 1 + d(y) − d(x) − (d(y)·d(x) − d(x, y)²), d(x, y) = x'(X'X)⁻¹y
 * Source: V. V. Fedorov, Theory of Optimal Experiments (1972), chapter 3.
 */
function swapGain(x: number, y: number, both: number): number {
  return 1 + y - x - (y * x - both * both);
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
