import { appendFile, mkdtemp, readFile, rename, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { afterAll, beforeAll, expect, test } from "vitest";
import { LIMIT_IDS } from "../../src/machine/limit.ts";
import { documentText } from "../../src/report/document-text.ts";
import { seriesCsv, seriesNames } from "../../src/report/series-csv.ts";
import { verifyText } from "../../src/report/verify-text.ts";
import { compareLimits } from "../../src/verify/compare.ts";
import { type Check, check } from "../../src/verify/evaluate-pick.ts";
import { verifyResult } from "../../src/verify-file.ts";
import { run, valueOf } from "../result/run-file.ts";
import { everySet, type Solved, solvedIn, verified, written, wrongIn } from "./solved.ts";

let folder = "";
let feeder: Solved;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  feeder = await solvedIn(folder, "drum-feeder-imperial");
});
afterAll(async () => rm(folder, { recursive: true }));

/** Content of a JSON file that a test may change at will. */
type Json = ReturnType<typeof JSON.parse>;

const PLAIN = { allowChanged: false, series: false };

/** A copy of the result after a change of its JSON. */
async function tampered(change: (doc: Json) => void): Promise<string> {
  const doc = JSON.parse(await readFile(feeder.path, "utf8"));
  change(doc);
  const path = join(folder, "out", "tampered.result.json");
  await writeFile(path, JSON.stringify(doc));
  return path;
}

const limitOf = (doc: Json, id: string): Json => doc.machines[0].axes[0].limits.find((one: Json) => one.id === id);

test("the imperial single axis agrees, and every limit of the result is compared", async () => {
  const { document } = await verified(feeder.path);
  expect(wrongIn(document)).toEqual([]);
  expect(document.agrees).toBe(true);
  const [axis] = feeder.document.machines[0]?.axes ?? [];
  const compared = document.machines[0]?.axes[0]?.compared.map(({ id }) => id) ?? [];
  expect(axis?.limits.map(({ id }) => id).filter((id) => !compared.includes(id))).toEqual([]);
  expect(everySet(document).reduce((sum, { compared: own }) => sum + own.length, 0)).toBe(document.compared);
});

test.each([
  "motor.continuous_torque",
  "motor.speed",
  "motor.winding_temperature",
  "motor.inertia_ratio",
  "gearbox.mean_torque",
  "drive.overload",
  "drive.ripple_current",
])("a demand of %s that is off by 0.2 %% is found and named", async (id) => {
  const path = await tampered((doc) => {
    const limit = limitOf(doc, id);
    limit.demand *= 1.002;
    limit.utilisation *= 1.002;
  });
  const { document } = await verified(path);
  expect(document.agrees).toBe(false);
  expect(wrongIn(document)).toEqual([`${id} differs`]);
});

test("a demand off by 0.05 % agrees", async () => {
  const path = await tampered((doc) => {
    const limit = limitOf(doc, "motor.speed");
    limit.demand *= 1.0005;
    limit.utilisation *= 1.0005;
  });
  expect((await verified(path)).document.agrees).toBe(true);
});

test.each<[string, (doc: Json) => void, string]>([
  ["an allowed value", (doc) => (limitOf(doc, "motor.speed").allowed *= 1.01), "motor.speed differs"],
  ["a utilisation alone", (doc) => (limitOf(doc, "motor.speed").utilisation /= 2), "motor.speed differs"],
  ["a unit", (doc) => (limitOf(doc, "motor.speed").unit = "N*m"), "motor.speed differs"],
  ["a unit of the same size", (doc) => (limitOf(doc, "motor.voltage").unit = "A"), "motor.voltage differs"],
  ["a unit nobody knows", (doc) => (limitOf(doc, "motor.speed").unit = "furlong"), "motor.speed differs"],
  ["a limit left out", (doc) => doc.machines[0].axes[0].limits.shift(), "gearbox.backlash missing"],
  [
    "a limit nobody asked for",
    (doc) => doc.machines[0].axes[0].limits.push({ ...limitOf(doc, "motor.speed"), id: "motor.detent" }),
    "motor.detent missing",
  ],
  ["the supply's power", (doc) => (doc.machines[0].buses[0].limits[2].demand *= 1.01), "supply.peak_power differs"],
  [
    "the soonest loss of control without mains",
    (doc) => (doc.machines[0].buses[0].ride_down.lost_after *= 1.01),
    "ride_down.lost_after differs",
  ],
  [
    "a bus that is said never to be emptied",
    (doc) => (doc.machines[0].buses[0].ride_down = null),
    "ride_down.lost_after differs",
  ],
  ["the total", (doc) => (doc.objective.total -= 5), "total differs"],
  ["the energy", (doc) => (doc.machines[0].totals.energy *= 1.01), "energy differs"],
  [
    "the highest current to set",
    (doc) => (doc.machines[0].axes[0].settings.current_limit *= 2),
    "current_limit differs",
  ],
])("a change of %s is found", async (_name, change, expected) => {
  const { document } = await verified(await tampered(change));
  expect(wrongIn(document)).toContain(expected);
});

