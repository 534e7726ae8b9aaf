import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import type { Result } from "../../src/faults/fault.ts";
import { faultLine } from "../../src/faults/fault-line.ts";
import { loadProblemReader, type ProblemInput } from "../../src/input/read-problem.ts";
import type { Axis } from "../../src/machine/problem.ts";
import { near } from "../physics/near.ts";

const FIXTURES = fileURLToPath(new URL("fixtures/", import.meta.url));
const readProblem = await loadProblemReader();

/** Reads the good fixture with its second axis replaced, and files beside it. */
async function read(axis: object, files: Readonly<Record<string, string>> = {}): Promise<Result<ProblemInput>> {
  const folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  try {
    const text = await readFile(join(FIXTURES, "good.json"), "utf8");
    const document = JSON.parse(text.replace('"maker"', JSON.stringify(join(FIXTURES, "maker"))));
    document.machines[0].axes[1] = { id: "odd", ...axis };
    await writeFile(join(folder, "p.json"), JSON.stringify(document));
    await Promise.all(Object.entries(files).map(async ([name, csv]) => writeFile(join(folder, name), csv)));
    return await readProblem(join(folder, "p.json"));
  } finally {
    await rm(folder, { recursive: true });
  }
}

function axisIn(input: Result<ProblemInput>): Axis {
  const axis = input.ok ? input.value.problem.machines[0]?.axes[1] : undefined;
  if (axis === undefined) throw new Error(JSON.stringify(input));
  return axis;
}

const linesOf = (input: Result<ProblemInput>): string[] =>
  input.ok ? [] : input.faults.map((fault) => faultLine(fault).replace(/^\S*\/(?=[pm]\.)/, ""));

const AXIS = "p.json /machines/0/axes/1";
const WINDER = {
  kind: "winder",
  core_diameter: "100 mm",
  start_diameter: "0.2 m",
  web_width: "400 mm",
  web_density: "0.9 g/cm^3",
  web_thickness: "50 um",
  tension: "80 N",
};
const CRANK = {
  kind: "crank",
  radius: "40 mm",
  rod: "150 mm",
  offset: "-10 mm",
  start_angle: "180 deg",
  efficiency: 0.9,
};
const BACK = [{ move: "360 deg", time: "1 s" }];
const SHAFT = "time [ms],torque [N*cm],speed [rpm]\n0,10,0\n500,30,60\n1000,-10,0\n";

describe("a winder", () => {
  const motion = [{ run: "2 m/s", time: "1 s", accelerate_time: "0.2 s", decelerate_time: "0.2 s" }];

  test("is read in SI", async () => {
    const { mechanism } = axisIn(await read({ mechanism: WINDER, endless: true, motion }));
    expect(mechanism).toMatchObject({
      kind: "winder",
      coreDiameter: 0.1,
      startDiameter: 0.2,
      webWidth: 0.4,
      webDensity: near(900, 1e-12),
      webThickness: near(5e-5, 1e-12),
      tension: 80,
      efficiency: 1,
    });
  });

  test("begins at its core or beyond", async () => {
    const mechanism = { ...WINDER, start_diameter: "90 mm" };
    expect(linesOf(await read({ mechanism, endless: true, motion }))).toEqual([
      `${AXIS}/mechanism/start_diameter: found less than the core, expected core_diameter or more`,
    ]);
  });
});

