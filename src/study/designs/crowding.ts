import type { DesignFactor, DesignPoint } from "./family.ts";

/** Where points lie for the sake of distances: one after the other, factor by factor. */
export interface Places {
  /** Levels without order are 0 or 1 apart; else positions on 0 … 1. */
  readonly isCategorical: readonly boolean[];
  readonly values: Float64Array;
}

/** Position of what stands in a point on 0 … 1; a level without order by its index. */
export function position({ levels, isCategorical }: DesignFactor, value: number): number {
  if (levels === undefined) return (value + 1) / 2;
  return isCategorical ? value : value / Math.max(1, levels - 1);
}

/** Places of points. */
export function placesOf(factors: readonly DesignFactor[], points: readonly DesignPoint[]): Places {
  const values = points.flatMap((point) => factors.map((factor, k) => position(factor, point[k] ?? 0)));
  return { isCategorical: factors.map(({ isCategorical }) => isCategorical), values: Float64Array.from(values) };
}

/** Square of the distance of two points. Hot: most of the time of a maximin search. */
export function gap({ isCategorical, values }: Places, a: number, b: number): number {
  const width = isCategorical.length;
  let sum = 0;
  for (let k = 0; k < width; k += 1) {
    const x = values[a * width + k]! - values[b * width + k]!;
    if (!isCategorical[k]) sum += x * x;
    else if (x !== 0) sum += 1;
  }
  return sum;
}

/** Crowding does not grow beyond this for points that coincide. */
const CLOSEST = 1e-6;

/**
 * What a point adds to φ_p^p = Σ d^(−p) with p = 16, whose least value is a maximin design with few closest pairs.
 *
 * Source: M. D. Morris, T. J. Mitchell, "Exploratory designs for computational experiments", J. Stat. Plan. Inference 43
 * (1995) 381–402.
 */
export function crowding(places: Places, own: number, count: number): number {
  let sum = 0;
  for (let other = 0; other < count; other += 1) {
    if (other === own) continue;
    const inverse = 1 / Math.max(CLOSEST, gap(places, own, other));
    const fourth = inverse * inverse * inverse * inverse;
    sum += fourth * fourth;
  }
  return sum;
}
