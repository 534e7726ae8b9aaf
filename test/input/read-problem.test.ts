import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { faultLine } from "../../src/faults/fault-line.ts";
import { type ProblemInput, readProblem } from "../../src/input/read-problem.ts";

const fixture = (name: string): string => fileURLToPath(new URL(`fixtures/${name}`, import.meta.url));

async function good(): Promise<ProblemInput> {
  const read = await readProblem(fixture("good.json"));
  if (!read.ok) throw new Error(read.faults.map(faultLine).join("\n"));
  return read.value;
}

describe("a valid file", () => {
  test("arrives in SI with every default filled in", async () => {
    const { problem } = await good();
    const [machine] = problem.machines;
    expect(problem.site).toEqual({
      ambient: 40,
      cabinetAmbient: 40,
      altitude: 0,
      mains: 400,
      phases: 3,
      mainsTolerance: 0.1,
    });
    expect(machine).toMatchObject({
      quantity: 1,
      cycle: 2,
      buses: [{ id: "main" }],
      powerMargin: 0.1,
      samePick: [],
      modes: [],
    });
    expect(machine?.axes[0]).toMatchObject({
      bus: "main",
      start: 0,
      inCycle: true,
      endless: false,
      mechanism: { kind: "ball-screw", lead: 0.02, efficiency: 1, backEfficiency: 1, inertia: 0, couplingInertia: 0 },
      load: { mass: 14, incline: 0, force: 0 },
      needs: { torqueMargin: 0.15, peakMargin: 0.1, inertiaRatio: 10, rippleCurrent: 0.2, brakeFactor: 2 },
      allow: { gearless: true },
    });
    expect(machine?.axes[0]?.needs.brake).toBeUndefined();
    expect(machine?.axes[0]?.motion).toEqual([
      {
        kind: "move",
        distance: 0.3,
        law: "trapezoid",
        time: 0.45,
        accelerate: 1 / 3,
        decelerate: 1 / 3,
        force: 0,
        payload: 0,
      },
      { kind: "dwell", time: 0.3, force: 0, payload: 0 },
      { kind: "move", distance: -0.3, law: "trapezoid", maxSpeed: 1.2, maxAcceleration: 6, force: 0, payload: 0 },
    ]);
  });

  test("gives a rotary axis the same fields as a linear one", async () => {
    const axis = (await good()).problem.machines[0]?.axes[1];
    expect(axis).toMatchObject({ carriedBy: "x", load: { mass: 0.002, force: -0.1, imbalance: 0 } });
    expect(axis?.motion[0]).toMatchObject({ kind: "run", speed: Math.PI, accelerateTime: 0.1, decelerateTime: 0.1 });
    expect(axis?.needs).toMatchObject({
      inertiaRatio: null,
      speedRipple: 0.02,
      relax: { "motor.speed": 0.05, "motor.detent": null },
      match: { "motor.colour": ["blue"] },
    });
    expect(axis?.needs.smoothFrom).toBeCloseTo(Math.PI / 180, 15);
  });

  test("keeps money in cents per SI unit", async () => {
    const { weights, caps } = (await good()).problem;
    expect(weights.variety).toMatchObject({ motor: 45_000, frame: 0 });
    expect(weights.energy.price * 3.6e6).toBeCloseTo(21, 9);
    expect(weights.energy.duration).toBe(5000 * 3600 * 5);
    expect(weights).toMatchObject({ purchase: 1, mass: 200, leadTime: 0 });
    expect(weights.cabinetWidth).toBeCloseTo(150_000, 6);
    expect(caps).toEqual({ price: 120_000, cabinetWidth: 0.4, leadTime: 21 });
  });

  test("lists each default with its place and value", async () => {
    const { defaults } = await good();
    expect(defaults).toContainEqual({ at: "/site/ambient", value: "40 degC", count: 1 });
    expect(defaults).toContainEqual({ at: "/margins/torque", value: "15 %", count: 1 });
    expect(defaults).toContainEqual({ at: "/machines/0/axes/0/motion/0/accelerate", value: "1/3", count: 1 });
    expect(defaults).toContainEqual({ at: "maker/motors.csv winding_limit", value: "130 degC", count: 2 });
    expect(defaults).toContainEqual({ at: "maker/motors.csv detent_torque", value: "0 N*m", count: 1 });
    expect(defaults.some(({ at }) => at.endsWith("/needs/brake"))).toBe(false);
  });

  test("names and hashes every file it came from", async () => {
    const { inputs } = await good();
    const files = [inputs.problem, ...inputs.catalogs];
    expect(files.map(({ path }) => path.replace(/^.*fixtures\//, ""))).toEqual([
      "good.json",
      "maker/catalog.json",
      "maker/motors.csv",
      "maker/gearboxes.csv",
      "maker/drives.csv",
      "maker/supplies.csv",
    ]);
    expect(files.every(({ sha256 }) => /^[0-9a-f]{64}$/.test(sha256))).toBe(true);
  });
});

test("a file with many faults: all are reported in one run, each with place, found and expected", async () => {
  const read = await readProblem(fixture("many-faults.json"));
  const lines = read.ok ? [] : read.faults.map((fault) => faultLine(fault).replace(/^.*fixtures\//, ""));
  expect(lines.length).toBeGreaterThanOrEqual(10);
  expect(lines).toEqual([
    'many-faults.json /machines/0/axes/0/carried_by: found "z", expected an axis of this machine: x',
    'many-faults.json /machines/0/axes/0/load/friction_force: found "25 Nm" with the unknown unit "Nm", expected a force with its unit, such as "25 N"',
    'many-faults.json /machines/0/axes/0/load/mass: found 14, expected a mass with its unit, such as "14 kg"',
    'many-faults.json /machines/0/axes/0/motion/0/law: found "polynomal-5", expected one of trapezoid, triangle, s-curve, harmonic, cycloidal, modified-trapezoid, modified-sine, polynomial-5, polynomial-7 (nearest: "polynomial-5")',
    'many-faults.json /machines/0/axes/1/allow/gearless: found "yes", expected boolean',
    'many-faults.json /machines/0/axes/1/allow/motors/0: found "T60-C", expected a part number among the motors (nearest: "T60-B")',
    'many-faults.json /machines/0/axes/1/id: found "x", expected each axis id once',
    'many-faults.json /machines/0/axes/1/motion/0/move: found "300 Hz", expected an angle with its unit, such as "90 deg"',
    'many-faults.json /machines/0/axes/1/needs/smooth_from: found no such key, expected "smooth_from", which goes with "speed_ripple"',
    'many-faults.json /machines/0/cycle: found "3.2 m", expected a time with its unit, such as "0.45 s"',
    'many-faults.json /site/altitde: found key "altitde", expected a documented key (nearest: "altitude")',
  ]);
});

test("the three demonstration catalogues read without a fault or caution", async () => {
  const path = fileURLToPath(new URL("../../problems/tray-transplanter.json", import.meta.url));
  const read = await readProblem(path);
  expect(read.ok ? [] : read.faults.map(faultLine)).toEqual([]);
  expect(read.ok && read.value.cautions).toEqual([]);
});
