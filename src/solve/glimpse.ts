import type { Relaxation, Weights } from "./bound.ts";
import type { Core } from "./core.ts";
import { type Domain, sizeOf } from "./domain.ts";
import { promisingColumns, promisingSize } from "./fixing.ts";

/** The most promising columns of each group: what they come to is no bound, but shows where to go. */
export interface Glimpse {
  readonly domain: Domain;
  /** Columns that were left when they were chosen. */
  readonly of: number;
  /** Best value and where it was found. */
  value: number;
  readonly weights: Weights;
  /** Turn at which everything is looked at again. */
  readonly until: number;
}

/** Turns from one look at everything to the next. */
const LOOK_EVERY = 12;

/** How many times as much must be left for a glimpse to be worth it. */
const WORTH = 10;

/** Where an ascent stands after a look at everything. */
interface Standing {
  readonly core: Core;
  readonly domain: Domain;
  /** Of this look. */
  readonly relaxation: Relaxation;
  /** Where the next step begins. */
  readonly weights: Weights;
}

/**
 * What to look at for some turns; undefined: everything, because little is left.
 *
 * @param at - turn, and value where the next step begins
 * @param before - the last glimpse, where it may be used again
 */
export function nextGlimpse(
  { core, domain, relaxation, weights }: Standing,
  { turn, value }: { readonly turn: number; readonly value: number },
  before: Glimpse | undefined,
): Glimpse | undefined {
  const size = sizeOf(domain);
  if (promisingSize(domain) * WORTH > size) return undefined;
  const few = before?.of === size ? before.domain : { ...domain, alive: promisingColumns(core, domain, relaxation) };
  return { domain: few, of: size, value, weights: weights.slice(), until: turn + LOOK_EVERY };
}

/** Whether the best value of a glimpse is that of everything. */
export function isTrue(glimpse: Glimpse | undefined, value: number): boolean {
  return glimpse !== undefined && value >= glimpse.value - 1e-9 * Math.abs(value);
}
