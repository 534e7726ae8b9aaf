/**
 * Radical inverse: the digits of a number to a base, mirrored behind the point.
 *
 * Source: J. H. Halton, "On the efficiency of certain quasi-random sequences of points", Numer. Math. 2 (1960) 84–90.
 */
export function radicalInverse(index: number, base: number): number {
  let mirrored = 0;
  let place = 1;
  for (let rest = index; rest > 0; rest = Math.floor(rest / base)) {
    mirrored = mirrored * base + (rest % base);
    place *= base;
  }
  // One division of integers: no rounding before it.
  return mirrored / place;
}

/** The first primes. */
export function firstPrimes(count: number): number[] {
  const primes: number[] = [];
  for (let n = 2; primes.length < count; n += 1) if (primes.every((p) => n % p !== 0)) primes.push(n);
  return primes;
}
