import { standardNormalQuantile } from "./distributions.ts";
import { preciseSum, squaresAboutMean } from "./precise-sum.ts";
import type { Figure } from "./remark.ts";
import { groupBy } from "./replicates.ts";

/** An inner run (or a pick) with its response under each run of the noise; null: infeasible there. */
export interface NoiseRuns {
  readonly id: string;
  readonly response: readonly (number | null)[];
}

/** Runs of a crossed array put together by their inner run, or by their pick, in the order of the first of each. */
export function noiseRunsBy(ids: readonly string[], response: readonly (number | null)[]): NoiseRuns[] {
  return [...groupBy(ids, response)].map(([id, values]) => ({ id, response: values }));
}

/** How something stands up to noise. */
export interface Robustness {
  readonly id: string;
  readonly noiseRuns: number;
  readonly feasible: number;
  /** Share of the noise runs in which it stays feasible. */
  readonly share: Figure;
  /** Where the share lies for noise like this; of a chosen rather than a random noise array only a guide. */
  readonly interval: { readonly low: number; readonly high: number };
  /** Of the feasible runs. */
  readonly mean: Figure;
  /** Largest where less is better, smallest where more is, of the feasible runs. */
  readonly worst: Figure;
  /** Standard deviation of the feasible runs. */
  readonly spread: Figure;
}

/**
 * How each inner run stands up to the noise, in the order given.
 *
 * Source: crossed arrays: G. Taguchi; R. H. Myers, D. C. Montgomery, C. M. Anderson-Cook, Response Surface
 * Methodology, 3rd ed., chapter 10.
 *
 * @param wish - what is better: a lower or a higher response
 * @param confidence - of the interval, from 0 to 1
 */
export function robustnessTable(runs: readonly NoiseRuns[], wish: "lower" | "raise", confidence = 0.95): Robustness[] {
  return runs.map(({ id, response }) => {
    const values = response.filter((value) => value !== null);
    return {
      id,
      noiseRuns: response.length,
      feasible: values.length,
      share: response.length === 0 ? { absent: "no-runs" } : values.length / response.length,
      interval: wilsonInterval(values.length, response.length, confidence),
      ...spreadOf(values, wish),
    };
  });
}

function spreadOf(values: readonly number[], wish: "lower" | "raise"): Pick<Robustness, "mean" | "worst" | "spread"> {
  if (values.length === 0)
    return { mean: { absent: "no-runs" }, worst: { absent: "no-runs" }, spread: { absent: "no-runs" } };
  return {
    mean: preciseSum(values) / values.length,
    worst: values.reduce((worst, value) => (wish === "lower" ? Math.max(worst, value) : Math.min(worst, value))),
    spread: values.length < 2 ? { absent: "no-freedom" } : Math.sqrt(squaresAboutMean(values) / (values.length - 1)),
  };
}

/**
 * Interval of a share of which `count` of `of` trials were seen. Of no trials it is all from 0 to 1.
 *
 * Source: E. B. Wilson, "Probable inference, the law of succession, and statistical inference", J. Am. Stat. Assoc. 22
 * (1927) 209.
 */
export function wilsonInterval(count: number, of: number, confidence: number): { low: number; high: number } {
  if (of === 0) return { low: 0, high: 1 };
  const z = standardNormalQuantile((1 + confidence) / 2);
  const [share, zz] = [count / of, (z * z) / of];
  const middle = (share + zz / 2) / (1 + zz);
  const reach = (z * Math.sqrt((share * (1 - share)) / of + zz / (4 * of))) / (1 + zz);
  return { low: count === 0 ? 0 : middle - reach, high: count === of ? 1 : middle + reach };
}
