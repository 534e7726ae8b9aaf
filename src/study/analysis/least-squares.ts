import { Matrix, QrDecomposition } from "ml-matrix";
import { lengthOf, preciseDot } from "./precise-sum.ts";

/** The sum of columns that comes nearest to a response. */
export interface LeastSquares {
  /** One for each column. */
  readonly coefficients: readonly number[];
  /** Response less sum, one for each run. */
  readonly residuals: readonly number[];
  /** Orthonormal columns; the first k span what the first k columns span. */
  readonly directions: readonly (readonly number[])[];
  /** Rows of R⁻¹ of columns = directions·R: their squares sum to a coefficient's variance at unit error. */
  readonly spreads: readonly (readonly number[])[];
}

/** Corrections stop when they no longer shrink, at the latest after so many. */
const MOST_CORRECTIONS = 8;

/** Corrections approach zero without end; of columns about one long, less than this share of the response is zero. */
const VANISHING = 1e-30;

/**
 * Least squares by Householder QR of columns scaled by powers of two, corrected with residuals in twice the precision:
 * as accurate as the columns themselves unless they are nearly dependent to all digits. The columns must be
 * independent and not longer in number than the runs.
 *
 * r + A·x = b, Aᵀ·r = 0, corrected together
 * Source: Å. Björck, "Iterative refinement of linear least squares solutions I", BIT 7 (1967) 257.
 */
export function leastSquares(columns: readonly (readonly number[])[], response: readonly number[]): LeastSquares {
  if (columns.length === 0) return { coefficients: [], residuals: [...response], directions: [], spreads: [] };
  const scales = columns.map((column) => 2 ** -Math.round(Math.log2(lengthOf(column))));
  const scaled = columns.map((column, j) => column.map((value) => value * (scales[j] ?? 1)));
  const system = factorised(scaled, response);
  const { x, r } = corrected(system);
  const length = lengthOf(response);
  return {
    coefficients: x.map((value, j) => (Math.abs(value) < VANISHING * length ? 0 : value * (scales[j] ?? 1))),
    residuals: r,
    directions: system.q,
    spreads: inverseRows(system.upper).map((row, j) => row.map((value) => value * (scales[j] ?? 1))),
  };
}

interface System {
  readonly columns: readonly (readonly number[])[];
  readonly rows: readonly (readonly number[])[];
  readonly response: readonly number[];
  readonly q: readonly (readonly number[])[];
  /** Rows of R. */
  readonly upper: readonly (readonly number[])[];
}

function factorised(columns: readonly (readonly number[])[], response: readonly number[]): System {
  const rows = response.map((_, i) => columns.map((column) => column[i] ?? 0));
  const qr = new QrDecomposition(new Matrix(rows));
  const q = qr.orthogonalMatrix.transpose().to2DArray();
  return { columns, rows, response, q, upper: qr.upperTriangularMatrix.to2DArray() };
}

interface Iterate {
  readonly x: readonly number[];
  readonly r: readonly number[];
}

/** From nothing, so the first correction is the plain solution. */
function corrected(system: System): Iterate {
  let best: Iterate = { x: system.columns.map(() => 0), r: system.response.map(() => 0) };
  let before = Number.POSITIVE_INFINITY;
  for (let turn = 0; turn < MOST_CORRECTIONS; turn++) {
    const step = correction(system, best);
    const size = lengthOf(step.x) + lengthOf(step.r);
    if (turn > 1 && size > before / 2) break;
    best = { x: sum(best.x, step.x), r: sum(best.r, step.r) };
    before = size;
    if (size === 0) break;
  }
  return best;
}

function sum(a: readonly number[], b: readonly number[]): number[] {
  return a.map((value, k) => value + (b[k] ?? 0));
}

/** f = b − r − A·x, g = −Aᵀ·r; then Rᵀ·h = g, dr = Q·h + f − Q·Qᵀ·f, R·dx = Qᵀ·f − h. */
function correction({ columns, rows, response, q, upper }: System, { x, r }: Iterate): Iterate {
  const xAndOne = [...x, 1];
  const f = rows.map((row, i) => -preciseDot([...row, r[i] ?? 0], xAndOne, -(response[i] ?? 0)));
  const g = columns.map((column) => -preciseDot(column, r));
  const h = solveLower(upper, g);
  const along = q.map((direction, j) => preciseDot(direction, f) - (h[j] ?? 0));
  const dr = f.map((value, i) => value - q.reduce((all, direction, j) => all + direction[i]! * along[j]!, 0));
  return { x: solveUpper(upper, along), r: dr };
}

function solveUpper(upper: readonly (readonly number[])[], right: readonly number[]): number[] {
  const x = [...right];
  for (let i = x.length - 1; i >= 0; i--) {
    for (let j = i + 1; j < x.length; j++) x[i]! -= upper[i]![j]! * x[j]!;
    x[i]! /= upper[i]![i]!;
  }
  return x;
}

/** Rᵀ·h = g. */
function solveLower(upper: readonly (readonly number[])[], right: readonly number[]): number[] {
  const h = [...right];
  for (let i = 0; i < h.length; i++) {
    for (let j = 0; j < i; j++) h[i]! -= upper[j]![i]! * h[j]!;
    h[i]! /= upper[i]![i]!;
  }
  return h;
}

function inverseRows(upper: readonly (readonly number[])[]): number[][] {
  const columns = upper.map((_, j) =>
    solveUpper(
      upper,
      upper.map((_row, i) => (i === j ? 1 : 0)),
    ),
  );
  return upper.map((_, i) => columns.map((column) => column[i] ?? 0));
}
