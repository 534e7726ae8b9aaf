import type { Fault } from "../../faults/fault.ts";
import type { RunRecord, RunTask } from "./run.ts";

/** Who solves the runs of a study: threads of this process, or workers behind a queue. */
export interface Runner {
  /** Tasks taken at a time. */
  readonly width: number;
  /** What in these tasks this runner cannot take; asked before the first of them is run. */
  readonly faultsOf: (tasks: readonly RunTask[]) => readonly Fault[];
  /**
   * @returns undefined: not solved, because the study is to stop
   * @throws RunnerLost when there is nobody left to solve it
   */
  readonly run: (task: RunTask) => Promise<RunRecord | undefined>;
  readonly close: () => Promise<void>;
}

/** Whoever solves the runs is gone: the study ends, keeps what it has, and can go on another time. */
export class RunnerLost extends Error {
  override readonly name = "RunnerLost";
}
