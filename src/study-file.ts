import type { Result } from "./faults/fault.ts";
import { loadVariantReader, type VariantReader } from "./input/read-problem.ts";
import { rowsOf, type StudyRow } from "./study/outcome/rows.ts";
import { runsCsv, runsJsonLines } from "./study/outcome/runs-files.ts";
import { studyRuns } from "./study/plan/points.ts";
import { readStudy } from "./study/plan/read-study.ts";
import type { Study } from "./study/plan/study.ts";
import { type StudyDesigns, studyDesigns } from "./study/plan/study-design.ts";
import { openJournal } from "./study/runs/journal.ts";
import { type RunsProgress, runAll } from "./study/runs/run-all.ts";
import type { Runner } from "./study/runs/runner.ts";
import { tasksOf } from "./study/runs/tasks.ts";

/** How a study is to be run. */
export interface StudyFileOptions {
  /** Journal of finished runs: a study that ends at any moment goes on from it. */
  readonly journal: string;
  /** Who solves the runs; asked for once there is something to solve, and closed in the end. */
  readonly runner: () => Runner;
  /** true from the moment the user wants to stop; runs under way are finished. */
  readonly aborted: () => boolean;
  readonly progress: (progress: RunsProgress) => void;
}

/** A study with its designs. */
export interface StudyPlan extends StudyDesigns {
  readonly study: Study;
  readonly reader: VariantReader;
}

/** What a study hands back. */
export interface StudyOutcome extends StudyPlan {
  /** false: stopped before all runs were solved; asked again, the study goes on. */
  readonly isComplete: boolean;
  /** Runs solved, by now and in all. */
  readonly solved: { readonly done: number; readonly total: number };
  /** Every run in its order; empty until all are solved. */
  readonly rows: readonly StudyRow[];
  readonly runsJsonLines: string;
  readonly runsCsv: string;
}

/** Reads a study and makes its designs: what would be run, or every fault in it. */
export async function planStudy(path: string): Promise<Result<StudyPlan>> {
  const reader = await loadVariantReader();
  const study = await readStudy(path, reader);
  if (!study.ok) return study;
  const designs = studyDesigns(study.value);
  return designs.ok ? { ok: true, value: { ...designs.value, study: study.value, reader } } : designs;
}

/** The whole study: every run solved or taken from the journal, and what the results say. */
export async function studyFile(path: string, options: StudyFileOptions): Promise<Result<StudyOutcome>> {
  const planned = await planStudy(path);
  if (!planned.ok) return planned;
  const plan = planned.value;
  const { study, design, noise, reader } = plan;
  const runs = studyRuns(study, design.points, noise?.points ?? []);
  const tasks = await tasksOf(study, runs, reader);
  const journal = openJournal(options.journal);
  const runner = options.runner();
  try {
    const isComplete = await runAll(tasks, { journal, runner }, options);
    const solved = { done: tasks.filter(({ key }) => journal.known.has(key)).length, total: tasks.length };
    const records = tasks.flatMap(({ key }) => journal.known.get(key) ?? []);
    const rows = isComplete ? rowsOf(study, runs, records) : [];
    const files = { runsJsonLines: runsJsonLines(study, rows), runsCsv: await runsCsv(study, rows) };
    return { ok: true, value: { ...plan, isComplete, solved, rows, ...files } };
  } finally {
    journal.close();
    await runner.close();
  }
}
