import type { ModelColumn } from "./model-matrix.ts";
import type { Squares } from "./variance-row.ts";

/** A model's columns with their least squares, before anything is told of them. */
export interface Solved {
  readonly columns: readonly ModelColumn[];
  readonly coefficients: readonly number[];
  readonly directions: readonly (readonly number[])[];
  readonly spreads: readonly (readonly number[])[];
  readonly residuals: readonly number[];
  readonly leverages: readonly number[];
  /** Response less a constant near its mean where the model has a mean; else the response. */
  readonly near: readonly number[];
  readonly hasMean: boolean;
  /** Squares of the response, about its mean where the model has one. */
  readonly total: number;
  /** Squares of the fitted values, likewise. */
  readonly explained: number;
  readonly residual: Squares;
}
