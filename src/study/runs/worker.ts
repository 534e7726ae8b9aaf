import { loadVariantReader } from "../../input/read-problem.ts";
import type { RunRecord, RunTask } from "./run.ts";
import { runSolver } from "./solve-run.ts";

/** What a worker thread does: units, schemas and catalogues are loaded with its first run. */
const reader = loadVariantReader();
const solve = runSolver();

export default async function work(task: RunTask): Promise<RunRecord> {
  return solve(task, await reader);
}
