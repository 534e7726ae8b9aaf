import type { Judged, JudgedPair } from "./judge-axis.ts";
import { DRIVE_STATE, type Failures, failuresWith } from "./judge-drives.ts";

/** One candidate, by catalogue index (−1: none). */
export interface Candidate extends Failures {
  readonly motor: number;
  readonly gearbox: number;
  readonly drive: number;
  readonly inductor: number;
  readonly peakTorque: number;
}

/** A drive that goes on with a pair. */
export interface Visit {
  readonly pair: JudgedPair;
  readonly drive: number;
  /** −1: none. */
  readonly inductor: number;
}

/** Visits every candidate: pair by pair, drive by drive. Hot: nothing is made that the visitor does not make. */
export function eachCandidate({ pairs, state }: Judged, visit: (pair: JudgedPair, drive: number, inductor: number) => void): void {
  for (let p = 0; p < pairs.length; p++) {
    const [pair, states] = [pairs[p], state[p]];
    if (pair === undefined || states === undefined) continue;
    for (let drive = 0; drive < states.length; drive++) {
      if (states[drive] === DRIVE_STATE.alone) visit(pair, drive, -1);
      else if (states[drive] === DRIVE_STATE.withInductor) for (const inductor of pair.inductors.get(drive) ?? []) visit(pair, drive, inductor);
    }
  }
}

/** A candidate with everything it fails (nothing where limits were enforced). */
export function candidateOf({ drives, mode }: Judged, { pair, drive, inductor }: Visit): Candidate {
  const row = drives.rows[drive];
  const survey = mode === "survey" && row !== undefined;
  const { failed, by } = survey ? failuresWith(pair, drives, { row, demand: pair.demand }) : pair;
  return { motor: pair.motor, gearbox: pair.gearbox, drive, inductor, peakTorque: pair.peakTorque, failed, by };
}
