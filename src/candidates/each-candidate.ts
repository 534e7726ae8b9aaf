import type { Judged, JudgedPair } from "./judge-axis.ts";
import { DRIVE_STATE, type Failures, failuresOn } from "./judge-drives.ts";

/** One candidate, by catalogue index (−1: none). */
export interface Candidate extends Failures {
  readonly motor: number;
  readonly gearbox: number;
  readonly drive: number;
  readonly inductor: number;
}

/** A drive that goes on with a pair; `index` is the pair's. */
export interface Visit {
  readonly pair: JudgedPair;
  readonly index: number;
  readonly drive: number;
  /** −1: none. */
  readonly inductor: number;
}

/** Told of every candidate. */
export type Visitor = (pair: JudgedPair, drive: number, inductor: number, index: number) => void;

/** Visits every candidate: pair by pair, drive by drive. Hot: nothing is made that the visitor does not make. */
export function eachCandidate({ pairs, states }: Judged, visit: Visitor): void {
  for (let p = 0; p < pairs.length; p++) {
    const [pair, { state }] = [pairs[p]!, states[p]!];
    for (let drive = 0; drive < state.length; drive++) {
      const how = state[drive];
      if (how === DRIVE_STATE.alone || how === DRIVE_STATE.both) visit(pair, drive, -1, p);
      if (how === DRIVE_STATE.withInductor || how === DRIVE_STATE.both) {
        for (const inductor of pair.inductors.get(drive) ?? []) visit(pair, drive, inductor, p);
      }
    }
  }
}

/** What a candidate fails; nothing where no limit may be failed. */
function failuresOf(
  { states, most }: Judged,
  { index, drive, inductor }: Pick<Visit, "index" | "drive" | "inductor">,
): Failures {
  const of = most > 0 ? states[index] : undefined;
  return of === undefined ? NONE : failuresOn(of, drive, inductor >= 0);
}

const NONE: Failures = { failed: 0, by: 0 };

/** A candidate with everything it fails. */
export function candidateOf(judged: Judged, visit: Visit): Candidate {
  const { pair, drive, inductor } = visit;
  return { motor: pair.motor, gearbox: pair.gearbox, drive, inductor, ...failuresOf(judged, visit) };
}
