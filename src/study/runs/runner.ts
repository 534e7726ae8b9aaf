import type { RunRecord, RunTask } from "./run.ts";

/** Who solves the runs of a study: threads of this process, or workers behind a queue. */
export interface Runner {
  /** Tasks taken at a time. */
  readonly width: number;
  readonly run: (task: RunTask) => Promise<RunRecord>;
  readonly close: () => Promise<void>;
}
