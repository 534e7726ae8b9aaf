import type { MassRange } from "../physics/duty/duty.ts";

/** A carried mass, or a range of it, that an axis is judged at [kg]. */
export type MassCase = MassRange;

/** Up to so many different masses, each is judged on its own. */
const SINGLE_CASES = 24;
/** Beyond that, so many ranges. */
const RANGES = 12;

/**
 * Cases of carried mass from the masses that riders can have: every reachable sum on its own where there are few, else
 * ranges that cover them all.
 *
 * @param riders - masses each rider can have [kg], ascending or not; none: nothing rides
 */
export function massCases(riders: readonly (readonly number[])[]): MassCase[] {
  if (riders.length === 0) return [{ low: 0, high: 0 }];
  const sums = reachableSums(riders);
  if (sums !== undefined) return sums.map((mass) => ({ low: mass, high: mass }));
  const low = riders.reduce((sum, masses) => sum + Math.min(...masses), 0);
  const high = riders.reduce((sum, masses) => sum + Math.max(...masses), 0);
  return binsOf({ low, high });
}

/** A range of carried mass cut into equal ones; one mass stays one. */
export function binsOf({ low, high }: MassCase, count: number = RANGES): MassCase[] {
  if (low === high) return [{ low, high }];
  return Array.from({ length: count }, (_, k) => ({
    low: low + ((high - low) * k) / count,
    high: low + ((high - low) * (k + 1)) / count,
  }));
}

function reachableSums(riders: readonly (readonly number[])[]): number[] | undefined {
  let sums = [0];
  for (const masses of riders) {
    const next = new Set<number>();
    for (const sum of sums) for (const mass of masses) next.add(sum + mass);
    if (next.size > SINGLE_CASES) return undefined;
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
