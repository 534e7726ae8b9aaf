import { LIMIT_IDS, type LimitId } from "../machine/limit.ts";
import type { Needs } from "../machine/problem.ts";
import { PASS_TOLERANCE } from "../physics/limits/judgement.ts";

/** Place of a limit in the documentation's order: hot loops count by number. */
export function limitIndex(id: LimitId): number {
  return LIMIT_IDS.indexOf(id);
}

/** Highest utilisation each limit of a problem lets through, by index: 1, widened by `relax`, Infinity where lifted. */
export function thresholdsOf(needs: Needs): Float64Array {
  return Float64Array.from(LIMIT_IDS, (id) => {
    const relax = needs.relax[id];
    return relax === null ? Number.POSITIVE_INFINITY : (1 + (relax ?? 0)) * (1 + PASS_TOLERANCE);
  });
}

/** The verdict on one candidate so far; one record is reused through a hot loop. */
export interface Scan {
  readonly thresholds: Float64Array;
  /** How many limits a candidate may fail and still go on; 0: none, as the problem has it. More, to see what limits cost. */
  readonly most: number;
  /** The first limit failed, in judging order; −1: none. */
  first: number;
  /** The limit failed worst, and by how many times its threshold. */
  worst: number;
  by: number;
  /** Limits failed, as the sum of 2^index, and how many. */
  failed: number;
  count: number;
}

export function newScan(thresholds: Float64Array, most: number): Scan {
  return { thresholds, most, first: -1, worst: -1, by: 0, failed: 0, count: 0 };
}

export function resetScan(scan: Scan): void {
  scan.first = -1;
  scan.worst = -1;
  scan.by = 0;
  scan.failed = 0;
  scan.count = 0;
}

/** Takes over the verdict that motor and gearbox share. */
export function adoptScan(scan: Scan, other: Scan): void {
  scan.first = other.first;
  scan.worst = other.worst;
  scan.by = other.by;
  scan.failed = other.failed;
  scan.count = other.count;
}

/** Notes one limit of the candidate, at most once each. Hot: see the judging benchmark. @param utilisation - Infinity where an unknown fails */
export function see(scan: Scan, limit: number, utilisation: number): void {
  const threshold = scan.thresholds[limit] ?? 1;
  if (utilisation <= threshold || threshold === Number.POSITIVE_INFINITY) return;
  if (scan.first < 0) scan.first = limit;
  scan.failed += 2 ** limit;
  scan.count += 1;
  const by = utilisation / threshold;
  if (by > scan.by) {
    scan.worst = limit;
    scan.by = by;
  }
}

/** A survey does not ask dear questions of candidates that fail so many limits already. */
export const HOPELESS = 5;

/** Utilisation where nothing may be allowed: nothing asked of nothing is 0, something of nothing Infinity. */
export function share(demand: number, allowed: number): number {
  if (allowed > 0) return demand / allowed;
  return demand === 0 ? 0 : Number.POSITIVE_INFINITY;
}

/** True where the candidate goes on to the next stage. */
export function goesOn(scan: Scan): boolean {
  return scan.count <= scan.most;
}

/** Number of limits in a `failed` sum. */
export function failedCount(failed: number): number {
  let count = 0;
  for (let rest = failed; rest > 0; rest = Math.floor(rest / 2)) count += rest % 2;
  return count;
}

/** Limits of a `failed` sum. */
export function failedLimits(failed: number): LimitId[] {
  return LIMIT_IDS.filter((_, index) => Math.floor(failed / 2 ** index) % 2 === 1);
}

/** Limits in either of two `failed` sums: more limits than a bitwise or can hold at once. */
export function unionOfFailed(one: number, other: number): number {
  const half = 2 ** 24;
  const low = (one % half) | (other % half);
  return (Math.floor(one / half) | Math.floor(other / half)) * half + low;
}
