import { InternalFault } from "../../faults/fault.ts";

/** What was varied. Numeric factors enter models coded: −1 at the lowest, 1 at the highest value. */
export type Factor =
  | { readonly id: string; readonly kind: "continuous"; readonly low: number; readonly high: number }
  | { readonly id: string; readonly kind: "listed"; readonly levels: readonly number[] }
  | { readonly id: string; readonly kind: "categorical"; readonly levels: readonly string[] };

/** Value of a factor in a run, in the factor's own scale. */
export type Level = number | string;

/** Values of all factors in a run, in the order of the factors. */
export type Run = readonly Level[];

/** A column of numbers that stands for a factor, or for a level of it. */
export interface Contrast {
  readonly name: string;
  readonly of: (level: Level) => number;
}

/**
 * Columns that stand for a factor: one, coded, for numeric ones; for n levels of a categorical one n − 1 that sum to
 * zero over the levels: 1 at their own level, −1 at the last.
 *
 * Source: sum-to-zero ("effect") coding; R. V. Lenth, "Response-Surface Methods in R, Using rsm", J. Stat. Software 32
 * (2009) 7 for coded variables.
 */
export function contrastsOf(factor: Factor): Contrast[] {
  if (factor.kind !== "categorical") return [{ name: factor.id, of: (level) => coded(factor, level) }];
  return factor.levels.slice(0, -1).map((own) => ({
    name: `${factor.id} [${own}]`,
    of: (level) => sumToZero(factor, { own, level }),
  }));
}

function sumToZero(
  factor: Extract<Factor, { kind: "categorical" }>,
  { own, level }: { readonly own: string; readonly level: Level },
): number {
  if (!factor.levels.some((known) => known === level)) throw new InternalFault(`${factor.id} has no level ${level}`);
  if (level === own) return 1;
  return level === factor.levels.at(-1) ? -1 : 0;
}

/** Range of a numeric factor. */
function rangeOf(factor: Exclude<Factor, { kind: "categorical" }>): { low: number; high: number } {
  if (factor.kind === "continuous") return { low: factor.low, high: factor.high };
  return { low: Math.min(...factor.levels), high: Math.max(...factor.levels) };
}

function coded(factor: Exclude<Factor, { kind: "categorical" }>, level: Level): number {
  if (!Number.isFinite(level) || typeof level !== "number")
    throw new InternalFault(`${factor.id} is a number, not ${level}`);
  const { low, high } = rangeOf(factor);
  return high === low ? 0 : (level - low - (high - level)) / (high - low);
}

/** Value of a numeric factor in its own scale where its coded value is this. */
export function uncoded(factor: Exclude<Factor, { kind: "categorical" }>, code: number): number {
  const { low, high } = rangeOf(factor);
  return (low + high) / 2 + (code * (high - low)) / 2;
}
