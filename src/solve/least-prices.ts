import { type Weights, weightsOf } from "./bound.ts";
import type { Core } from "./core.ts";

/** Every use of a counted part pays the lowest price it can have: no part then gains by being used. */
export function leastPriceWeights(core: Core): Weights {
  const weights = weightsOf(core);
  for (const [part, counted] of core.counted.entries()) {
    if (counted === undefined) continue;
    for (const [at, link] of core.partLinks[part]!.entries()) {
      const units = counted.pools.reduce((sum, pool, p) => sum + pool.units * counted.uses[at]![p]!, 0);
      weights[link] = (units * counted.leastPrice) / counted.channels;
    }
  }
  return weights;
}