describe("a crank", () => {
  test("moves in angles and loads in newtons", async () => {
    const { mechanism, load, motion } = axisIn(
      await read({
        mechanism: CRANK,
        endless: true,
        load: { mass: "3 kg", friction_force: "5 N" },
        motion: [{ ...BACK[0], force: "20 N", payload: "1 kg" }],
      }),
    );
    expect(mechanism).toMatchObject({
      kind: "crank",
      radius: 0.04,
      rod: 0.15,
      offset: -0.01,
      startAngle: Math.PI,
      backEfficiency: 0.9,
    });
    expect(load).toMatchObject({ mass: 3, frictionForce: 5 });
    expect(motion[0]).toMatchObject({ distance: 2 * Math.PI, force: 20, payload: 1 });
  });

  test("has a rod long enough to turn, and no load that turns", async () => {
    const mechanism = { ...CRANK, rod: "50 mm" };
    const faulty = await read({ mechanism, endless: true, load: { inertia: "1 kg*m^2" }, motion: BACK });
    expect(linesOf(faulty)).toEqual([
      `${AXIS}/load/inertia: found key "inertia", expected on a linear axis: mass, incline, friction_force, friction_coefficient, force, viscous, counterbalance`,
      `${AXIS}/mechanism/rod: found a rod that is too short to turn, expected more than radius + offset`,
    ]);
  });
});

describe("a measured shaft", () => {
  const mechanism = { kind: "measured", file: "m.csv", inertia: "2 kg*cm^2" };

  test("brings its motion and its torque", async () => {
    const axis = axisIn(await read({ mechanism }, { "m.csv": SHAFT }));
    const speed = { times: [0, 0.5, 1], values: [0, 2 * Math.PI, 0] };
    expect(axis.endless).toBe(true);
    expect(axis.motion).toEqual([
      { kind: "follow", file: "m.csv", force: 0, payload: 0, table: { of: "velocity", ...speed } },
    ]);
    expect(axis.mechanism).toMatchObject({ torque: { times: [0, 0.5, 1], values: [0.1, 0.3, -0.1] }, inertia: 2e-4 });
  });

  test("takes no motion, load or efficiency beside its file", async () => {
    const faulty = await read(
      { mechanism: { ...mechanism, efficiency: 0.9 }, load: { inertia: "1 kg*m^2" }, motion: BACK },
      { "m.csv": SHAFT },
    );
    expect(linesOf(faulty)).toEqual([
      `${AXIS}/load: found key "load", expected nothing here: the file of the mechanism says it`,
      `${AXIS}/mechanism/efficiency: found key "efficiency", expected nothing here: the measured torque holds it`,
      `${AXIS}/motion: found key "motion", expected nothing here: the file of the mechanism says it`,
    ]);
  });

  test("names every column that is not there, and one that is not known", async () => {
    const lacking = await read({ mechanism }, { "m.csv": "time [s]\n0\n1\n" });
    expect(linesOf(lacking)).toEqual([
      "m.csv:1 [speed]: found no such column, expected a column speed with its unit",
      "m.csv:1 [torque]: found no such column, expected a column torque with its unit",
    ]);
    const unknown = await read({ mechanism }, { "m.csv": "time [s],sped [rpm],torque [N*m]\n0,0,0\n1,0,0\n" });
    expect(linesOf(unknown)).toEqual([
      'm.csv:1 [sped [rpm]]: found "sped", expected time, speed, torque (nearest: "speed")',
    ]);
    expect(linesOf(await read({ mechanism }))).toEqual([
      `${AXIS}/mechanism/file: found no file "m.csv", expected a CSV file`,
    ]);
  });
});

test("a force and a torque over time are read beside the problem", async () => {
  const csv = "time [s],torque [N*m]\n0,1\n0.5,3\n";
  const torque = { file: "m.csv" };
  const { load, motion } = axisIn(
    await read(
      { mechanism: { kind: "rotary" }, endless: true, load: { torque }, motion: [{ ...BACK[0], torque }] },
      { "m.csv": csv },
    ),
  );
  const forceTable = { times: [0, 0.5], values: [1, 3] };
  expect(load).toMatchObject({ force: 0, forceTable });
  expect(motion[0]).toMatchObject({ force: 0, forceTable });
  const wrong = await read(
    { mechanism: { kind: "rotary" }, endless: true, load: { torque }, motion: BACK },
    { "m.csv": "time [s],force [N]\n0,1\n1,1\n" },
  );
  expect(linesOf(wrong)).toEqual(['m.csv:1 [force [N]]: found "force", expected time, torque']);
});
