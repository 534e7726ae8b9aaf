import { entryOf } from "./faults/entry-of.ts";
import type { Result } from "./faults/fault.ts";
import { currencyOf, loadVariantReader, type VariantReader } from "./input/read-problem.ts";
import type { StudyDocument } from "./study/outcome/document.ts";
import { responseUnits } from "./study/outcome/response-units.ts";
import { rowsOf, type StudyRow } from "./study/outcome/rows.ts";
import { misfits } from "./study/plan/misfits.ts";
import { type StudyRun, studyRuns } from "./study/plan/points.ts";
import type { Study } from "./study/plan/study.ts";
import type { StudyDesigns } from "./study/plan/study-design.ts";
import { heldTasks, type PickTasks, type PointRun } from "./study/runs/held-tasks.ts";
import { type Journal, openJournal } from "./study/runs/journal.ts";
import type { RunRecord, RunTask } from "./study/runs/run.ts";
import { type RunsProgress, runAll } from "./study/runs/run-all.ts";
import type { Runner } from "./study/runs/runner.ts";
import { tasksOf } from "./study/runs/tasks.ts";

/** How a study is to be run. */
export interface StudyFileOptions {
  /** Journal of finished runs: a study that ends at any moment goes on from it. */
  readonly journal: string;
  /** Who solves the runs; asked for once there is something to solve, and closed in the end. */
  readonly runner: () => Promise<Runner>;
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
  /** Runs solved, by now and in all. */
  readonly solved: { readonly done: number; readonly total: number };
  /** What the runs say; undefined: stopped before all of them were solved. Asked again, the study goes on. */
  readonly document: StudyDocument | undefined;
  /** Every run in its order; empty until all are solved. */
  readonly rows: readonly StudyRow[];
}

/** Reads a study and makes its designs: what would be run, or every fault in it. */
export async function planStudy(path: string): Promise<Result<StudyPlan>> {
  // Designs and analysis bring libraries that only studies use: they load where they are needed, here and below.
  const [{ readStudy }, { studyDesigns }] = await Promise.all([
    import("./study/plan/read-study.ts"),
    import("./study/plan/study-design.ts"),
  ]);
  const reader = await loadVariantReader();
  const study = await readStudy(path, reader);
  if (!study.ok) return study;
  const designs = studyDesigns(study.value);
  if (!designs.ok) return designs;
  const faults = await misfits(study.value, designs.value, reader);
  if (faults.length > 0) return { ok: false, faults };
  return { ok: true, value: { ...designs.value, study: study.value, reader } };
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
  try {
    return await studiedBy(await options.runner(), { plan, runs, tasks, journal }, options);
  } finally {
    journal.close();
  }
}

async function studiedBy(
  runner: Runner,
  { plan, ...work }: Omit<Solving, "runner"> & { readonly plan: StudyPlan },
  options: StudyFileOptions,
): Promise<Result<StudyOutcome>> {
  try {
    const faults = runner.faultsOf(work.tasks);
    if (faults.length > 0) return { ok: false, faults };
    return { ok: true, value: { ...plan, ...(await solvedRuns(plan, { ...work, runner }, options)) } };
  } finally {
    await runner.close();
  }
}

interface Solving {
  readonly runs: readonly StudyRun[];
  /** One for each run. */
  readonly tasks: readonly RunTask[];
  readonly journal: Journal;
  readonly runner: Runner;
}

/** Solves every run, then holds the picks of each point in all of its noise. */
async function solvedRuns(
  plan: StudyPlan,
  solving: Solving,
  options: StudyFileOptions,
): Promise<Omit<StudyOutcome, keyof StudyPlan>> {
  const { study, noise, reader } = plan;
  const { runs, tasks, journal } = solving;
  const total = runs.length;
  const isSolved = await runAll(tasks, solving, options);
  const records = recordsOf(journal, tasks);
  if (!isSolved) return { solved: { done: records.length, total }, document: undefined, rows: [] };
  const held = noise === undefined ? [] : await heldTasks(study, pointRuns(runs, tasks, records), reader);
  const isHeld = await runAll(
    held.flatMap((one) => one.tasks),
    solving,
    options,
  );
  if (!isHeld) return { solved: countedBoth(journal, tasks, held), document: undefined, rows: [] };
  const rows = rowsOf(study, runs, records);
  const currency = currencyOf(study.problem.content);
  const [{ robustPoints }, { studyDocument }] = await Promise.all([
    import("./study/outcome/robust.ts"),
    import("./study/outcome/document.ts"),
  ]);
  const robustness =
    noise === undefined ? null : robustPoints(held.map((one) => ({ ...one, records: recordsOf(journal, one.tasks) })));
  const units = responseUnits(study, records, currency);
  const document = studyDocument({ ...plan, rows, robustness, currency, units });
  return { solved: { done: total, total }, document, rows };
}

/** Runs of the study and of held picks together. */
function countedBoth(journal: Journal, tasks: readonly RunTask[], held: readonly PickTasks[]): StudyOutcome["solved"] {
  const all = [...tasks, ...held.flatMap((one) => one.tasks)];
  return { done: recordsOf(journal, all).length, total: all.length };
}

/** What became of tasks, in their order; those not solved are left out. */
function recordsOf({ known }: Journal, tasks: readonly RunTask[]): readonly RunRecord[] {
  return tasks.flatMap(({ key }) => known.get(key) ?? []);
}

function pointRuns(
  runs: readonly StudyRun[],
  tasks: readonly RunTask[],
  records: readonly RunRecord[],
): readonly PointRun[] {
  return runs.map(({ point, index }) => ({ point, task: entryOf(tasks, index), record: entryOf(records, index) }));
}
