import type { MassRange } from "../physics/duty/duty.ts";

/** A carried mass, or a range of it, that an axis is judged at [kg]. */
export type MassCase = MassRange;

/** Up to so many different masses, each is judged on its own; so many cases at the most. */
const CASES = 12;
/** A range nothing is known of is cut into so many. */
const RANGES = 12;
/** Up to so many sums of masses are told apart. */
const SUMS = 4000;

/** A range of carried mass cut into equal ones; one mass stays one. */
export function binsOf({ low, high }: MassCase): MassCase[] {
  if (low === high) return [{ low, high }];
  // The last border is the end itself: rounding must not leave the heaviest out.
  const border = (k: number): number => (k === RANGES ? high : low + ((high - low) * k) / RANGES);
  return Array.from({ length: RANGES }, (_, k) => ({ low: border(k), high: border(k + 1) }));
}

/**
 * Cases of carried mass cut finer, as far as riders can still reach them: every reachable sum on its own where there are
 * few, else the cases shrunk to what they hold and halved.
 *
 * @param cases - all that is left; what rides lies in one of them
 * @param riders - masses each rider can have [kg], ascending or not; none: nothing rides
 */
export function refinedCases(cases: readonly MassCase[], riders: readonly (readonly number[])[]): MassCase[] {
  if (riders.length === 0) return [{ low: 0, high: 0 }];
  const sums = reachableSums(riders);
  const shrunk = sums === undefined ? clipped(cases, riders) : cases.flatMap((one) => hullOf(one, sums));
  const reached = sums?.filter((sum) => shrunk.some(({ low, high }) => low <= sum && sum <= high));
  if (reached !== undefined && reached.length <= CASES) return reached.map((mass) => ({ low: mass, high: mass }));
  let found = shrunk;
  while (2 * found.length <= CASES)
    found = found.flatMap(halves).flatMap((one) => (sums === undefined ? [one] : hullOf(one, sums)));
  return found;
}

function halves({ low, high }: MassCase): MassCase[] {
  if (high - low <= POINT) return [{ low, high }];
  const middle = (low + high) / 2;
  return [
    { low, high: middle },
    { low: middle, high },
  ];
}

function clipped(cases: readonly MassCase[], riders: readonly (readonly number[])[]): MassCase[] {
  const least = riders.reduce((sum, masses) => sum + masses.reduce((a, b) => Math.min(a, b)), 0);
  const most = riders.reduce((sum, masses) => sum + masses.reduce((a, b) => Math.max(a, b)), 0);
  return cases
    .map(({ low, high }) => ({ low: Math.max(low, least), high: Math.min(high, most) }))
    .filter(({ low, high }) => low <= high);
}

/** A case shrunk to the sums within it; none: it cannot be reached. */
function hullOf({ low, high }: MassCase, sums: readonly number[]): MassCase[] {
  const inside = sums.filter((sum) => low <= sum && sum <= high);
  const [first, last] = [inside[0], inside.at(-1)];
  return first === undefined || last === undefined ? [] : [{ low: first, high: last }];
}

/** Every sum that riders can reach, ascending; undefined where there are too many. */
function reachableSums(riders: readonly (readonly number[])[]): number[] | undefined {
  let sums = [0];
  for (const masses of riders) {
    const next = new Set<number>();
    for (const sum of sums) {
      for (const mass of masses) next.add(sum + mass);
      if (next.size > SUMS) return undefined;
    }
    sums = [...next];
  }
  return sums.toSorted((a, b) => a - b);
}

/** Width of a case that stands for one mass [kg]. */
const POINT = 1e-6;

/** Cases cut so that each of some masses has a case of its own. */
export function cutAt(cases: readonly MassCase[], masses: readonly number[]): MassCase[] {
  return masses.reduce<MassCase[]>(
    (found, mass) => found.flatMap((one) => (one.high - one.low > 2 * POINT ? cutOne(one, mass) : [one])),
    [...cases],
  );
}

function cutOne({ low, high }: MassCase, mass: number): MassCase[] {
  if (mass < low || mass > high) return [{ low, high }];
  const from = Math.max(low, mass - POINT);
  return [
    { low, high: from },
    { low: from, high: mass },
    { low: mass, high },
  ].filter((one) => one.high > one.low);
}

/** True where two cases have a mass in common. */
export function touches(one: MassCase, other: MassCase | undefined): boolean {
  return other !== undefined && one.low <= other.high && other.low <= one.high;
}
