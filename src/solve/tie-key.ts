import type { Picks, SelectionModel } from "../model/selection.ts";
import { partCountOf } from "./cost.ts";

/** What decides between answers of equal cost: fewest distinct parts, lowest mass, then texts in group order. */
export interface TieKey {
  readonly partCount: number;
  /** [kg] */
  readonly mass: number;
  readonly texts: readonly string[];
}

/** The tie key of complete picks. */
export function tieKeyOf(model: SelectionModel, picks: Picks): TieKey {
  const ties = model.groups.map(({ columns }, g) => columns[picks[g]!]!.tie);
  return {
    partCount: partCountOf(model, picks),
    mass: ties.reduce((sum, { mass }) => sum + mass, 0),
    texts: ties.map(({ text }) => text),
  };
}

/** Negative: a wins. Masses that differ by rounding noise are equal. */
export function compareTies(a: TieKey, b: TieKey): number {
  if (a.partCount !== b.partCount) return a.partCount - b.partCount;
  if (!isSameMass(a.mass, b.mass)) return a.mass - b.mass;
  return compareTexts(a.texts, b.texts);
}

/** Equal to within the rounding noise of a sum. [kg] */
export function isSameMass(a: number, b: number): boolean {
  return Math.abs(a - b) <= 1e-9 * Math.max(1, Math.abs(a), Math.abs(b));
}

/** Text by text; the shorter list is compared as a beginning. */
export function compareTexts(a: readonly string[], b: readonly string[]): number {
  for (let at = 0; at < Math.min(a.length, b.length); at += 1) {
    const order = compareCodePoints(a[at]!, b[at]!);
    if (order !== 0) return order;
  }
  return 0;
}

/** Code-point order; the language's own `<` compares UTF-16 units, which differs beyond the basic plane. */
export function compareCodePoints(a: string, b: string): number {
  const [left, right] = [Array.from(a), Array.from(b)];
  for (let at = 0; at < Math.min(left.length, right.length); at += 1) {
    const difference = left[at]!.codePointAt(0)! - right[at]!.codePointAt(0)!;
    if (difference !== 0) return difference;
  }
  return left.length - right.length;
}
