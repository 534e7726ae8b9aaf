import { join } from "node:path";
import { expect, test } from "vitest";
import { openJournal } from "../../../src/study/runs/journal.ts";
import type { RunRecord, RunTask } from "../../../src/study/runs/run.ts";
import { runAll } from "../../../src/study/runs/run-all.ts";
import type { Runner } from "../../../src/study/runs/runner.ts";
import { temporaryFolder } from "../study-folder.ts";

function tasks(...keys: readonly string[]): readonly RunTask[] {
  return keys.map((key) => ({
    key,
    path: "p.json",
    content: {},
    files: [],
    settings: { engine: "simplex", timeLimit: Infinity },
  }));
}

function runner(run: (task: RunTask) => Promise<RunRecord>, width = 2): Runner {
  return { width, faultsOf: () => [], run, close: async () => undefined };
}

const solved = async ({ key }: RunTask): Promise<RunRecord> => ({ key, status: "optimal", reason: null, result: null });
const QUIET = { aborted: (): boolean => false, progress: (): void => undefined };

test("equal tasks are solved once, known ones never", async () => {
  const journal = openJournal(join(await temporaryFolder(), "j.jsonl"));
  journal.add({ key: "a", status: "optimal", reason: null, result: null });
  const asked: string[] = [];
  const counting = runner(async (task) => {
    asked.push(task.key);
    return solved(task);
  });
  expect(await runAll(tasks("a", "b", "b", "c", "a"), { journal, runner: counting }, QUIET)).toBe(true);
  expect(asked.toSorted()).toEqual(["b", "c"]);
  journal.close();
});

test("no more at a time than the runner is wide", async () => {
  const journal = openJournal(join(await temporaryFolder(), "j.jsonl"));
  let [now, most] = [0, 0];
  const slow = runner(async (task) => {
    now += 1;
    most = Math.max(most, now);
    await new Promise(setImmediate);
    now -= 1;
    return solved(task);
  }, 3);
  await runAll(tasks("a", "b", "c", "d", "e", "f", "g", "h"), { journal, runner: slow }, QUIET);
  expect(most).toBe(3);
  journal.close();
});

test("a run that breaks once is solved again, one that breaks twice is recorded with its reason", async () => {
  const journal = openJournal(join(await temporaryFolder(), "j.jsonl"));
  const times = new Map<string, number>();
  const brittle = runner(async (task) => {
    times.set(task.key, (times.get(task.key) ?? 0) + 1);
    if (task.key === "b" || times.get(task.key) === 1) throw new Error("out of luck");
    return solved(task);
  });
  expect(await runAll(tasks("a", "b"), { journal, runner: brittle }, QUIET)).toBe(true);
  expect(journal.known.get("a")?.status).toBe("optimal");
  expect(journal.known.get("b")).toMatchObject({ status: "failed", reason: "broke twice: out of luck" });
  journal.close();
});

test("when aborted, runs under way are kept and no more begun", async () => {
  const journal = openJournal(join(await temporaryFolder(), "j.jsonl"));
  const watching = { aborted: () => journal.known.size > 0, progress: () => undefined };
  const once = runner(solved, 1);
  expect(await runAll(tasks("a", "b", "c"), { journal, runner: once }, watching)).toBe(false);
  expect([...journal.known.keys()]).toEqual(["a"]);
  journal.close();
});
