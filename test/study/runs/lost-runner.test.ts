import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { openJournal } from "../../../src/study/runs/journal.ts";
import type { RunRecord, RunTask } from "../../../src/study/runs/run.ts";
import { runAll } from "../../../src/study/runs/run-all.ts";
import { type Runner, RunnerLost } from "../../../src/study/runs/runner.ts";

const TASKS: readonly RunTask[] = ["a", "b", "c"].map((key) => ({
  key,
  path: "p.json",
  content: {},
  files: [],
  settings: { engine: "simplex", timeLimit: Number.POSITIVE_INFINITY },
}));
const WATCH = { aborted: () => false, progress: () => undefined };

let folder = "";
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "fewframe-"));
});
afterEach(() => rmSync(folder, { recursive: true }));

function runner(run: Runner["run"], width = 1): Runner {
  return { width, run, faultsOf: () => [], close: async () => undefined };
}

function solved({ key }: RunTask): RunRecord {
  return { key, status: "infeasible", reason: null, result: null };
}

/** Runs all, and what the journal holds afterwards, by the outcome of each key. */
async function journalOf(run: Runner["run"]): Promise<{ readonly isWhole: boolean; readonly known: unknown }> {
  const journal = openJournal(join(folder, "journal.jsonl"));
  try {
    const isWhole = await runAll(TASKS, { journal, runner: runner(run) }, WATCH);
    return { isWhole, known: [...journal.known.values()].map(({ key, reason }) => [key, reason]) };
  } finally {
    journal.close();
  }
}

async function allButB(task: RunTask): Promise<RunRecord | undefined> {
  return task.key === "b" ? undefined : solved(task);
}

test("a run that is taken back has no record", async () => {
  expect(await journalOf(allButB)).toEqual({ isWhole: false, known: [["a", null]] });
});

test("a runner that is lost ends the study at once, and is no record of any run", async () => {
  const asked: string[] = [];
  const run = async (task: RunTask): Promise<RunRecord> => {
    asked.push(task.key);
    if (task.key === "b") throw new RunnerLost("gone");
    return solved(task);
  };
  await expect(journalOf(run)).rejects.toThrow(new RunnerLost("gone"));
  expect(asked).toEqual(["a", "b"]);
  const journal = openJournal(join(folder, "journal.jsonl"));
  expect([...journal.known.keys()]).toEqual(["a"]);
  journal.close();
});
