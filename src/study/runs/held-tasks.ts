import type { VariantReader } from "../../input/read-problem.ts";
import type { Study } from "../plan/study.ts";
import { holding, type OrderPick, orderPick } from "./held.ts";
import type { RunRecord, RunTask } from "./run.ts";
import { runKey } from "./run-key.ts";

/** A pick of a point, and the tasks that hold it in each run of the noise. */
export interface PickTasks {
  readonly point: number;
  readonly pick: OrderPick;
  /** Runs of the point whose own answer it is. */
  readonly lowestIn: number;
  readonly tasks: readonly RunTask[];
}

/** A run of the study with its point and what became of it. */
export interface PointRun {
  readonly point: number;
  readonly task: RunTask;
  readonly record: RunRecord;
}

/** Tasks that hold each pick found at a point in all runs of its noise. */
export async function heldTasks(
  study: Study,
  runs: readonly PointRun[],
  reader: VariantReader,
): Promise<readonly PickTasks[]> {
  const points = [...new Set(runs.map(({ point }) => point))];
  const all: PickTasks[] = [];
  for (const point of points) {
    const own = runs.filter((run) => run.point === point);
    for (const { pick, lowestIn } of distinctPicks(own)) {
      const tasks: RunTask[] = [];
      for (const { task } of own) tasks.push(await heldTask(task, { pick, reader, study }));
      all.push({ point, pick, lowestIn, tasks });
    }
  }
  return all;
}

function distinctPicks(runs: readonly PointRun[]): readonly { readonly pick: OrderPick; readonly lowestIn: number }[] {
  const found = new Map<string, { readonly pick: OrderPick; readonly lowestIn: number }>();
  for (const { record } of runs) {
    const pick = record.result === null ? undefined : orderPick(record.result);
    if (pick === undefined) continue;
    const key = JSON.stringify(pick);
    found.set(key, { pick, lowestIn: (found.get(key)?.lowestIn ?? 0) + 1 });
  }
  return [...found.values()];
}

interface Holding {
  readonly pick: OrderPick;
  readonly reader: VariantReader;
  readonly study: Study;
}

async function heldTask(task: RunTask, { pick, reader, study }: Holding): Promise<RunTask> {
  const { catalogue, files } = await reader.sourcesOf(task.path, task.content);
  const content = holding(task.content, pick, catalogue);
  return { ...task, content, key: runKey({ content, files, settings: study.solve }) };
}
