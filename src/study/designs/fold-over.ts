/** A fold-over: the rows again with signs turned round. */
export interface FoldOver {
  readonly rows: readonly (readonly number[])[];
  /** What was done, in words. */
  readonly words: string;
}

/**
 * Second half of a two-level design: all signs turned round, which clears main effects of two-factor interactions; where
 * that only gives the old runs again, the signs of the first factor alone, which clears its own interactions.
 *
 * Source: G. E. P. Box, J. S. Hunter, W. G. Hunter, Statistics for Experimenters, chapter 6 (fold-over, and single
 * fold-over).
 */
export function foldOver(rows: readonly (readonly number[])[], ids: readonly string[]): FoldOver {
  const all = rows.map((row) => row.map((x) => -x));
  const old = new Set(rows.map((row) => row.join()));
  if (!all.every((row) => old.has(row.join()))) return { rows: all, words: "signs of all factors turned round" };
  return {
    rows: rows.map((row) => row.map((x, k) => (k === 0 ? -x : x))),
    words: `signs of ${ids[0]} turned round`,
  };
}
