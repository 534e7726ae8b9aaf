import type { Factor } from "./factor.ts";

/** A product of factors in a model; of none: the mean. */
export interface Term {
  /** "A", "A × B", "A²". */
  readonly name: string;
  /** Ids of the factors, each as often as its power. */
  readonly of: readonly string[];
}

/** How far a model goes: each factor; products of two as well; squares as well. */
export type ModelOrder = "linear" | "interactions" | "quadratic";

/** The constant of a model. A model without it goes through zero. */
export const MEAN: Term = { name: "mean", of: [] };

const POWERS = ["", "", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"];

/** The term that multiplies these factors; a factor named twice is squared. */
export function termOf(ids: readonly string[]): Term {
  if (ids.length === 0) return MEAN;
  const distinct = [...new Set(ids)];
  const names = distinct.map((id) => `${id}${powerMark(ids.filter((other) => other === id).length)}`);
  return { name: names.join(" × "), of: ids };
}

function powerMark(power: number): string {
  return POWERS[power] ?? `^${power}`;
}

/** Terms of a model of an order, mean first. Squares are for factors of more than two values. */
export function termsOf(factors: readonly Factor[], order: ModelOrder): Term[] {
  const depth = order === "linear" ? 1 : 2;
  const squares = order === "quadratic" ? factors.filter(canBend).map(({ id }) => termOf([id, id])) : [];
  return [...productTerms(factors, depth), ...squares];
}

/** Mean, factors, and all products of distinct factors up to a number of them, lower ones first. */
export function productTerms(factors: readonly Factor[], depth: number): Term[] {
  return subsets(
    factors.map(({ id }) => id),
    depth,
  ).map(termOf);
}

function canBend(factor: Factor): boolean {
  if (factor.kind === "listed") return new Set(factor.levels).size > 2;
  return factor.kind === "continuous";
}

/** Subsets of at most so many, by size, then in the order of the list. */
function subsets(ids: readonly string[], depth: number): string[][] {
  let layer: { readonly ids: string[]; readonly next: number }[] = [{ ids: [], next: 0 }];
  const all: string[][] = [];
  for (let size = 0; size <= depth && layer.length > 0; size++) {
    all.push(...layer.map((entry) => entry.ids));
    layer = layer.flatMap((entry) =>
      ids.slice(entry.next).map((id, k) => ({ ids: [...entry.ids, id], next: entry.next + k + 1 })),
    );
  }
  return all;
}
