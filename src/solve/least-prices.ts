import type { Core } from "./core.ts";

/** By link: what a use of a counted part costs at the lowest price it can have; 0 for parts charged once at most. */
export function leastPrices({
  counted,
  linkCount,
  partLinks,
}: Pick<Core, "counted" | "linkCount" | "partLinks">): Float64Array {
  const prices = new Float64Array(linkCount);
  for (const [part, one] of counted.entries()) {
    if (one === undefined) continue;
    for (const [at, link] of partLinks[part]!.entries()) {
      const units = one.pools.reduce((sum, pool, p) => sum + pool.units * one.uses[at]![p]!, 0);
      prices[link] = (units * one.leastPrice) / one.channels;
    }
  }
  return prices;
}

/** Least dearness beside the mean. */
const LEAST_DEARNESS = 0.02;

/**
 * By link: the root of what a use of its part costs, beside the mean. Prices of dear parts have further to go. Measured:
 * orders whose machines differ in quantity converge in a fraction of the steps.
 */
export function dearnessOf(
  core: Pick<Core, "counted" | "linkCount" | "partLinks" | "linkPart" | "fixed">,
): Float64Array {
  const prices = leastPrices(core);
  for (let link = 0; link < core.linkCount; link += 1) {
    const part = core.linkPart[link]!;
    if (core.counted[part] === undefined) prices[link] = core.fixed[part]!;
  }
  const mean = prices.reduce((sum, price) => sum + price, 0) / Math.max(1, core.linkCount);
  return prices.map((price) => (mean > 0 ? Math.sqrt(Math.max(LEAST_DEARNESS, price / mean)) : 1));
}