test("a bus that is said to need no supply is found", async () => {
  const path = await tampered((doc) => {
    const [bus] = doc.machines[0].buses;
    bus.supply = null;
    bus.resistor = null;
    bus.limits = [];
    bus.ride_down = null;
  });
  expect(wrongIn((await verified(path)).document)).toContain("no supply, though the catalogues have some");
});

test("a smaller motor in the result fails limits and agrees with none of its torques", async () => {
  const path = await tampered((doc) => {
    const axis = doc.machines[0].axes[0];
    axis.motor = "DS40-30-M50-R";
    axis.motor_maker = "Dunmarrow";
  });
  const wrong = wrongIn((await verified(path)).document);
  expect(wrong).toContain("frame");
  expect(wrong).toContain("motor.inertia_ratio differs");
});

test("a part that is in no catalogue is a fault at its place", async () => {
  const path = await tampered((doc) => (doc.machines[0].axes[0].motor = "PC60-50-M30-X"));
  const outcome = await verifyResult(path, PLAIN);
  expect(outcome.ok ? [] : outcome.faults).toMatchObject([
    { code: "unknown-name", place: { file: path, pointer: "/machines/0/axes/0/motor" }, nearest: "PC60-50-M30-C" },
  ]);
});

test("an axis the problem does not have is a fault, and the one that is missing another", async () => {
  const path = await tampered((doc) => (doc.machines[0].axes[0].id = "drumm"));
  const outcome = await verifyResult(path, PLAIN);
  expect(outcome.ok ? [] : outcome.faults.map(({ code }) => code)).toEqual(["unknown-name", "missing"]);
});

test("picks that are missing are a fault", async () => {
  const path = await tampered((doc) => (doc.machines = []));
  const outcome = await verifyResult(path, PLAIN);
  expect(outcome.ok ? [] : outcome.faults).toMatchObject([{ code: "wrong-form", place: { pointer: "/machines" } }]);
});

test.each<[string, string]>([
  ["no JSON", "{"],
  ["another document", '{ "format": "fewframe-verification/1" }'],
  ["a list", "[]"],
])("%s in place of a result is a fault", async (_name, text) => {
  const path = join(folder, "out", "broken.result.json");
  await writeFile(path, text);
  const outcome = await verifyResult(path, PLAIN);
  expect(outcome.ok).toBe(false);
  expect((await verifyResult(join(folder, "none.json"), PLAIN)).ok).toBe(false);
});

test("a catalogue that changed is a fault, unless allowed; then it is named", async () => {
  const motors = join(folder, "catalogs", "plimwickel", "motors.csv");
  const before = await readFile(motors);
  try {
    await appendFile(motors, "\n");
    const outcome = await verifyResult(feeder.path, PLAIN);
    expect(outcome.ok ? [] : outcome.faults).toMatchObject([{ code: "changed-input", place: { file: motors } }]);
    const { document } = await verified(feeder.path, { allowChanged: true });
    expect(document.changed).toEqual([motors]);
    expect(document.agrees).toBe(true);
  } finally {
    await writeFile(motors, before);
  }
});

test("a problem that changed or went is a fault; another place can be named for it", async () => {
  const moved = join(folder, "problems", "moved.json");
  await rename(feeder.problem, moved);
  try {
    const outcome = await verifyResult(feeder.path, PLAIN);
    expect(outcome.ok ? [] : outcome.faults.map(({ code }) => code)).toEqual(["unreadable"]);
    expect((await verified(feeder.path, { problem: moved })).document.agrees).toBe(true);
    await writeFile(feeder.problem, (await readFile(moved, "utf8")).replace("seed drum feeder", "drum feeder"));
    const changed = await verifyResult(feeder.path, PLAIN);
    expect(changed.ok ? [] : changed.faults.map(({ code }) => code)).toEqual(["changed-input"]);
  } finally {
    await rename(moved, feeder.problem);
  }
});

