import { crowding, type Places, placesOf, type Swap, swapPlaces } from "./crowding.ts";
import type { DesignPoint, Ground } from "./family.ts";
import { type Random, seeded } from "./random.ts";

/** Steps of distance work a search may take, and exchanges it may try: the same on every machine, unlike a time. */
const DISTANCE_STEPS = 5e7;
const MOST_TRIES = 20_000;

/** Share by which distances may shrink in an accepted exchange at the start; it falls to 0 within a quarter of the tries. */
const FIRST_THRESHOLD = 0.2;
const WARM = 4;

interface Arrangement {
  readonly points: readonly number[][];
  readonly places: Places;
}

/**
 * Spreads points by swapping values of one factor between two of them, so that every column keeps its values: threshold
 * accepting on {@link crowding}, and back to the best arrangement at the end.
 *
 * Source: Morris and Mitchell (1995), column-wise exchange; G. Dueck, T. Scheuer, "Threshold accepting", J. Comput. Phys.
 * 90 (1990) 161–175.
 *
 * @param start - all allowed
 * @param fixed - so many at the start stay as they are
 */
export function spreadOut(start: readonly DesignPoint[], fixed: number, ground: Ground): DesignPoint[] {
  const { factors, settings } = ground;
  const points = start.map((point) => [...point]);
  const movable = points.length - fixed;
  if (movable < 2) return points;
  const random = seeded(settings.seed);
  const arrangement = { points, places: placesOf(factors, points) };
  const tries = Math.min(MOST_TRIES, Math.ceil(DISTANCE_STEPS / (points.length * factors.length)));
  const sinceBest: Swap[] = [];
  let lead = 0; // crowding of the current arrangement less that of the best
  for (let k = 0; k < tries; k += 1) {
    const swap = drawSwap(random, { fixed, movable, factors: factors.length });
    const change = tried(arrangement, swap, {
      ground,
      threshold: FIRST_THRESHOLD * Math.max(0, 1 - (WARM * k) / tries),
    });
    if (change === undefined) continue;
    lead += change;
    sinceBest.push(swap);
    if (lead >= 0) continue;
    lead = 0;
    sinceBest.length = 0;
  }
  for (const swap of sinceBest.toReversed()) swapPoints(points, swap);
  return points;
}

function drawSwap(
  random: Random,
  { fixed, movable, factors }: { fixed: number; movable: number; factors: number },
): Swap {
  const first = random.below(movable);
  const second = random.below(movable - 1);
  return { a: fixed + first, b: fixed + second + Number(second >= first), factor: random.below(factors) };
}

/** Carries a swap out unless it crowds too much or breaks a constraint; the change of crowding where it stands. */
function tried(
  { points, places }: Arrangement,
  swap: Swap,
  { ground, threshold }: { readonly ground: Ground; readonly threshold: number },
): number | undefined {
  const { a, b, factor } = swap;
  if (points[a]![factor] === points[b]![factor]) return undefined;
  const { before, after } = crowding(places, swap);
  if (after > before * sixteenthPower(1 + threshold)) return undefined;
  swapPoints(points, swap);
  if ([points[a]!, points[b]!].every((point) => ground.settings.isAllowed(point))) {
    swapPlaces(places, swap);
    return after - before;
  }
  swapPoints(points, swap);
  return undefined;
}

function swapPoints(points: readonly number[][], { a, b, factor }: Swap): void {
  const [first, second] = [points[a]!, points[b]!];
  const kept = first[factor]!;
  first[factor] = second[factor]!;
  second[factor] = kept;
}

/** Exact on every machine, which a library's power need not be. */
function sixteenthPower(x: number): number {
  const fourth = x * x * x * x;
  return fourth * fourth * fourth * fourth;
}
