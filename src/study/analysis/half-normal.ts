import { standardNormalQuantile } from "./distributions.ts";
import type { Effect } from "./two-level-effects.ts";

/** A point of a half-normal plot. */
export interface HalfNormalPoint {
  readonly name: string;
  /** |effect| */
  readonly size: number;
  /** Where the size would stand if all effects were noise, in standard deviations. */
  readonly score: number;
}

/**
 * Effects by rising size, each with its half-normal score. Effects of noise lie on a line through zero.
 *
 * score of the i-th of m = Φ⁻¹(0.5 + 0.5·(i − 0.5)/m)
 * Source: C. Daniel, "Use of half-normal plots in interpreting factorial two-level experiments", Technometrics 1 (1959) 311.
 */
export function halfNormalPoints(effects: readonly Pick<Effect, "name" | "value">[]): HalfNormalPoint[] {
  return effects
    .map(({ name, value }) => ({ name, size: Math.abs(value) }))
    .toSorted((a, b) => a.size - b.size)
    .map((point, k) => ({ ...point, score: standardNormalQuantile(0.5 + (0.5 * (k + 0.5)) / effects.length) }));
}
