import fCdf from "@stdlib/stats-base-dists-f-cdf";
import normalQuantile from "@stdlib/stats-base-dists-normal-quantile";
import tCdf from "@stdlib/stats-base-dists-t-cdf";
import tQuantile from "@stdlib/stats-base-dists-t-quantile";

/** Chance of a Student variable beyond ±t. */
export function studentTails(t: number, freedom: number): number {
  return Math.min(2 * tCdf(-Math.abs(t), freedom), 1);
}

/** Student's t below which a share lies; to nine digits. */
export function studentQuantile(share: number, freedom: number): number {
  return tQuantile(share, freedom);
}

/** Chance of an F variable above f. The reciprocal's lower tail keeps the digits that 1 − cdf would lose. */
export function fTail(f: number, { above, below }: { readonly above: number; readonly below: number }): number {
  return f <= 0 ? 1 : fCdf(1 / f, below, above);
}

/** Standard normal value below which a share lies. */
export function standardNormalQuantile(share: number): number {
  return normalQuantile(share, 0, 1);
}
