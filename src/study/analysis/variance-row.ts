import { fTail } from "./distributions.ts";
import type { Figure, Reason } from "./remark.ts";

/** Squares that a source of variation accounts for. */
export interface Squares {
  readonly sumOfSquares: number;
  readonly freedom: number;
}

/** A row of an analysis of variance. */
export interface VarianceRow extends Squares {
  readonly meanSquare: Figure;
  /** Mean square over that of the error the row is held against. */
  readonly f: Figure;
  /** Chance of such an F, or a larger one, if the source did nothing. */
  readonly p: Figure;
}

/** Squares per degree of freedom. */
export function meanSquare({ sumOfSquares, freedom }: Squares): Figure {
  return freedom > 0 ? sumOfSquares / freedom : { absent: "no-freedom" };
}

/** Why nothing can be held against an error of no freedom, or of no size. */
export interface NoError {
  readonly freedom: Reason;
  readonly size: Reason;
}

/**
 * A source held against an error.
 *
 * F = (SS/ν)/(SS_e/ν_e)
 * Source: G. W. Snedecor's variance ratio; NIST/SEMATECH e-Handbook of Statistical Methods, 7.4.3.
 */
export function testedRow(source: Squares, error: Squares, why: NoError): VarianceRow {
  const row = { ...source, meanSquare: meanSquare(source) };
  const none = (absent: Reason): VarianceRow => ({ ...row, f: { absent }, p: { absent } });
  if (source.freedom <= 0) return none("no-freedom");
  if (error.freedom <= 0) return none(why.freedom);
  if (error.sumOfSquares <= 0) return none(why.size);
  const f = source.sumOfSquares / source.freedom / (error.sumOfSquares / error.freedom);
  return { ...row, f, p: fTail(f, { above: source.freedom, below: error.freedom }) };
}
