import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { isSetup, setupOf } from "../../src/decide/setup.ts";
import type { Result } from "../../src/faults/fault.ts";
import { faultLine } from "../../src/faults/fault-line.ts";
import { loadProblemReader, type ProblemInput } from "../../src/input/read-problem.ts";
import { speedAt } from "../../src/physics/motion/curve.ts";
import { motionFaults } from "../../src/result/motion-faults.ts";
import { near } from "../physics/near.ts";

const FIXTURES = fileURLToPath(new URL("fixtures/", import.meta.url));
const readProblem = await loadProblemReader();

/** Reads the good fixture with modes, files beside it, and another second axis if one is given. */
async function read(
  modes: unknown,
  files: Readonly<Record<string, string>> = {},
  second?: object,
): Promise<Result<ProblemInput>> {
  const folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  try {
    const text = await readFile(join(FIXTURES, "good.json"), "utf8");
    const document = JSON.parse(text.replace('"maker"', JSON.stringify(join(FIXTURES, "maker"))));
    document.machines[0].modes = modes;
    if (second !== undefined) document.machines[0].axes[1] = second;
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

const SHAFT = { "m.csv": "time [s],speed [rpm],torque [N*m]\n0,0,1\n0.5,60,3\n1,0,1\n" };
const RUNNING_DRY = "time [s],speed [rpm],torque [N*m]\n0,0,0.5\n2,30,0.5\n4,0,0.5\n";
/** Its second axis a measured shaft. */
const MEASURED = { id: "shaft", mechanism: { kind: "measured", file: "m.csv", inertia: "2 kg*cm^2" } };
const SHAFT_AT = `${MODES}/0/axes/shaft`;

test("a measured shaft moves in a mode as the file of that mode says, and stands where it has none", async () => {
  const modes = [
    { ...CLEAN, axes: { shaft: { file: "dry.csv" } } },
    { ...CLEAN, id: "home" },
  ];
  const { problem, catalogue } = read1(await read(modes, { ...SHAFT, "dry.csv": RUNNING_DRY }, MEASURED));
  const setup = setupOf(problem, catalogue);
  if (!isSetup(setup)) throw new Error(JSON.stringify(setup));
  const runs = setup.machines[0]?.axes[1]?.runs ?? [];
  const torques = runs.map(({ axis: { mechanism } }) => mechanism.kind === "measured" && mechanism.torque.values);
  expect(torques).toEqual([[1, 3, 1], [0.5, 0.5, 0.5], [1]]);
  const speeds = runs.map(({ cycle }) => Math.max(...cycle.pieces.map((piece) => speedAt(piece.curve, 0))));
  expect(speeds).toEqual([2 * Math.PI, Math.PI, 0].map((speed) => near(speed, 1e-12)));
  expect(runs.map(({ axis: { mechanism } }) => mechanism.inertia)).toEqual([2e-4, 2e-4, 2e-4]);
});

test("a measured shaft named in a mode without a file of that mode does not stand still unsaid", async () => {
  const lines = async (own: object): Promise<string[]> =>
    linesOf(await read([{ ...CLEAN, axes: { shaft: own } }], SHAFT, MEASURED));
  const wanted = `${SHAFT_AT}/file: found no such key, expected "file": speed and torque as measured in this mode, or no such axis here where it stands`;
  expect(await lines({})).toEqual([wanted]);
  expect(await lines(AXES.x)).toEqual([
    wanted,
    `${SHAFT_AT}/motion: found key "motion", expected nothing here: the file of this mode says it`,
  ]);
  expect(await lines({ file: "none.csv" })).toEqual([
    `${SHAFT_AT}/file: found no file "none.csv", expected a CSV file`,
  ]);
  expect(linesOf(await read([{ ...CLEAN, axes: { x: { file: "m.csv" } } }], SHAFT, MEASURED))).toEqual([
    `${MODES}/0/axes/x/file: found key "file", expected nothing here: a "file" of speed and torque is for a measured shaft`,
    `${MODES}/0/axes/x/motion: found no such key, expected "motion", or no such axis here where it stands`,
  ]);
});

test("a file that is longer than its mode is told at its place", async () => {
  const modes = [{ ...CLEAN, cycle: "3 s", axes: { shaft: { file: "dry.csv" } } }];
  const { problem, catalogue } = read1(await read(modes, { ...SHAFT, "dry.csv": RUNNING_DRY }, MEASURED));
  const setup = setupOf(problem, catalogue);
  if (isSetup(setup)) throw new Error("it takes 4 s");
  expect(motionFaults("p.json", setup, problem).map(faultLine)).toEqual([
    expect.stringContaining(`${SHAFT_AT}/file: found `),
  ]);
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
