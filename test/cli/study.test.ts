import { mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { runsPrinter } from "../../src/cli/runs-progress.ts";
import { runStudy, type StudyFlags, type StudyTools } from "../../src/cli/study.ts";
import { studyDocument } from "../../src/study/outcome/document.ts";
import { coded, inventedFacts, inventedStudy } from "../study/outcome/invented-study.ts";
import { type FakeTerminal, fakeTerminal } from "./fake-terminal.ts";

let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
});
afterAll(async () => rm(folder, { recursive: true }));

const POINTS = [-1, 1].flatMap((x) => [-1, 1].map((z) => [x, z]));
const FACTS = inventedFacts(
  inventedStudy([coded("x"), coded("z")]),
  { kind: "full-factorial", points: POINTS },
  POINTS.map(([x = 0, z = 0]) => ({ total: 100 + 5 * x + z })),
);
const DOCUMENT = studyDocument(FACTS);

function flags(changes: Partial<StudyFlags> = {}): StudyFlags {
  return { out: folder, queueWait: 60, color: false, ...changes };
}

function nobody(): never {
  throw new Error("nobody is asked to solve");
}

function tools(terminal: FakeTerminal, outcome: object): StudyTools {
  const reader = { read: nobody, sourcesOf: nobody, units: { unit: () => undefined } };
  const { study, rows, design, noise } = FACTS;
  const value = { study, rows, design, noise, reader, document: DOCUMENT, solved: { done: 4, total: 4 }, ...outcome };
  return { studyFile: async () => ({ ok: true, value }), threadRunner: nobody, queueRunner: nobody, terminal };
}

test("a whole study is printed, and leaves print, document, tables and charts in a folder of its own", async () => {
  const terminal = fakeTerminal(false);
  expect(await runStudy("some/cost.json", flags(), tools(terminal, {}))).toBe(0);
  expect(terminal.printed()).toContain("4 runs over 2 factors: 4 proved lowest");
  const files = await readdir(join(folder, "cost.study"));
  expect(files).toEqual(
    expect.arrayContaining(["runs.csv", "runs.jsonl", "study.json", "study.txt", "total-effects.svg"]),
  );
  expect(await readFile(join(folder, "cost.study", "study.txt"), "utf8")).toBe(terminal.printed());
  expect(terminal.told()).toMatch(
    /wrote study\.txt, study\.json, terms\.csv, runs\.csv, runs\.jsonl and \d+ charts? into .*cost\.study/u,
  );
});

test("--json prints the document and nothing else there", async () => {
  const terminal = fakeTerminal(false);
  expect(await runStudy("cost.json", flags({ json: true, quiet: true }), tools(terminal, {}))).toBe(0);
  expect(JSON.parse(terminal.printed())).toMatchObject({
    format: "fewframe-study/1",
    runs: { all: 4 },
    responses: [{ id: "total" }, {}, {}],
  });
  expect(terminal.told()).toBe("");
});

test("a study that was stopped says how far it is and ends with 5; nothing finished is written", async () => {
  const terminal = fakeTerminal(false);
  const stopped = { document: undefined, rows: [], solved: { done: 3, total: 9 } };
  expect(await runStudy("stopped.json", flags(), tools(terminal, stopped))).toBe(5);
  expect(terminal.told()).toContain("stopped after 3 of 9 runs; the same command goes on from there\n");
  expect(terminal.printed()).toBe("");
  expect(await readdir(folder)).not.toContain("stopped.study");
});

test("faults are told, exit 3", async () => {
  const terminal = fakeTerminal(false);
  const fault = { code: "design", place: { file: "s.json", pointer: "/design" }, found: "a", expected: "b" };
  const faulty = { ...tools(terminal, {}), studyFile: async () => ({ ok: false as const, faults: [fault] }) };
  expect(await runStudy("s.json", flags(), faulty)).toBe(3);
  expect(terminal.told()).toBe("s.json /design: found a, expected b\n1 fault\n");
});

test("progress tells rate and time left: on a terminal in one line, else at each tenth", () => {
  for (const isTerminal of [true, false]) {
    const terminal = fakeTerminal(isTerminal);
    let now = 0;
    const { show, end } = runsPrinter(false, { ...terminal, now: () => now, err: { ...terminal.err, columns: 200 } });
    show({ done: 20, total: 100, known: 20 });
    now = 10;
    show({ done: 25, total: 100, known: 20 });
    show({ done: 26, total: 100, known: 20 });
    now = 20;
    show({ done: 60, total: 100, known: 20 });
    end();
    expect(terminal.told()).toContain("[####................] 20 of 100 runs, 20 known before");
    expect(terminal.told()).toContain("60 of 100 runs, 20 known before, 2.0 a second, 20 s left");
    expect(terminal.told().includes("26 of 100")).toBe(isTerminal);
  }
});
