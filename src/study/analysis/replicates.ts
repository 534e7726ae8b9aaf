import type { Run } from "./factor.ts";
import { preciseSum, squaresAboutMean } from "./precise-sum.ts";

/** How much runs that share all their settings differ. */
export interface PureError {
  readonly sumOfSquares: number;
  readonly freedom: number;
}

/** Values by equal keys, in the order of their first run. */
export function groupBy<T>(keys: readonly string[], values: readonly T[]): ReadonlyMap<string, T[]> {
  const groups = new Map<string, T[]>();
  keys.forEach((key, k) => {
    const value = values[k];
    if (value === undefined) return;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [value]);
    else group.push(value);
  });
  return groups;
}

/** Text that is equal for runs of equal settings. */
export function settingsKey(run: Run): string {
  return JSON.stringify(run);
}

/** Squares of runs about the mean of their settings. */
export function pureError(runs: readonly Run[], response: readonly number[]): PureError {
  const groups = [...groupBy(runs.map(settingsKey), response).values()];
  return {
    sumOfSquares: preciseSum(groups.map(squaresAboutMean)),
    freedom: response.length - groups.length,
  };
}
