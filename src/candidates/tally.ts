import { LIMIT_IDS, type LimitId } from "../machine/limit.ts";
import type { UnfitReason } from "./fit.ts";

/** Every candidate of an axis accounted for: nothing is silently skipped. */
export interface Tally {
  /** Combinations of motor, gearbox (or none) and drive in the catalogues. */
  judged: number;
  passed: number;
  readonly unfit: Map<UnfitReason, number>;
  /** By limit index. */
  readonly first: Float64Array;
  readonly worst: Float64Array;
}

export function newTally(): Tally {
  return {
    judged: 0,
    passed: 0,
    unfit: new Map(),
    first: new Float64Array(LIMIT_IDS.length),
    worst: new Float64Array(LIMIT_IDS.length),
  };
}

export function countUnfit(tally: Tally, reason: UnfitReason, count: number): void {
  if (count > 0) tally.unfit.set(reason, (tally.unfit.get(reason) ?? 0) + count);
}

export function countRejected(tally: Tally, { first, worst }: { first: number; worst: number }, count: number): void {
  tally.first[first] = (tally.first[first] ?? 0) + count;
  tally.worst[worst] = (tally.worst[worst] ?? 0) + count;
}

/** Counts by limit id, zeros left out. */
export function byLimit(counts: Float64Array): Partial<Record<LimitId, number>> {
  const named: Partial<Record<LimitId, number>> = {};
  LIMIT_IDS.forEach((id, index) => {
    const count = counts[index] ?? 0;
    if (count > 0) named[id] = count;
  });
  return named;
}
