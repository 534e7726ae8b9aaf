import type { DesignFactor, DesignPoint } from "./family.ts";

/** Where points lie for the sake of distances: one after the other, factor by factor. */
export interface Places {
  readonly count: number;
  /** 1: the factor's levels have no order and are 0 or 1 apart; 0: positions on 0 … 1. */
  readonly isCategorical: Uint8Array;
  readonly values: Float64Array;
}

/** Two points that swap what they have of one factor. */
export interface Swap {
  readonly a: number;
  readonly b: number;
  readonly factor: number;
}

/** Position of what stands in a point on 0 … 1; a level without order by its index. */
function position({ levels, isCategorical }: DesignFactor, value: number): number {
  if (levels === undefined) return (value + 1) / 2;
  return isCategorical ? value : value / (levels - 1);
}

/** Places of points. */
export function placesOf(factors: readonly DesignFactor[], points: readonly DesignPoint[]): Places {
  const values = points.flatMap((point) => factors.map((factor, k) => position(factor, point[k] ?? 0)));
  return {
    count: points.length,
    isCategorical: Uint8Array.from(factors, ({ isCategorical }) => Number(isCategorical)),
    values: Float64Array.from(values),
  };
}

/** Carries a swap out. */
export function swapPlaces({ isCategorical, values }: Places, { a, b, factor }: Swap): void {
  const width = isCategorical.length;
  const kept = values[a * width + factor]!;
  values[a * width + factor] = values[b * width + factor]!;
  values[b * width + factor] = kept;
}

/** Square of the distance of two points along one factor. */
function along({ isCategorical, values }: Places, factor: number, { from, to }: { from: number; to: number }): number {
  const x = values[from * isCategorical.length + factor]! - values[to * isCategorical.length + factor]!;
  return isCategorical[factor] === 0 ? x * x : Number(x !== 0);
}

/** Square of the distance of two points. Hot: most of the time of a maximin search. */
function gap({ isCategorical, values }: Places, from: number, to: number): number {
  const width = isCategorical.length;
  let sum = 0;
  for (let k = 0; k < width; k += 1) {
    const x = values[from * width + k]! - values[to * width + k]!;
    sum += isCategorical[k] === 0 ? x * x : Number(x !== 0);
  }
  return sum;
}

/** Crowding does not grow beyond this for points that coincide. */
const CLOSEST = 1e-6;

/** d^(−16) of a squared distance. */
function push(squared: number): number {
  const inverse = 1 / Math.max(CLOSEST, squared);
  const fourth = inverse * inverse * inverse * inverse;
  return fourth * fourth;
}

/**
 * Crowding of the two points of a swap, before and after it: their part of φ_p^p = Σ d^(−p) with p = 16, whose least
 * value is a maximin design with few closest pairs. Their own distance stays as it is. Hot.
 *
 * Source: M. D. Morris, T. J. Mitchell, "Exploratory designs for computational experiments", J. Stat. Plan. Inference 43
 * (1995) 381–402.
 */
export function crowding(places: Places, { a, b, factor }: Swap): { readonly before: number; readonly after: number } {
  let before = 0;
  let after = 0;
  for (let other = 0; other < places.count; other += 1) {
    if (other === a || other === b) continue;
    const fromA = gap(places, a, other);
    const fromB = gap(places, b, other);
    const change = along(places, factor, { from: b, to: other }) - along(places, factor, { from: a, to: other });
    before += push(fromA) + push(fromB);
    after += push(fromA + change) + push(fromB - change);
  }
  return { before, after };
}
