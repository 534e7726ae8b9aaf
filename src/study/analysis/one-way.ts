import { preciseSum, squaresAboutMean } from "./precise-sum.ts";
import type { Figure } from "./remark.ts";
import { groupBy } from "./replicates.ts";
import { meanSquare, type Squares, testedRow, type VarianceRow } from "./variance-row.ts";

/** Analysis of variance of one factor. */
export interface OneWay {
  readonly between: VarianceRow;
  readonly within: Squares & { readonly meanSquare: Figure };
  /** Share of the squares that lie between the groups. */
  readonly r2: Figure;
  readonly groups: readonly { readonly group: string; readonly count: number; readonly mean: number }[];
}

/**
 * Squares between and within groups. Every value is taken less one near the mean of all, so nothing is lost where
 * large values differ little.
 *
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.4.3.3.
 */
export function oneWay(groups: readonly string[], response: readonly number[]): OneWay {
  const start = response[0] ?? 0;
  const near = response.map((value) => value - start);
  const members = [...groupBy(groups, near)];
  const overall = near.length === 0 ? 0 : preciseSum(near) / near.length;
  const stands = members.map(([group, values]) => ({ group, values, mean: preciseSum(values) / values.length }));
  const between: Squares = {
    sumOfSquares: preciseSum(stands.map(({ values, mean }) => values.length * (mean - overall) ** 2)),
    freedom: Math.max(members.length - 1, 0),
  };
  const within: Squares = {
    sumOfSquares: preciseSum(stands.map(({ values }) => squaresAboutMean(values))),
    freedom: near.length - members.length,
  };
  const total = between.sumOfSquares + within.sumOfSquares;
  return {
    between: testedRow(between, within, { freedom: "no-error-freedom", size: "no-error" }),
    within: { ...within, meanSquare: meanSquare(within) },
    r2: total > 0 ? between.sumOfSquares / total : { absent: near.length === 0 ? "no-runs" : "constant" },
    groups: stands.map(({ group, values, mean }) => ({ group, count: values.length, mean: start + mean })),
  };
}
