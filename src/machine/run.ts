import type { Result } from "../faults/fault.ts";
import type { ResultDocument } from "./result.ts";

/** How the whole job is to be run. Clock, abort signal and progress come from outside, so that a run is repeatable. */
export interface SolveFileOptions {
  readonly engine: "simplex" | "highs";
  /** Stop after this long with the best answer so far [s]; Infinity: never. */
  readonly timeLimit: number;
  /** false: leave out the binding limits and their prices, which take solving again. */
  readonly explain: boolean;
  /** false: axes without candidates are told, but what they are in conflict about together is not searched, which takes solving again. */
  readonly conflict?: false;
  /** false: no certificate is made. */
  readonly certificate?: false;
  /** Time for finding what holds each axis, or why there is no answer [s], shared out evenly; absent: as long as it takes. What is then not proved says so. */
  readonly explainTime?: number;
  /** A clock that only runs forward [s]. */
  readonly now: () => number;
  /** true from the moment the user wants the best answer so far. */
  readonly aborted: () => boolean;
  readonly progress: (progress: Progress) => void;
  /** true: hand back the solver's input as text. */
  readonly writeModel: boolean;
}

/** The phases of the job in their order. */
export type Phase = "read" | "judge" | "solve" | "explain";

/** Where the job stands. */
export interface Progress {
  readonly phase: Phase;
  readonly done?: number;
  readonly total?: number;
  readonly note?: string;
}

/** What the whole job hands back. */
export interface SolveFileOutcome {
  readonly document: ResultDocument;
  /** Text of the certificate file; undefined when none was made. */
  readonly certificate: string | undefined;
  /** Text of the solver's input, when asked for. */
  readonly modelText: string | undefined;
}

/** The whole job: a problem file becomes a result document, or every fault in the input. */
export type SolveFile = (path: string, options: SolveFileOptions) => Promise<Result<SolveFileOutcome>>;
