import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { uniformInt } from "pure-rand/distribution/uniformInt";
import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";

/** Random numbers that hang on a seed alone: the same on every machine. */
export interface Random {
  /** An integer of 0 … count − 1. */
  readonly below: (count: number) => number;
  /** A number of [0, 1). */
  readonly share: () => number;
}

/** Random numbers of a seed. */
export function seeded(seed: number): Random {
  const generator = xoroshiro128plus(seed);
  return { below: (count) => uniformInt(generator, 0, count - 1), share: () => uniformFloat64(generator) };
}

/** The list in random order. Source: R. A. Fisher and F. Yates; R. Durstenfeld, CACM 7 (1964) 420. */
export function shuffled<T>(list: readonly T[], random: Random): T[] {
  const mixed = [...list];
  for (let k = mixed.length - 1; k > 0; k -= 1) {
    const other = random.below(k + 1);
    [mixed[k], mixed[other]] = [mixed[other]!, mixed[k]!];
  }
  return mixed;
}
