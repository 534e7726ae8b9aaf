import type { Journal } from "./journal.ts";
import type { RunRecord, RunTask } from "./run.ts";
import { type Runner, RunnerLost } from "./runner.ts";

/** Where the runs of a study stand. */
export interface RunsProgress {
  readonly done: number;
  readonly total: number;
  /** Of them, taken from the journal. */
  readonly known: number;
}

interface Watching {
  readonly aborted: () => boolean;
  readonly progress: (progress: RunsProgress) => void;
}

/**
 * Solves every task that the journal does not hold, as many at a time as the runner is wide, and journals each as it comes.
 * Tasks of one key are solved once. When aborted, those under way are finished and no more begun.
 *
 * @returns true: the journal holds all tasks
 * @throws RunnerLost when there is nobody left to solve them; what was solved is in the journal
 */
export async function runAll(
  tasks: readonly RunTask[],
  { journal, runner }: { readonly journal: Journal; readonly runner: Runner },
  { aborted, progress }: Watching,
): Promise<boolean> {
  const waiting = [...new Map(tasks.map((task) => [task.key, task])).values()];
  const open = waiting.filter(({ key }) => !journal.known.has(key));
  const known = waiting.length - open.length;
  let done = known;
  progress({ done, total: waiting.length, known });
  const queue = open.values();
  const work = async (): Promise<void> => {
    for (const task of queue) {
      if (aborted()) return;
      const record = await attempt(runner, task);
      if (record === undefined) return;
      journal.add(record);
      done += 1;
      progress({ done, total: waiting.length, known });
    }
  };
  await Promise.all(Array.from({ length: Math.min(runner.width, open.length) }, work));
  return waiting.every(({ key }) => journal.known.has(key));
}

/** A run that breaks is tried once more; then its reason is its record. */
async function attempt(runner: Runner, task: RunTask): Promise<RunRecord | undefined> {
  const onceMore = (error: unknown): Promise<RunRecord | undefined> => {
    if (error instanceof RunnerLost) throw error;
    return runner.run(task);
  };
  return runner
    .run(task)
    .catch(onceMore)
    .catch((error: unknown) => {
      if (error instanceof RunnerLost) throw error;
      return brokenRecord(task.key, error instanceof Error ? error.message : String(error));
    });
}

/** The record of a run that broke twice. */
export function brokenRecord(key: string, why: string): RunRecord {
  return { key, status: "failed", reason: `broke twice: ${why}`, result: null };
}