test("the curves have their columns, and their means are the figures of the result", async () => {
  const { series } = await verified(feeder.path, { series: true });
  expect(series.map(({ name }) => name)).toEqual(["feeder-drum", "feeder-bus-main"]);
  const [drum, bus] = series;
  expect(drum?.columns.map(({ header }) => header)).toEqual([
    "time [s]",
    "position [rad]",
    "speed [rad/s]",
    "motor speed [rpm]",
    "motor torque [N*m]",
    "motor current [A]",
    "power without fixed losses [W]",
    "winding temperature [degC]",
  ]);
  expect(bus?.columns.map(({ header }) => header)).toEqual([
    "time [s]",
    "power of the drives [W]",
    "power of the supply [W]",
    "power of the brake resistor [W]",
    "bus voltage [V]",
  ]);
  const column = (of: typeof drum, header: string): Float64Array =>
    of?.columns.find((one) => one.header === header)?.values ?? new Float64Array();
  const mean = (of: typeof drum, values: Float64Array): number => {
    const time = column(of, "time [s]");
    const area = values.reduce(
      (sum, value, k) =>
        k === 0 ? 0 : sum + ((value + (values[k - 1] ?? 0)) / 2) * ((time[k] ?? 0) - (time[k - 1] ?? 0)),
      0,
    );
    return area / (time.at(-1) ?? 1);
  };
  const axis = feeder.document.machines[0]?.axes[0];
  const demand = (id: string): number => axis?.limits.find((limit) => limit.id === id)?.demand ?? Number.NaN;
  const current = column(drum, "motor current [A]");
  const rms = Math.sqrt(
    mean(
      drum,
      current.map((value) => value ** 2),
    ),
  );
  expect((rms * 1.1) / demand("drive.continuous_current")).toBeCloseTo(1, 4);
  const speed = column(drum, "motor speed [rpm]").map(Math.abs);
  expect(mean(drum, speed) / demand("gearbox.mean_speed")).toBeCloseTo(1, 4);
  expect((Math.max(...speed) * 1.1) / demand("motor.speed")).toBeCloseTo(1, 4);
  const winding = Math.max(...column(drum, "winding temperature [degC]"));
  expect(winding / demand("motor.winding_temperature")).toBeCloseTo(1, 4);
  const supplied = feeder.document.machines[0]?.buses[0]?.limits.find(({ id }) => id === "supply.continuous_power");
  const drawn = column(bus, "power of the drives [W]").map((value) => Math.max(0, value));
  expect((mean(bus, drawn) * 1.1) / (supplied?.demand ?? 1)).toBeCloseTo(1, 4);
});

test("the comparison is valid by its schema, whatever it says, and its print keeps to 80 columns", async () => {
  const schema: object = JSON.parse(await readFile("shared/schemas/verification.schema.json", "utf8"));
  const validate = new Ajv2020({ allErrors: true, strict: true, strictTypes: false }).compile(schema);
  const strangers = await tampered((doc) => {
    doc.machines[0].axes[0].limits.shift();
    doc.machines[0].axes[0].limits.push({ ...limitOf(doc, "motor.speed"), id: "motor.detent" });
    limitOf(doc, "motor.speed").unit = "furlong";
    doc.objective.total = 1;
  });
  for (const path of [feeder.path, strangers]) {
    const { document } = await verified(path);
    validate(JSON.parse(documentText(document)));
    expect(validate.errors).toBeNull();
    const lines = verifyText(document).split("\n");
    expect(lines.filter((line) => line.length > 80)).toEqual([]);
    expect(lines.some((line) => line.startsWith("DIFFERS"))).toBe(!document.agrees);
  }
  expect(validate({ ...(await verified(feeder.path)).document, colour: 1 })).toBe(false);
});

test("the schema knows exactly the limits of the program", async () => {
  const schema: Json = JSON.parse(await readFile("shared/schemas/verification.schema.json", "utf8"));
  expect(schema.$defs.limitId.enum).toEqual(LIMIT_IDS);
});

