import type { DesignFactor, DesignPoint } from "./family.ts";

/** Whether a factor has something halfway between its ends. */
export function hasMiddle({ levels, isCategorical }: DesignFactor): boolean {
  return levels === undefined || (!isCategorical && levels % 2 === 1);
}

/** Whether a factor can stand in a design of two levels: categorical ones need exactly two. */
export function hasTwoEnds({ levels, isCategorical }: DesignFactor): boolean {
  return !isCategorical || levels === 2;
}

/** What stands in a point for a coded value: itself, or the index of the level there (levels evenly over −1 … +1). */
export function valueAt({ levels }: DesignFactor, coded: number): number {
  return levels === undefined ? coded : Math.round(((coded + 1) / 2) * (levels - 1));
}

/** The coded value of what stands in a point: the inverse of {@link valueAt}. */
export function codedAt({ levels }: DesignFactor, value: number): number {
  return levels === undefined ? value : (2 * value) / (levels - 1) - 1;
}

/** A row of coded values as a point. */
export function pointAt(factors: readonly DesignFactor[], coded: readonly number[]): DesignPoint {
  return factors.map((factor, k) => valueAt(factor, coded[k] ?? 0));
}

/** A point as a row of coded values. */
export function codedRow(factors: readonly DesignFactor[], point: DesignPoint): number[] {
  return factors.map((factor, k) => codedAt(factor, point[k] ?? 0));
}

/** What stands in a point for a number of [0, 1): each level has an equal share of the interval. */
export function valueAtUnit({ levels }: DesignFactor, unit: number): number {
  return levels === undefined ? 2 * unit - 1 : Math.min(levels - 1, Math.floor(unit * levels));
}

/** A number of [0, 1] for what stands in a point: the middle of a level's share. */
function unitAt({ levels }: DesignFactor, value: number): number {
  return levels === undefined ? (value + 1) / 2 : (value + 0.5) / levels;
}

/** A row of the unit cube as a point. */
export function pointAtUnit(factors: readonly DesignFactor[], unit: readonly number[]): DesignPoint {
  return factors.map((factor, k) => valueAtUnit(factor, unit[k] ?? 0));
}

/** A point in the unit cube. */
export function unitRow(factors: readonly DesignFactor[], point: DesignPoint): number[] {
  return factors.map((factor, k) => unitAt(factor, point[k] ?? 0));
}
