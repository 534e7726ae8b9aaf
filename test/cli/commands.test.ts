import { mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { runCheck } from "../../src/cli/check.ts";
import { runSolve, type SolveFlags } from "../../src/cli/solve.ts";
import type { Result } from "../../src/faults/fault.ts";
import type { ResultDocument } from "../../src/machine/result.ts";
import type { SolveFile, SolveFileOptions, SolveFileOutcome } from "../../src/machine/run.ts";
import { documentText } from "../../src/report/document-text.ts";
import {
  boundlessDocument,
  gapDocument,
  infeasibleDocument,
  optimalDocument,
  unknownDocument,
} from "../report/sample-documents.ts";
import { fakeTerminal } from "./fake-terminal.ts";

const FLAGS: SolveFlags = { engine: "simplex", explain: true, color: true };
const FAULTS = [
  {
    code: "unknown-key",
    place: { file: "x.json", pointer: "/titel" },
    found: '"titel"',
    expected: "a known key",
    nearest: "title",
  },
  { code: "wrong", place: { file: "x.json", pointer: "/a" }, found: "\u001b[31m\nred", expected: "a number" },
];

/** A solver that has its answer ready, and remembers how it was asked. */
function ready(outcome: Partial<SolveFileOutcome>): { solveFile: SolveFile; asked: SolveFileOptions[] } {
  const asked: SolveFileOptions[] = [];
  const full = { document: optimalDocument(), certificate: undefined, modelText: undefined, ...outcome };
  const solveFile: SolveFile = async (_path, options) => {
    asked.push(options);
    options.progress({ phase: "solve" });
    return { ok: true, value: full };
  };
  return { solveFile, asked };
}

const faulty: SolveFile = async () => ({ ok: false, faults: FAULTS });

let folder = "";
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
});
afterEach(async () => rm(folder, { recursive: true }));

test.each([
  ["optimal", optimalDocument(), 0],
  ["feasible", gapDocument(), 5],
  ["infeasible", infeasibleDocument(), 4],
  ["unknown", unknownDocument(), 5],
  ["unknown without a bound", boundlessDocument(), 5],
] as readonly (readonly [string, ResultDocument, number])[])(
  "solve exits by the status %s",
  async (_name, document, code) => {
    const terminal = fakeTerminal(false);
    expect(await runSolve("x.json", FLAGS, { ...ready({ document }), terminal })).toBe(code);
    expect(terminal.printed()).toContain("Tray shuttle");
    expect(terminal.told()).toBe("solving ...\n");
  },
);

test("faults of the input go to standard error, one per line, none able to command the terminal; exit 3", async () => {
  const terminal = fakeTerminal(false);
  expect(await runSolve("x.json", FLAGS, { solveFile: faulty, terminal })).toBe(3);
  expect(terminal.printed()).toBe("");
  const lines = terminal.told().trimEnd().split("\n");
  expect(lines).toHaveLength(3);
  expect(lines[0]).toBe('x.json /titel: found "titel", expected a known key (nearest: "title")');
  expect(lines[2]).toBe("2 faults");
  expect(terminal.told()).not.toContain("\u001b");
});

test("--json prints the result document and nothing else, on a colour terminal too", async () => {
  const terminal = fakeTerminal(true);
  await runSolve("x.json", { ...FLAGS, json: true, quiet: true }, { ...ready({}), terminal });
  expect(terminal.printed()).toBe(documentText(optimalDocument()));
  expect(terminal.told()).toBe("");
});

test("options reach the solver; without a time limit it is never stopped", async () => {
  const { solveFile, asked } = ready({});
  const terminal = fakeTerminal(false);
  await runSolve("x.json", FLAGS, { solveFile, terminal });
  await runSolve(
    "x.json",
    { ...FLAGS, engine: "highs", timeLimit: 3, explain: false, writeModel: join(folder, "m.lp") },
    { solveFile, terminal },
  );
  expect(asked).toMatchObject([
    { engine: "simplex", timeLimit: Infinity, explain: true, writeModel: false },
    { engine: "highs", timeLimit: 3, explain: false, writeModel: true },
  ]);
  expect(asked.map(({ aborted }) => aborted())).toEqual([false, false]);
});

test("--out and --write-model leave result, parts list, print, certificate and model, and nothing else", async () => {
  const terminal = fakeTerminal(true);
  const flags = { ...FLAGS, out: folder, writeModel: join(folder, "lp", "m.lp") };
  const solved = ready({ certificate: "{}\n", modelText: "Minimize\n" });
  expect(await runSolve("in/tray.json", flags, { ...solved, terminal })).toBe(0);
  const names = ["lp", "tray.certificate.json", "tray.parts.csv", "tray.result.json", "tray.txt"];
  expect((await readdir(folder)).toSorted()).toEqual(names);
  // The document names its inputs as seen from its folder, so that `verify` finds them; all else is what was solved.
  const { inputs, ...rest } = JSON.parse(await readFile(join(folder, "tray.result.json"), "utf8"));
  const { inputs: given, ...expected } = JSON.parse(documentText(optimalDocument()));
  expect(rest).toEqual(expected);
  expect(inputs.problem).toEqual({ ...given.problem, path: relative(folder, given.problem.path) });
  expect(inputs.catalogs[0]).toEqual({ ...given.catalogs[0], path: relative(folder, given.catalogs[0].path) });
  expect(await readFile(join(folder, "tray.txt"), "utf8")).not.toContain("\u001b");
  expect(await readFile(join(folder, "lp", "m.lp"), "utf8")).toBe("Minimize\n");
  expect(terminal.printed()).toContain("\u001b");
});

test.each([
  ["--write-model", "a/../x.json", { writeModel: "x.json" }],
  ["--out", "a/x.txt", { out: "b/../a" }],
])("%s never overwrites the problem; exit 2 before anything is solved", async (option, path, flags) => {
  const { solveFile, asked } = ready({ modelText: "x" });
  const terminal = fakeTerminal(false);
  expect(await runSolve(path, { ...FLAGS, ...flags }, { solveFile, terminal })).toBe(2);
  expect(terminal.told()).toContain(`${option} would overwrite the problem`);
  expect(asked).toEqual([]);
});

test("the first Ctrl-C asks the solver to stop; afterwards nobody listens any more", async () => {
  const terminal = fakeTerminal(false);
  const before = process.listenerCount("SIGINT");
  const seen: boolean[] = [];
  const solveFile: SolveFile = async (_path, { aborted }): Promise<Result<SolveFileOutcome>> => {
    seen.push(aborted());
    process.emit("SIGINT");
    seen.push(aborted(), process.listenerCount("SIGINT") === before);
    return { ok: true, value: { document: gapDocument(), certificate: undefined, modelText: undefined } };
  };
  expect(await runSolve("x.json", FLAGS, { solveFile, terminal })).toBe(5);
  expect(seen).toEqual([false, true, true]);
  expect(terminal.told()).toContain("stopping with the best answer so far");
  expect(process.listenerCount("SIGINT")).toBe(before);
});

const NO_STUDY = { isStudyFile: async () => false, planStudy: async () => Promise.reject(new Error("no study")) };

test("check prints every fault and exits 3; with --json the same faults on standard output", async () => {
  const terminal = fakeTerminal(false);
  const checkProblem = async (): Promise<{ ok: false; faults: typeof FAULTS }> => ({ ok: false, faults: FAULTS });
  expect(await runCheck("x.json", { color: true, json: true }, { ...NO_STUDY, checkProblem, terminal })).toBe(3);
  expect(JSON.parse(terminal.printed())).toEqual({ faults: FAULTS });
  expect(terminal.told()).toContain("2 faults\n");
});
