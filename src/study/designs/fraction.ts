import type { Generator } from "./generators.ts";
import { cornerRows } from "./star.ts";

/**
 * Rows of a two-level fraction in coded values: all corners of the factors without a generator in standard order, the
 * others as products.
 *
 * Source: G. E. P. Box, J. S. Hunter, "The 2^(k−p) fractional factorial designs", Technometrics 3 (1961) 311–351.
 */
export function fractionRows(factors: number, generators: readonly Generator[]): number[][] {
  const made = new Set(generators.map(({ factor }) => factor));
  const base = Array.from({ length: factors }, (_, k) => k).filter((k) => !made.has(k));
  return cornerRows(base.length).map((corner) => {
    const row = Array.from({ length: factors }, () => 0);
    base.forEach((place, k) => {
      row[place] = corner[k] ?? 0;
    });
    for (const { factor, product, sign } of generators) {
      row[factor] = product.reduce((all, place) => all * (row[place] ?? 0), sign);
    }
    return row;
  });
}

/** A word of the defining relation: factors whose product is constant, and its sign. */
export interface Word {
  readonly places: readonly number[];
  readonly sign: 1 | -1;
}

/** More generators than this have more words than anybody reads. */
const MOST_GENERATORS = 12;

/**
 * The defining relation: every product of the generators' words, shortest first. Generators alone where there are too
 * many of them to multiply out.
 */
export function definingWords(generators: readonly Generator[]): readonly Word[] {
  const own = generators.map(({ factor, product, sign }): Word => ({ places: sorted([...product, factor]), sign }));
  if (own.length > MOST_GENERATORS) return own;
  const words = own.reduce<Word[]>((all, word) => [...all, word, ...all.map((other) => times(other, word))], []);
  return words.toSorted((a, b) => a.places.length - b.places.length || byPlaces(a, b));
}

function times(a: Word, b: Word): Word {
  const places = [
    ...a.places.filter((place) => !b.places.includes(place)),
    ...b.places.filter((place) => !a.places.includes(place)),
  ];
  return { places: sorted(places), sign: a.sign === b.sign ? 1 : -1 };
}

function sorted(places: readonly number[]): number[] {
  return places.toSorted((a, b) => a - b);
}

function byPlaces(a: Word, b: Word): number {
  const k = a.places.findIndex((place, j) => place !== b.places[j]);
  return (a.places[k] ?? 0) - (b.places[k] ?? 0);
}
