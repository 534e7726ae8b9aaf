import { Matrix, QrDecomposition } from "ml-matrix";
import type { Run } from "./factor.ts";
import { preciseDot, preciseSum } from "./precise-sum.ts";
import type { Absent } from "./remark.ts";
import { pureError } from "./replicates.ts";
import type { Solved } from "./solved.ts";
import type { Term } from "./term.ts";
import { meanSquare, type NoError, type Squares, testedRow, type VarianceRow } from "./variance-row.ts";

/** What a term accounts for. */
export interface TermVariance {
  readonly term: Term;
  /** Beyond the terms before it in the model. */
  readonly sequential: VarianceRow;
  /** Beyond all other terms of the model (type III, with sum-to-zero contrasts). */
  readonly partial: VarianceRow;
}

/** Analysis of variance of a model. */
export interface Anova {
  readonly model: VarianceRow;
  /** All but the mean, in the order of the model. */
  readonly terms: readonly TermVariance[];
  readonly residual: Squares & Pick<VarianceRow, "meanSquare">;
  /** What the model misses of the means of repeated settings, against how much repeats differ. */
  readonly lackOfFit: VarianceRow | Absent;
  readonly pureError: (Squares & Pick<VarianceRow, "meanSquare">) | Absent;
  /** About the mean where the model has one. */
  readonly total: Squares;
}

interface Asked {
  readonly terms: readonly Term[];
  readonly runs: readonly Run[];
  readonly response: readonly number[];
}

const NO_ERROR: NoError = { freedom: "no-error-freedom", size: "no-error" };

/**
 * Splits the squares of a response over the terms of a fitted model.
 *
 * Source: N. R. Draper, H. Smith, Applied Regression Analysis, 3rd ed., chapters 2 (pure error) and 6 (extra squares).
 */
export function anovaOf(solved: Solved, { terms, runs, response }: Asked): Anova {
  const { residual, hasMean } = solved;
  const means = hasMean ? 1 : 0;
  const model = { sumOfSquares: solved.explained, freedom: solved.columns.length - means };
  return {
    model: testedRow(model, residual, NO_ERROR),
    terms: terms
      .filter(({ of }) => of.length > 0)
      .map((term) => {
        const places = solved.columns.flatMap((column, k) => (column.term === term ? [k] : []));
        return {
          term,
          sequential: testedRow(sequentialSquares(solved, places), residual, NO_ERROR),
          partial: testedRow(partialSquares(solved, places), residual, NO_ERROR),
        };
      }),
    residual: { ...residual, meanSquare: meanSquare(residual) },
    ...errorsOf(residual, { runs, response }),
    total: { sumOfSquares: solved.total, freedom: response.length - Math.min(means, response.length) },
  };
}

/** Each direction is what its column adds to those before it. */
function sequentialSquares({ directions, near }: Solved, places: readonly number[]): Squares {
  const shares = places.map((k) => preciseDot(directions[k] ?? [], near) ** 2);
  return { sumOfSquares: preciseSum(shares), freedom: places.length };
}

/** bᵀ·(S·Sᵀ)⁻¹·b of the term's coefficients b and spreads S; Sᵀ = Q·U gives ‖U⁻ᵀ·b‖². */
function partialSquares({ coefficients, spreads, columns }: Solved, places: readonly number[]): Squares {
  if (places.length === 0) return { sumOfSquares: 0, freedom: 0 };
  const spread = new Matrix(places.map((k) => [...(spreads[k] ?? columns.map(() => 0))])).transpose();
  const upper = new QrDecomposition(spread).upperTriangularMatrix.to2DArray();
  const y = places.map((k) => coefficients[k] ?? 0);
  for (let i = 0; i < y.length; i++) {
    for (let j = 0; j < i; j++) y[i]! -= upper[j]![i]! * y[j]!;
    y[i]! /= upper[i]![i]!;
  }
  return { sumOfSquares: preciseDot(y, y), freedom: places.length };
}

function errorsOf(residual: Squares, { runs, response }: Omit<Asked, "terms">): Pick<Anova, "lackOfFit" | "pureError"> {
  const pure = pureError(runs, response);
  if (pure.freedom === 0) {
    const none: Absent = { absent: response.length === 0 ? "no-runs" : "no-replicates" };
    return { lackOfFit: none, pureError: none };
  }
  const lack = {
    sumOfSquares: Math.max(residual.sumOfSquares - pure.sumOfSquares, 0),
    freedom: residual.freedom - pure.freedom,
  };
  const why: NoError = { freedom: "no-replicates", size: "no-pure-error" };
  return {
    lackOfFit: lack.freedom > 0 ? testedRow(lack, pure, why) : { absent: "no-lack-of-fit-freedom" },
    pureError: { ...pure, meanSquare: meanSquare(pure) },
  };
}
