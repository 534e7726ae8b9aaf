/** Figures found and published, in pairs. */
export type Pairs = readonly (readonly [found: unknown, published: number])[];

/** A published data set and how far its figures are reproduced. */
export interface Published {
  readonly set: string;
  readonly figure: string;
  readonly source: string;
  /** Digits that agree at least: −log10 of the largest relative error, 15 at most. */
  readonly digits: number;
  readonly pairs: () => Pairs;
}

/** Figures in pairs, one for one. */
export function pairs(found: readonly unknown[], published: readonly (number | string)[]): Pairs {
  if (found.length !== published.length) throw new Error(`${found.length} figures for ${published.length}`);
  return published.map((value, k) => [found[k], Number(value)]);
}

/** Found by the names under which published figures stand. */
export function byName(found: (name: string) => unknown, published: Readonly<Record<string, number>>): Pairs {
  return Object.entries(published).map(([name, value]) => [found(name), value]);
}

/** Where most of the tables are from. */
export const HANDBOOK = "NIST/SEMATECH e-Handbook";
export const BHH = "Box, Hunter, Hunter, Statistics for Experimenters, 2nd ed.";
