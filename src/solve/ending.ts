import { type Court, noiseOf } from "./court.ts";
import type { Outcome, OutcomeStatus } from "./outcome.ts";

/** What a search that is over came to: the answer heard, and whether everything was looked at. */
export function statusOf({ best }: Pick<Court, "best">, isComplete: boolean): OutcomeStatus {
  if (isComplete) return best === undefined ? "infeasible" : "optimal";
  return best === undefined ? "unknown" : "feasible";
}

/** How far a search came: model cost up to which answers are excluded, and the least bound of what is still open. */
export interface Reach {
  readonly limit: number;
  readonly bound: number;
}

/** What no answer costs less than, and how far the best is above it. */
export function boundOf(
  { core: { model }, best, cutoff }: Pick<Court, "core" | "best" | "cutoff">,
  { limit, bound }: Reach,
  status: OutcomeStatus,
): Pick<Outcome, "bound" | "gap"> {
  const { unit, rounding } = model;
  const cost = best?.cost;
  if (status === "infeasible") return { bound: cutoff };
  if (cost === undefined) return { bound: bound - rounding };
  if (status === "optimal")
    return { bound: Math.min(cost, Math.max(cost - unit, limit - rounding + noiseOf(model, cost) * 2)), gap: 0 };
  const least = Math.min(cost, bound - rounding);
  return { bound: least, gap: cost - least };
}
