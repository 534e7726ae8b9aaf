/** A stream of numbers, each uniform in [0, 1). */
export type Random = () => number;

/** 32-bit FNV-1a hash of a text. Source: public-domain algorithm by Fowler, Noll and Vo (from memory). */
function hashOf(text: string): number {
  let hash = 0x811c9dc5;
  for (const letter of text) hash = Math.imul(hash ^ (letter.codePointAt(0) ?? 0), 0x01000193);
  return hash >>> 0;
}

/**
 * Numbers that follow from a 32-bit state.
 * Source: mixing steps of the public-domain generator "mulberry32" (from memory).
 */
export function streamFrom(seed: number): Random {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** Numbers that depend on the key alone, so that a new part never changes the other parts. */
export function seeded(key: string): Random {
  return streamFrom(hashOf(key));
}

/** A number between low and high. */
export function between(random: Random, low: number, high: number): number {
  return low + (high - low) * random();
}

/** A factor within a share on either side of 1. */
export function spread(random: Random, share: number): number {
  return between(random, 1 - share, 1 + share);
}
