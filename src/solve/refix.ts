import { activeRows, newRelaxation, relax, type Weights, weightsOf } from "./bound.ts";
import type { Core } from "./core.ts";
import type { Domain } from "./domain.ts";
import { fixByCost } from "./fixing.ts";
import { propagate } from "./propagate.ts";

/**
 * Replays a proof over a domain: at each of the multipliers, in order, deletes what exceeds the limit.
 *
 * @returns the bound at the last of them over what is then left; Infinity when nothing is left
 */
export function refix(core: Core, domain: Domain, proof: readonly Weights[], limit: number): number {
  const relaxation = newRelaxation(core);
  let bound = -Infinity;
  if (!propagate(core, domain)) return Infinity;
  for (const weights of proof) {
    relaxation.isActive = activeRows(core, domain);
    bound = relax(core, domain, weightsOf(core, weights), relaxation);
    if (bound > limit) return bound;
    fixByCost(core, domain, relaxation, limit);
    if (!propagate(core, domain)) return Infinity;
  }
  return bound;
}
