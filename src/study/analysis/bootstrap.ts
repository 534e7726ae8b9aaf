import { uniformInt } from "pure-rand/distribution/uniformInt";
import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";

/** How to resample. */
export interface Resampling {
  readonly seed: number;
  readonly resamples: number;
  /** Of the intervals, from 0 to 1. */
  readonly confidence: number;
}

/**
 * Percentile intervals of statistics over samples drawn with replacement.
 *
 * Source: B. Efron, R. J. Tibshirani, An Introduction to the Bootstrap (1993), chapter 13.
 */
export function resampled<T>(
  items: readonly T[],
  statistics: (sample: readonly T[]) => readonly number[],
  { seed, resamples, confidence }: Resampling,
): { readonly low: number; readonly high: number }[] {
  const random = xoroshiro128plus(seed);
  const draw = (): T[] => items.flatMap(() => items[uniformInt(random, 0, items.length - 1)] ?? []);
  const found = Array.from({ length: resamples }, () => statistics(draw()));
  return (found[0] ?? []).map((_, k) => {
    const sorted = Float64Array.from(found, (values) => values[k] ?? 0).toSorted();
    return { low: quantile(sorted, (1 - confidence) / 2), high: quantile(sorted, (1 + confidence) / 2) };
  });
}

/** Straight between order statistics. Source: R. J. Hyndman, Y. Fan, Am. Statistician 50 (1996) 361, definition 7. */
function quantile(sorted: Float64Array, share: number): number {
  const place = share * (sorted.length - 1);
  const [low, high] = [sorted[Math.floor(place)] ?? 0, sorted[Math.ceil(place)] ?? 0];
  return low + (place - Math.floor(place)) * (high - low);
}
