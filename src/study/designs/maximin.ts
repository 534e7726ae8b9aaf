import { crowding, type Places, placesOf, position } from "./crowding.ts";
import type { DesignPoint, Ground } from "./family.ts";
import { type Random, seeded } from "./random.ts";

/** Steps of distance work a search may take, and exchanges it may try: the same on every machine, unlike a time. */
const DISTANCE_STEPS = 3e7;
const MOST_TRIES = 20_000;

/** Share by which crowding may grow in an accepted exchange at the start; it falls to 0. */
const FIRST_THRESHOLD = 0.1;

/** An exchange: two points swap what they have of one factor. */
interface Swap {
  readonly a: number;
  readonly b: number;
  readonly factor: number;
}

/**
 * Spreads points by swapping values of one factor between two of them, so that every column keeps its values: threshold
 * accepting on {@link crowding}, the best arrangement kept.
 *
 * Source: Morris and Mitchell (1995), column-wise exchange; G. Dueck, T. Scheuer, "Threshold accepting", J. Comput. Phys.
 * 90 (1990) 161–175.
 *
 * @param points - all allowed
 * @param fixed - so many at the start stay as they are
 */
export function spreadOut(points: readonly DesignPoint[], fixed: number, ground: Ground): DesignPoint[] {
  const { factors, settings } = ground;
  const movable = points.length - fixed;
  if (movable < 2) return [...points];
  const random = seeded(settings.seed);
  const current = points.map((point) => [...point]);
  const places = placesOf(factors, points);
  const tries = Math.min(MOST_TRIES, Math.ceil(DISTANCE_STEPS / (points.length * factors.length)));
  let best = current.map((point) => [...point]);
  let lead = 0; // crowding of the current arrangement less that of the best
  for (let k = 0; k < tries; k += 1) {
    const swap = drawSwap(random, { fixed, movable, factors: factors.length });
    const change = exchange({ current, places }, swap, { ground, threshold: FIRST_THRESHOLD * (1 - k / tries) });
    lead += change;
    if (change < 0 && lead < 0) {
      best = current.map((point) => [...point]);
      lead = 0;
    }
  }
  return best;
}

function drawSwap(
  random: Random,
  { fixed, movable, factors }: { fixed: number; movable: number; factors: number },
): Swap {
  const first = random.below(movable);
  const second = random.below(movable - 1);
  return { a: fixed + first, b: fixed + second + Number(second >= first), factor: random.below(factors) };
}

interface Arrangement {
  readonly current: number[][];
  readonly places: Places;
}

/** Tries a swap; undone where it crowds too much or breaks a constraint. Returns the change of crowding. */
function exchange(
  { current, places }: Arrangement,
  { a, b, factor }: Swap,
  { ground, threshold }: { readonly ground: Ground; readonly threshold: number },
): number {
  const [first, second] = [current[a]!, current[b]!];
  if (first[factor] === second[factor]) return 0;
  const crowd = (): number => crowding(places, a, current.length) + crowding(places, b, current.length);
  const swap = (): void => {
    [first[factor], second[factor]] = [second[factor]!, first[factor]!];
    for (const [own, point] of [
      [a, first],
      [b, second],
    ] as const) {
      places.values[own * ground.factors.length + factor] = position(ground.factors[factor]!, point[factor]!);
    }
  };
  const before = crowd();
  swap();
  const change = crowd() - before;
  const isGood = change <= threshold * before && [first, second].every(ground.settings.isAllowed);
  if (isGood) return change;
  swap();
  return 0;
}