test("curves become CSV: a header, a row per node, numbers a plotter reads, safe names of files", async () => {
  const values = Float64Array.from([0, -0, 1 / 3]);
  const series = {
    name: "m",
    columns: [
      { header: "time [s]", values },
      { header: "=cmd", values },
    ],
  };
  expect(await seriesCsv(series)).toBe("time [s],'=cmd\n0,0\n0,0\n0.3333333333,0.3333333333\n");
  const names = ["a/../b", "A_____b", "lift", "LIFT", "größe 1"].map((name) => ({ name, columns: [] }));
  expect(seriesNames(names)).toEqual(["a____b.csv", "A_____b.csv", "lift.csv", "LIFT.2.csv", "größe_1.csv"]);
});

test("an axis that follows a table agrees, and a changed table is a fault", async () => {
  const table = join(folder, "problems", "drum.csv");
  const problem = join(folder, "problems", "followed.json");
  const motion = /"motion": \[[^]*?\],/;
  const text = (await readFile(feeder.problem, "utf8")).replace(motion, '"motion": [{ "follow": "drum.csv" }],');
  await writeFile(problem, text);
  const rows = Array.from({ length: 26 }, (_, k) => `${k / 10},${90 - 90 * Math.cos((2 * Math.PI * k) / 25)}`);
  await writeFile(table, `time [s],position [deg]\n${rows.join("\n")}\n`);
  const path = join(folder, "out", "followed.result.json");
  await written(path, valueOf(await run(problem)).document);
  expect(wrongIn((await verified(path)).document)).toEqual([]);
  await appendFile(table, "\n");
  const outcome = await verifyResult(path, PLAIN);
  expect(outcome.ok ? [] : outcome.faults).toMatchObject([{ code: "changed-input", place: { file: table } }]);
});

/** One machine with every mechanism whose shaft turns unevenly, and a mode in which only some of them move otherwise. */
const UNEVEN = {
  title: "uneven",
  catalogs: ["../catalogs/dunmarrow", "../catalogs/plimwickel"],
  site: { mains: "400 V", phases: 3 },
  machines: [
    {
      id: "m",
      cycle: "2 s",
      axes: [
        {
          id: "ram",
          endless: true,
          mechanism: { kind: "crank", radius: "40 mm", rod: "180 mm", inertia: "8 kg*cm^2" },
          load: { mass: "3 kg", friction_force: "15 N" },
          motion: [{ move: "1 rev", time: "1.2 s", law: "modified-sine" }],
        },
        {
          id: "reel",
          endless: true,
          mechanism: {
            kind: "winder",
            core_diameter: "80 mm",
            start_diameter: "120 mm",
            web_width: "0.2 m",
            web_density: "900 kg/m^3",
            web_thickness: "0.1 mm",
            tension: "15 N",
          },
          motion: [{ run: "0.5 m/s", time: "2 s", accelerate_time: "0.3 s", decelerate_time: "0.3 s" }],
          needs: { inertia_ratio: null, brake: false },
        },
        { id: "probe", mechanism: { kind: "measured", file: "probe.csv" }, needs: { brake: false } },
      ],
      modes: [
        {
          id: "cleaning",
          share: "10 %",
          cycle: "4 s",
          axes: { ram: { motion: [{ move: "1 rev", time: "3 s" }] }, probe: { file: "wiping.csv" } },
        },
      ],
    },
  ],
  weights: { currency: "EUR", energy: { price: "0.2 EUR/kWh", hours_per_year: 3000, years: 4 } },
};

test("a crank, a winder, a measured shaft and a mode agree", async () => {
  const problem = join(folder, "problems", "uneven.json");
  await writeFile(problem, JSON.stringify(UNEVEN));
  const rows = ["0,0,0.1", "0.5,300,0.8", "1.2,300,0.2", "1.6,0,-0.4", "2,0,0"];
  await writeFile(join(folder, "problems", "probe.csv"), `time [s],speed [rpm],torque [N*m]\n${rows.join("\n")}\n`);
  const wiping = ["0,0,0.1", "1,700,0.3", "3,700,0.3", "4,0,-0.2"];
  await writeFile(join(folder, "problems", "wiping.csv"), `time [s],speed [rpm],torque [N*m]\n${wiping.join("\n")}\n`);
  const path = join(folder, "out", "uneven.result.json");
  const { machines } = await written(path, valueOf(await run(problem)).document);
  expect(machines[0]?.axes.map(({ id }) => id)).toEqual(["ram", "reel", "probe"]);
  const { document, series } = await verified(path, { series: true });
  expect(wrongIn(document)).toEqual([]);
  const position = series.map(({ columns }) => columns[1]?.header);
  const inOneRun = ["position [rad]", "position [m]", "position [rad]", "power of the drives [W]"];
  expect(position).toEqual([...inOneRun, ...inOneRun]);
  const normal = ["m-ram", "m-reel", "m-probe", "m-bus-main"];
  expect(series.map(({ name }) => name)).toEqual([...normal, ...normal.map((name) => `${name}-mode-cleaning`)]);
  expect(series.map(({ columns }) => columns[0]?.values.at(-1))).toEqual([2, 2, 2, 2, 4, 4, 4, 4]);
  // The probe is fastest as measured in the mode, 1.1 of 700 rpm.
  const speed = machines[0]?.axes[2]?.limits.find(({ id }) => id === "motor.speed");
  const ratio = machines[0]?.axes[2]?.ratio ?? Number.NaN;
  expect(speed).toMatchObject({ mode: "cleaning", demand: expect.closeTo(770 * ratio, 6) });
});

