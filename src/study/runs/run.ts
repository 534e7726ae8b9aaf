import type { InputFile } from "../../machine/problem.ts";
import type { ResultDocument, Status } from "../../machine/result.ts";
import type { RunSettings } from "../plan/study.ts";

/** One problem to be solved: everything its answer hangs on. */
export interface RunTask {
  /** Hash of problem, inputs, settings and version: equal keys have equal answers. */
  readonly key: string;
  /** Of the problem file that the content's own paths start from. */
  readonly path: string;
  readonly content: unknown;
  /** Catalogue and table files the content is read from. */
  readonly files: readonly InputFile[];
  readonly settings: RunSettings;
}

/** What stays of a result document: all but what only tells of one solve. */
export type RunResult = Pick<
  ResultDocument,
  "status" | "objective" | "bound" | "gap" | "machines" | "limits" | "parts" | "distinct"
>;

/** What became of a task. A problem without an answer is a result with its reason; `failed` is a problem that cannot be. */
export interface RunRecord {
  readonly key: string;
  readonly status: Status | "failed";
  /** Why there is no answer, or none that is proved; null where there is nothing to say. */
  readonly reason: string | null;
  readonly result: RunResult | null;
}
