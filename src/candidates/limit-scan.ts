import { LIMIT_IDS, type LimitId } from "../machine/limit.ts";
import type { Needs } from "../machine/problem.ts";
import { PASS_TOLERANCE } from "../physics/limits/judgement.ts";

/** Place of a limit in the documentation's order: hot loops count by number. */
export function limitIndex(id: LimitId): number {
  return LIMIT_IDS.indexOf(id);
}

/** Highest utilisation each limit lets through, by index: 1, widened by `relax`, Infinity where lifted. */
export function thresholdsOf(needs: Needs): Float64Array {
  return Float64Array.from(LIMIT_IDS, (id) => {
    const relax = needs.relax[id];
    return relax === null ? Number.POSITIVE_INFINITY : (1 + (relax ?? 0)) * (1 + PASS_TOLERANCE);
  });
}

/** The verdict on one candidate so far; one record is reused through a hot loop. */
export interface Scan {
  readonly thresholds: Float64Array;
  /** The first limit failed, in judging order; −1: none. */
  first: number;
  /** The limit failed worst. */
  worst: number;
  by: number;
}

export function newScan(thresholds: Float64Array): Scan {
  return { thresholds, first: -1, worst: -1, by: 0 };
}

export function resetScan(scan: Scan): void {
  scan.first = -1;
  scan.worst = -1;
  scan.by = 0;
}

/** Takes over the verdict that motor and gearbox share. */
export function adoptScan(scan: Scan, other: Scan): void {
  scan.first = other.first;
  scan.worst = other.worst;
  scan.by = other.by;
}

/** Notes one limit of the candidate. Hot: see the judging benchmark. @param utilisation - Infinity where an unknown fails */
export function see(scan: Scan, limit: number, utilisation: number): void {
  const threshold = scan.thresholds[limit] ?? 1;
  if (utilisation <= threshold || threshold === Number.POSITIVE_INFINITY) return;
  if (scan.first < 0) scan.first = limit;
  const by = utilisation / threshold;
  if (by > scan.by) {
    scan.worst = limit;
    scan.by = by;
  }
}
