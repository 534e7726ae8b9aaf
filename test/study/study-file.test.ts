import { readFile, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import type { Result } from "../../src/faults/fault.ts";
import { loadVariantReader, type VariantReader } from "../../src/input/read-problem.ts";
import { problemOf, studyRuns } from "../../src/study/plan/points.ts";
import { openJournal } from "../../src/study/runs/journal.ts";
import type { Runner } from "../../src/study/runs/runner.ts";
import { runSolver } from "../../src/study/runs/solve-run.ts";
import { type StudyOutcome, studyFile } from "../../src/study-file.ts";
import { run, valueOf } from "../result/run-file.ts";
import { departures, written } from "./document-schema.ts";
import { linesOf, smallStudy, writtenStudy } from "./study-folder.ts";

let reader: VariantReader;
beforeAll(async () => {
  reader = await loadVariantReader();
});

const asked: string[] = [];

/** Solves in this process; what it was asked for is kept. */
async function here(): Promise<Runner> {
  const solve = runSolver();
  return {
    width: 1,
    faultsOf: () => [],
    run: async (task) => {
      asked.push(task.key);
      return solve(task, reader);
    },
    close: async () => undefined,
  };
}

async function studied(path: string): Promise<Result<StudyOutcome>> {
  return studyFile(path, {
    journal: join(dirname(path), "journal.jsonl"),
    runner: here,
    aborted: () => false,
    progress: () => undefined,
  });
}

/** What a study comes to; its document is valid by its schema. */
async function outcomeOf(path: string): Promise<StudyOutcome> {
  const outcome = await studied(path);
  if (!outcome.ok) throw new Error(linesOf(outcome).join("\n"));
  if (outcome.value.document === undefined) throw new Error("no document");
  expect(departures(written(outcome.value.document))).toEqual([]);
  return outcome.value;
}

describe("a study of one axis", () => {
  let path = "";
  let outcome: StudyOutcome;
  beforeAll(async () => {
    path = await writtenStudy(
      smallStudy({
        noise: [
          { id: "friction", at: ["/machines/feeder/axes/drum/load/friction_torque"], range: ["5 lbf*in", "60 lbf*in"] },
        ],
      }),
    );
    outcome = await outcomeOf(path);
  });

  test("each run's total is that of solving its problem afresh, whole and explained", async () => {
    const [first, last] = [outcome.rows[0], outcome.rows.at(-1)];
    for (const row of [first, last]) {
      const one = studyRuns(outcome.study, outcome.design.points, outcome.noise?.points ?? [])[(row?.run ?? 0) - 1];
      if (one === undefined) throw new Error("no run");
      const problem = join(dirname(path), "fresh.json");
      const content = problemOf(outcome.study, one);
      const catalogs = [join(process.cwd(), "catalogs/dunmarrow"), join(process.cwd(), "catalogs/plimwickel")];
      await writeFile(problem, JSON.stringify({ ...(content as object), catalogs }));
      expect(valueOf(await run(problem)).document.objective?.total).toBe(row?.responses[0]);
    }
  });

  test("a pick that is lowest in a run holds in that run, at that run's total; no pick beats a run's own", () => {
    const { robustness } = outcome.document ?? {};
    expect(robustness).toHaveLength(4);
    for (const { point, picks } of robustness ?? []) {
      const own = outcome.rows.filter((row) => row.point === point - 1).map(({ responses }) => Number(responses[0]));
      const least = own.reduce((sum, total) => sum + total, 0) / own.length;
      expect(picks.reduce((sum, { lowest_in }) => sum + lowest_in, 0)).toBe(2);
      expect(picks.filter(({ feasible, lowest_in }) => feasible < lowest_in)).toEqual([]);
      const cheaper = picks.filter(
        ({ feasible, mean }) => feasible === 2 && typeof mean === "number" && mean < least - 1e-9,
      );
      expect(cheaper).toEqual([]);
    }
  });

  test("asked again it solves nothing; with a level more it solves only what is new", async () => {
    asked.length = 0;
    await outcomeOf(path);
    expect(asked).toEqual([]);
    const study: unknown = JSON.parse(await readFile(path, "utf8"));
    const factors = [
      { id: "pace", at: ["/machines/0/axes/0/motion/*/time"], apply: "multiply", levels: [0.9, 1.1, 1.2] },
      { id: "ambient", at: ["/site/ambient"], levels: ["30 degC", "40 degC"] },
    ];
    await writeFile(path, JSON.stringify({ ...(study as object), factors }));
    const more = await outcomeOf(path);
    expect(more.rows).toHaveLength(12);
    // Four runs of the new pace, and the picks met there held in each other's noise.
    expect(asked.length).toBeGreaterThanOrEqual(4);
    expect(asked.length).toBeLessThanOrEqual(12);
  });
});

test("a point without an order has its reason, one that cannot be its own, and both leave the others alone", async () => {
  const path = await writtenStudy(
    smallStudy({
      factors: [
        { id: "inertia", at: ["/machines/0/axes/0/load/inertia"], levels: ["60 lb*in^2", "600000 lb*in^2"] },
        { id: "time", at: ["/machines/0/axes/0/motion/0/time"], levels: ["0.45 s", "1.2 s"] },
      ],
      constraints: [],
    }),
  );
  const { rows, document } = await outcomeOf(path);
  expect(rows.map(({ status }) => status)).toEqual(["optimal", "infeasible", "optimal", "infeasible"]);
  expect(rows[1]?.reason).toMatch(/^drum: motor\./u);
  expect(document?.runs).toMatchObject({ all: 4, optimal: 2, infeasible: 2 });
});

test("motion that cannot be is a failed run, with the fault as its reason", async () => {
  const path = await writtenStudy(
    smallStudy({
      factors: [
        { id: "time", at: ["/machines/0/cycle"], levels: ["2.5 s", "3 s"] },
        { id: "two", at: ["/machines/0/axes/0/motion/1/dwell"], levels: ["0.8 s", "1.7 s"] },
      ],
    }),
  );
  const { rows } = await outcomeOf(path);
  // 0.45 s + 1.7 s + 0.45 s is longer than 2.5 s.
  expect(rows.map(({ status }) => status).toSorted()).toEqual(["failed", "optimal", "optimal", "optimal"]);
  expect(rows.find(({ status }) => status === "failed")?.reason).toMatch(
    /found segments of 2\.6 s, expected at most the machine's cycle, 2\.5 s/u,
  );
});

test("more runs keep those there were, the first and unchanged", async () => {
  const factors = [
    { id: "pace", at: ["/machines/0/axes/0/motion/*/time"], apply: "multiply", range: [0.9, 1.1] },
    { id: "inertia", at: ["/machines/0/axes/0/load/inertia"], range: ["50 lb*in^2", "70 lb*in^2"] },
  ];
  const path = await writtenStudy(smallStudy({ factors, design: { kind: "latin-hypercube", runs: 4 } }));
  const first = await outcomeOf(path);
  asked.length = 0;
  await writeFile(
    path,
    JSON.stringify(smallStudy({ factors, design: { kind: "latin-hypercube", runs: 4 }, more_runs: 3 })),
  );
  const more = await outcomeOf(path);
  expect(more.rows.slice(0, 4)).toEqual(first.rows);
  expect(more.rows).toHaveLength(7);
  expect(asked).toHaveLength(3);
});

test("a wish that cannot be met is a fault that says what can", async () => {
  const factors = ["a", "b", "c", "d", "e", "f"].map((id, index) => ({
    id,
    at: [`/machines/0/axes/0/load/${["inertia", "friction_torque", "imbalance"][index % 3]}`],
    range: [1, 2],
    apply: "multiply",
  }));
  const lines = linesOf(
    await studied(await writtenStudy(smallStudy({ factors, design: { kind: "fractional-factorial", resolution: 5 } }))),
  );
  expect(lines).toHaveLength(1);
  expect(lines[0]).toMatch(/^s\.json \/design: found .*resolution V.* expected .*VI in 32 runs/u);
});

test("while another process works on a study, its journal is not touched", async () => {
  const path = await writtenStudy(smallStudy());
  const journal = join(dirname(path), "journal.jsonl");
  await writeFile(`${journal}.lock`, String(process.ppid));
  await expect(studied(path)).rejects.toThrow(/works on this study/u);
  await writeFile(`${journal}.lock`, "0");
  openJournal(journal).close();
});

test("a value that the problem can take neither alone nor at any point is a fault before anything is solved", async () => {
  asked.length = 0;
  const factors = [{ id: "cycle", at: ["/machines/0/cycle"], range: ["-1 s", "3 s"] }];
  const lines = linesOf(await studied(await writtenStudy(smallStudy({ factors }))));
  expect(lines).toHaveLength(1);
  expect(lines[0]).toMatch(
    /^s\.json \/factors\/0\/range\/0: found -1 s, expected a value the problem can take; there .* found segments of 1\.7 s/u,
  );
  expect(asked).toEqual([]);
});
