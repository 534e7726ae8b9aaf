import type { Status } from "../index.ts";

/** What the exit code of every command means. */
export const EXIT = {
  done: 0,
  internalFault: 1,
  badCommandLine: 2,
  badInput: 3,
  infeasible: 4,
  stopped: 5,
  differs: 6,
} as const;

export type ExitCode = (typeof EXIT)[keyof typeof EXIT];

/** Exit code of a solved problem by the status of its result. */
export const EXIT_BY_STATUS: Readonly<Record<Status, ExitCode>> = {
  optimal: EXIT.done,
  feasible: EXIT.stopped,
  infeasible: EXIT.infeasible,
  unknown: EXIT.stopped,
};
