import type { Decision } from "../decide/decide.ts";
import type { Setup } from "../decide/setup.ts";
import type { EngineName } from "../solve/engine.ts";

/** What explaining works from: the problem made ready, what was decided, and the time left. */
export interface ExplainContext {
  readonly setup: Setup;
  readonly decision: Decision;
  readonly engine: EngineName;
  readonly secondsLeft: () => number;
  readonly aborted: () => boolean;
  /** Told of every question answered. */
  readonly progress: (done: number, total: number) => void;
}

/** True where there is no time left to search on. */
export function isOver({ secondsLeft, aborted }: ExplainContext): boolean {
  return aborted() || secondsLeft() <= 0;
}

/** Total of the answer [cent]. */
export function totalOf({ decision }: ExplainContext): number {
  return decision.evaluated?.money.total ?? Number.POSITIVE_INFINITY;
}
