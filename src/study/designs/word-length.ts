/**
 * Word-length pattern A₁ … A_k of a two-level design, generalised so that it holds for any: for a regular fraction A_j is
 * the number of words of j letters in the defining relation.
 *
 * A_j = 1/N² · Σ over pairs of runs of K_j(h), h: factors they differ in, K_j: Krawtchouk polynomial
 * Source: H. Xu, C. F. J. Wu, "Generalized minimum aberration for asymmetrical fractional factorial designs", Ann. Stat.
 * 29 (2001) 1066–1077; F. J. MacWilliams's identities.
 *
 * @param rows - coded values, −1 or +1
 * @returns A₁ … A_k, rounded to six decimals
 */
export function wordLengthPattern(rows: readonly (readonly number[])[]): number[] {
  const factors = rows[0]?.length ?? 0;
  const pairs = new Float64Array(factors + 1);
  for (const a of rows) {
    for (const b of rows) {
      const differences = a.reduce((count, x, k) => count + (x === b[k] ? 0 : 1), 0);
      pairs[differences]! += 1;
    }
  }
  return Array.from({ length: factors }, (_, k) => {
    const sum = pairs.reduce((all, count, h) => all + (count === 0 ? 0 : count * krawtchouk(k + 1, h, factors)), 0);
    return Math.round((sum / rows.length ** 2) * 1e6) / 1e6;
  });
}

/** K_j(h) = Σ_s (−1)^s · C(h, s) · C(k − h, j − s): the coefficient of z^j in (1 − z)^h·(1 + z)^(k − h). */
function krawtchouk(j: number, h: number, factors: number): number {
  let sum = 0;
  for (let s = 0; s <= Math.min(j, h); s += 1) {
    sum += (s % 2 === 0 ? 1 : -1) * choose(h, s) * choose(factors - h, j - s);
  }
  return sum;
}

function choose(n: number, k: number): number {
  if (k > n) return 0;
  let product = 1;
  for (let i = 1; i <= k; i += 1) product = (product * (n - k + i)) / i;
  return Math.round(product);
}

/** Length of the shortest word, as a number; undefined: no word at all, the design is full. */
export function resolutionOf(pattern: readonly number[]): number | undefined {
  const shortest = pattern.findIndex((count) => count > 0);
  return shortest < 0 ? undefined : shortest + 1;
}

/** A resolution as the trade writes it. */
export function roman(resolution: number): string {
  const tens = "X".repeat(Math.floor(resolution / 10));
  return tens + (["", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX"][resolution % 10] ?? "");
}

/** A word-length pattern in text, from A₃ on. */
export function patternText(pattern: readonly number[]): string {
  const words = pattern.flatMap((count, k) => (k >= 2 && count > 0 ? [`A${k + 1} = ${count}`] : []));
  return words.length === 0 ? "no words" : words.join(", ");
}
