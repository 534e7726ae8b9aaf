import { anyBraking, type BrakingClass, type Brakings, feedingBack } from "./braking-classes.ts";
import type { BusPlace } from "./expressions.ts";
import { type FirstLook, lookAcross } from "./first-look.ts";
import type { PowerMemory } from "./power-memory.ts";
import type { Setup } from "./setup.ts";

/** What was seen of an order, and how it looks where one bus alone feeds back. */
export interface Looks {
  readonly first: FirstLook;
  readonly across: readonly (BusPlace & { readonly look: FirstLook })[];
}

/** Looks across to each bus that can be fed either way. */
export function looksOf(first: FirstLook, setup: Setup, { both }: Brakings, memory: PowerMemory): Looks {
  const lookAt = (place: BusPlace): FirstLook =>
    lookAcross(first, feedingBack(setup, both, [place]).setup, place, memory);
  return { first, across: both.map((place) => ({ ...place, look: lookAt(place) })) };
}

/** A class that may hold an answer worth having. */
export interface OpenClass {
  readonly braking: BrakingClass;
  /** No answer of it costs less [cent]. */
  readonly bound: number;
}

/** More classes than this are looked into as one; so are they where more sets than the many come up on the way. */
const MOST = 8;
const MANY = 4 * MOST;

/** How to tell which classes are open. */
export interface Openness {
  /** Absent: nothing was seen. */
  readonly looks: Looks | undefined;
  /** What a look says of the question asked [cent]. */
  readonly boundOf: (look: FirstLook) => number;
  /** Dearer answers are not worth having [cent]. */
  readonly limit: number;
}

/**
 * The classes beside the first that may hold an answer worth having, the cheapest bound first.
 *
 * What a bus that feeds back adds to the bound does not depend on the others (`lookAcross`): sums over sets of buses.
 */
export function openClasses(setup: Setup, { both }: Brakings, { looks, boundOf, limit }: Openness): OpenClass[] {
  if (both.length === 0) return [];
  const base = looks === undefined ? Number.NEGATIVE_INFINITY : boundOf(looks.first);
  // No class has a candidate for some axis.
  if (base === Number.POSITIVE_INFINITY) return [];
  const gains = both.map((place) => gainOf(looks, place, boundOf, base));
  const sets = setsWithin(gains, limit - base);
  if (sets === undefined) return [{ braking: anyBraking(setup), bound: base + leastSum(gains) }];
  return sets
    .map(({ members, sum }) => ({
      braking: feedingBack(
        setup,
        both,
        members.flatMap((at) => both[at] ?? []),
      ),
      bound: base + sum,
    }))
    .toSorted((a, b) => a.bound - b.bound);
}

/** What a bus adds to the bound by feeding back [cent]; -Infinity where nothing is known. */
function gainOf(looks: Looks | undefined, place: BusPlace, boundOf: Openness["boundOf"], base: number): number {
  const own = looks?.across.find(({ machine, bus }) => machine === place.machine && bus === place.bus);
  return own === undefined ? Number.NEGATIVE_INFINITY : boundOf(own.look) - base;
}

interface Subset {
  readonly members: readonly number[];
  readonly sum: number;
}

/** Sets of at least one gain whose sum leaves them in the room; undefined: too many. */
function setsWithin(gains: readonly number[], room: number): Subset[] | undefined {
  let sets: Subset[] = [{ members: [], sum: 0 }];
  const rest = gains.map((_, at) => gains.slice(at + 1).reduce((sum, gain) => sum + Math.min(0, gain), 0));
  for (const [at, gain] of gains.entries()) {
    sets = sets
      .flatMap((set) => [set, { members: [...set.members, at], sum: set.sum + gain }])
      .filter(({ sum }) => sum + rest[at]! <= room);
    if (sets.length > MANY) return undefined;
  }
  const open = sets.filter(({ members }) => members.length > 0);
  return open.length > MOST ? undefined : open;
}

/** The least that a set of at least one comes to. */
function leastSum(gains: readonly number[]): number {
  const sum = gains.reduce((all, gain) => all + Math.min(0, gain), 0);
  return sum < 0 ? sum : Math.min(...gains);
}
