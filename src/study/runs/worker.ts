import { loadVariantReader } from "../../input/read-problem.ts";
import type { RunRecord, RunTask } from "./run.ts";
import { solveRun } from "./solve-run.ts";

/** What a worker thread does: units, schemas and catalogues are loaded with its first run. */
const reader = loadVariantReader();

export default async function work(task: RunTask): Promise<RunRecord> {
  return solveRun(task, await reader);
}
