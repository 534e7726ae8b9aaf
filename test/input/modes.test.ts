import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { isSetup, setupOf } from "../../src/decide/setup.ts";
import type { Result } from "../../src/faults/fault.ts";
import { faultLine } from "../../src/faults/fault-line.ts";
import { loadProblemReader, type ProblemInput } from "../../src/input/read-problem.ts";
import { motionFaults } from "../../src/result/motion-faults.ts";

const FIXTURES = fileURLToPath(new URL("fixtures/", import.meta.url));
const readProblem = await loadProblemReader();

/** Reads the good fixture with modes, and files beside it. */
async function read(modes: unknown, files: Readonly<Record<string, string>> = {}): Promise<Result<ProblemInput>> {
  const folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  try {
    const text = await readFile(join(FIXTURES, "good.json"), "utf8");
    const document = JSON.parse(text.replace('"maker"', JSON.stringify(join(FIXTURES, "maker"))));
    document.machines[0].modes = modes;
    await writeFile(join(folder, "p.json"), JSON.stringify(document));
    await Promise.all(Object.entries(files).map(async ([name, csv]) => writeFile(join(folder, name), csv)));
    return await readProblem(join(folder, "p.json"));
  } finally {
    await rm(folder, { recursive: true });
  }
}

const linesOf = (input: Result<ProblemInput>): string[] =>
  input.ok ? [] : input.faults.map((fault) => faultLine(fault).replace(/^\S*\/(?=p\.)/, ""));

function read1(input: Result<ProblemInput>): ProblemInput {
  if (!input.ok) throw new Error(JSON.stringify(input.faults));
  return input.value;
}

const MODES = "p.json /machines/0/modes";
const AXES = {
  x: {
    motion: [
      { move: "10 mm", time: "0.5 s" },
      { move: "-10 mm", time: "0.5 s" },
    ],
  },
};
const CLEAN = { id: "clean", share: "5 %", cycle: "4 s", axes: AXES };

test("a mode is read with what its axes do; those it does not name stand still under their own load", async () => {
  const { problem, catalogue } = read1(await read([CLEAN, { ...CLEAN, id: "home", share: 0.01, axes: {} }]));
  const [machine] = problem.machines;
  expect(machine?.modes.map(({ id, share, cycle, axes }) => ({ id, share, cycle, named: [...axes.keys()] }))).toEqual([
    { id: "clean", share: 0.05, cycle: 4, named: ["x"] },
    { id: "home", share: 0.01, cycle: 4, named: [] },
  ]);
  const setup = setupOf(problem, catalogue);
  if (!isSetup(setup)) throw new Error(JSON.stringify(setup));
  expect(setup.machines[0]?.runs).toEqual([
    { share: 1 - 0.05 - 0.01, cycle: machine?.cycle },
    { mode: "clean", share: 0.05, cycle: 4 },
    { mode: "home", share: 0.01, cycle: 4 },
  ]);
  const [x, other] = setup.machines[0]?.axes ?? [];
  expect(x?.runs.map(({ axis }) => axis.motion[0]?.kind)).toEqual([machine?.axes[0]?.motion[0]?.kind, "move", "dwell"]);
  expect(other?.runs.map(({ axis }) => axis.load)).toEqual(Array(3).fill(other?.axis.load));
  expect(other?.runs[1]?.cycle.pieces.every(({ curve }) => curve.polynomial.length === 1)).toBe(true);
});

test("a mode's load and its files stand in for the axis's own", async () => {
  const axes = { x: { ...AXES.x, load: { mass: "1 kg", force: { file: "f.csv" } } } };
  const { problem } = read1(await read([{ ...CLEAN, axes }], { "f.csv": "time [s],force [N]\n0,0\n1,5\n" }));
  expect(problem.machines[0]?.modes[0]?.axes.get("x")?.load).toMatchObject({
    mass: 1,
    forceTable: { times: [0, 1], values: [0, 5] },
  });
});

test("shares beyond the whole, names used twice and axes that are not there are faults", async () => {
  const faulty = [
    { ...CLEAN, share: 0.7 },
    { ...CLEAN, share: 0.4, axes: { xx: AXES.x } },
  ];
  expect(linesOf(await read(faulty))).toEqual([
    `${MODES}: found shares of together 1.1, expected at most 1: the normal cycle takes the rest`,
    expect.stringContaining(`${MODES}/1/axes/xx: found "xx", expected an axis of this machine: `),
    `${MODES}/1/id: found "clean", expected each mode id once`,
  ]);
});

test("a motion that cannot be in a mode is told at its place there", async () => {
  const axes = { x: { motion: [{ move: "10 mm", time: "0.5 s" }] } };
  const { problem, catalogue } = read1(await read([{ ...CLEAN, axes }]));
  const setup = setupOf(problem, catalogue);
  if (isSetup(setup)) throw new Error("the axis does not return");
  expect(motionFaults("p.json", setup, problem).map(faultLine)).toEqual([
    expect.stringContaining(`${MODES}/0/axes/x/motion/0: found a cycle that ends `),
  ]);
});