/** A slide that works harder in one of its modes than in its normal cycle. */
const HARD_MODE = {
  title: "hard mode",
  catalogs: ["../catalogs/dunmarrow", "../catalogs/plimwickel"],
  site: { mains: "400 V", phases: 3 },
  machines: [
    {
      id: "m",
      cycle: "4 s",
      axes: [
        {
          id: "slide",
          mechanism: { kind: "belt", diameter: "60 mm", efficiency: 0.93 },
          load: { mass: "12 kg", friction_force: "20 N" },
          motion: [
            { move: "0.2 m", time: "1 s" },
            { move: "-0.2 m", time: "1 s" },
          ],
        },
      ],
      modes: [
        {
          id: "rush",
          share: "10 %",
          cycle: "1.2 s",
          axes: {
            slide: {
              motion: [
                { move: "0.4 m", time: "0.5 s" },
                { move: "-0.4 m", time: "0.5 s" },
              ],
            },
          },
        },
        { id: "rest", share: "10 %", cycle: "1 s", axes: {} },
      ],
    },
  ],
  weights: { currency: "EUR" },
};

test("every limit and bound is compared in the mode that comes nearest, and a wrong mode is found", async () => {
  const problem = join(folder, "problems", "hard-mode.json");
  await writeFile(problem, JSON.stringify(HARD_MODE));
  const path = join(folder, "out", "hard-mode.result.json");
  const stated = await written(path, valueOf(await run(problem)).document);
  const { document } = await verified(path);
  expect(wrongIn(document)).toEqual([]);
  const [bus] = document.machines[0]?.buses ?? [];
  const modeOf = (id: string) => bus?.bounds.find((bound) => bound.id === id)?.mode;
  expect(["supply.peak_power", "supply.continuous_power"].map(modeOf)).toEqual(["rush", "rush"]);
  expect(verifyText(document)).toContain("bus main supply.peak_power in mode rush");
  const [axis] = stated.machines[0]?.axes ?? [];
  expect(axis?.limits.find(({ id }) => id === "motor.speed")?.mode).toBe("rush");

  const wrongWith = async (mode: string | undefined): Promise<string[]> => {
    const doc: Json = structuredClone(stated);
    limitOf(doc, "motor.speed").mode = mode;
    await writeFile(path, JSON.stringify(doc));
    const { document: compared } = await verified(path);
    expect(verifyText(compared)).toContain(`motor.speed${mode === undefined ? "" : ` in mode ${mode}`} is`);
    return wrongIn(compared);
  };
  expect(await wrongWith(undefined)).toEqual(["motor.speed differs"]);
  expect(await wrongWith("rest")).toEqual(["motor.speed differs"]);
  expect(await wrongWith("night")).toEqual(["motor.speed missing"]);
});

/** A speed in rpm of 200 allowed. */
const speedCheck = (rpm: number): Check =>
  check("motor.speed", (rpm * 2 * Math.PI) / 60, (200 * 2 * Math.PI) / 60, undefined);

test("figures of a run that is not the nearest to failing differ, though that run has them", async () => {
  const stated = { id: "motor.speed", demand: 100, allowed: 200, unit: "rpm", utilisation: 0.5 } as const;
  const runs = [{ checks: [speedCheck(100)] }, { mode: "rush", checks: [speedCheck(150)] }];
  expect(compareLimits([stated], runs.slice(0, 1), "EUR")).toMatchObject([{ verdict: "agrees" }]);
  expect(compareLimits([stated], runs, "EUR")).toMatchObject([{ verdict: "differs", simulated: 150 }]);
});
