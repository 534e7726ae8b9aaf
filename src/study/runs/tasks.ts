import type { VariantReader } from "../../input/read-problem.ts";
import { problemOf, type StudyRun } from "../plan/points.ts";
import type { Study } from "../plan/study.ts";
import type { RunTask } from "./run.ts";
import { runKey } from "./run-key.ts";

/** The task of each run, in the order of the study. */
export async function tasksOf(study: Study, runs: readonly StudyRun[], reader: VariantReader): Promise<RunTask[]> {
  const { problem, solve: settings } = study;
  const tasks: RunTask[] = [];
  for (const run of runs) {
    const content = problemOf(study, run);
    const { files } = await reader.sourcesOf(problem.path, content);
    tasks.push({ key: runKey({ content, files, settings }), path: problem.path, content, files, settings });
  }
  return tasks;
}
