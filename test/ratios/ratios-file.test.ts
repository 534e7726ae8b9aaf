import { copyFile, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { afterAll, beforeAll, expect, test } from "vitest";
import { LIMIT_IDS } from "../../src/machine/limit.ts";
import type { RatiosDocument, RatiosOptions } from "../../src/machine/ratios.ts";
import type { AxisResult, ResultDocument } from "../../src/machine/result.ts";
import { ratiosFile } from "../../src/ratios-file.ts";
import { documentText } from "../../src/report/document-text.ts";
import { ratiosText } from "../../src/report/ratios-text.ts";
import { PLAIN_STYLE } from "../../src/report/text-style.ts";
import { solveFile } from "../../src/solve-file.ts";

const DRUM = "problems/drum-feeder-imperial.json";
const DEMO = "problems/tray-transplanter.json";

async function ratiosOf(path: string, axis: string, options: Partial<RatiosOptions> = {}): Promise<RatiosDocument> {
  const found = await ratiosFile(path, axis, { motors: [], ...options });
  if (!found.ok) throw new Error(JSON.stringify(found.faults));
  return found.value;
}

async function faultsOf(path: string, axis: string, options: Partial<RatiosOptions> = {}): Promise<string[]> {
  const found = await ratiosFile(path, axis, { motors: [], ...options });
  if (found.ok) throw new Error("no fault");
  return found.faults.map(({ place, found: what, nearest }) => `${place.file} ${what} ${nearest ?? "-"}`);
}

const uses = (limits: AxisResult["limits"] | undefined): unknown =>
  limits?.map(({ id, utilisation }) => [id, utilisation]);

let folder = "";
let result = "";
let solved: ResultDocument;
let marked: RatiosDocument;
let label = "";

/** The label line with few gearboxes: what is looked at here are the curves. */
async function narrowedLabelLine(): Promise<string> {
  const problem = JSON.parse(await readFile("problems/label-line.json", "utf8"));
  problem.catalogs = problem.catalogs.map((path: string) => join(process.cwd(), "problems", path));
  for (const axis of problem.machines[0].axes) {
    axis.allow = { ...axis.allow, gearboxes: ["PE60-10", "PE60-25"], gearless: false };
  }
  for (const name of ["cam-shaft.csv", "press-force.csv"]) await copyFile(join("problems", name), join(folder, name));
  const path = join(folder, "label.json");
  await writeFile(path, JSON.stringify(problem));
  return path;
}
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  const outcome = await solveFile(DRUM, {
    engine: "simplex",
    timeLimit: Number.POSITIVE_INFINITY,
    explain: false,
    now: () => 0,
    aborted: () => false,
    progress: () => undefined,
    writeModel: false,
  });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
  solved = outcome.value.document;
  result = join(folder, "drum.result.json");
  await writeFile(result, documentText(solved));
  marked = await ratiosOf(DRUM, "drum", { result });
  label = await narrowedLabelLine();
});
afterAll(async () => rm(folder, { recursive: true }));

test("the pick of a solved order is marked, and its limits, price and energy are those of the order", async () => {
  const doc = marked;
  const [machine] = solved.machines;
  const own = machine?.axes[0];
  const [first] = doc.motors;
  const picked = doc.motors.flatMap(({ gearboxes }) => gearboxes.filter((pick) => pick.picked));
  expect(first?.motor).toBe(own?.motor);
  expect(picked).toHaveLength(1);
  const [pick] = picked;
  expect([pick?.gearbox, pick?.drive, pick?.ratio, pick?.passes]).toEqual([own?.gearbox, own?.drive, own?.ratio, true]);
  expect(uses(pick?.limits)).toEqual(uses(own?.limits));
  expect(pick?.price).toBeCloseTo(own?.price ?? 0, 6);
  // One axis, alone on its bus: what it draws is what the machine draws.
  expect((pick?.energy ?? 0) / (machine?.totals.energy ?? 1)).toBeCloseTo(1, 9);
  expect(pick?.energy_cost).toBeCloseTo(solved.objective?.terms.energy ?? 0, 6);
  expect(doc.inputs.result?.path).toBe(result);
});

test("the motors shown are the cheapest that work, none twice under other names, and all motors are accounted for", async () => {
  const doc = marked;
  const cheapest = doc.motors.map(({ gearboxes }) =>
    Math.min(...gearboxes.filter(({ passes }) => passes).map(({ price }) => price)),
  );
  expect(cheapest).toHaveLength(3);
  // The pick of the result comes first.
  expect(cheapest.slice(1)).toEqual(cheapest.slice(1).toSorted((a, b) => a - b));
  const unfit = doc.unfit.reduce((sum, { motors }) => sum + motors, 0);
  const input = await readFile("catalogs/dunmarrow/motors.csv", "utf8");
  const other = await readFile("catalogs/plimwickel/motors.csv", "utf8");
  const rows = [input, other].reduce((sum, text) => sum + text.trim().split("\n").length - 1, 0);
  expect(doc.motors.length + doc.others.length + unfit).toBe(rows);
  expect(doc.others.filter(({ standing, fails }) => (standing === "fails") !== fails.length > 0)).toEqual([]);
});

test("motors that are asked for come as they were asked; each real gearbox that carries one is there once", async () => {
  const doc = await ratiosOf(DRUM, "drum", { motors: ["DS60-50-M40-R", "PC60-50-M30-R"] });
  expect(doc.motors.map(({ motor }) => motor)).toEqual(["DS60-50-M40-R", "PC60-50-M30-R"]);
  for (const { gearboxes, assumed } of doc.motors) {
    const keys = gearboxes.map(({ gearbox, gearbox_maker: maker }) => `${maker} ${gearbox}`);
    expect(new Set(keys).size).toBe(keys.length);
    // All of them, and none.
    expect(gearboxes.length).toBe(assumed.gearboxes + 1);
    expect(gearboxes.map(({ ratio }) => ratio)).toEqual(gearboxes.map(({ ratio }) => ratio).toSorted((a, b) => a - b));
  }
});

test("without a result an axis that carries others carries the lightest that pass, and says so", async () => {
  const { carried } = await ratiosOf(DEMO, "gantry", { motors: ["PC80-60-H30-R"] });
  expect(carried).toMatchObject({ from: "lightest", riders: ["lift", "gripper"] });
  expect(carried.mass).toBeGreaterThan(1);
  expect(marked.carried).toEqual({ mass: 0, from: "nothing", riders: [] });
});

test("names that are none are faults at their option, with the nearest; so is a result of something else", async () => {
  expect(await faultsOf(DEMO, "gantri")).toEqual(['--axis "gantri" gantry']);
  expect(await faultsOf(DEMO, "transplanter/gantri")).toEqual(['--axis "transplanter/gantri" -']);
  expect(await faultsOf(DEMO, "gantry", { motors: ["PC80-60-H30-Q", "zzz"] })).toEqual([
    '--motor "PC80-60-H30-Q" PC80-60-H30-R',
    '--motor "zzz" -',
  ]);
  // Hall feedback alone is not what the lift asks for.
  expect(await faultsOf(DEMO, "lift", { motors: ["PC60-50-M30-C"] })).toEqual(['--motor "PC60-50-M30-C" -']);
  expect(await faultsOf(DEMO, "gantry", { result })).toEqual([
    `${result} a result of other content of problem or catalogues -`,
  ]);
  const empty = join(folder, "empty.json");
  await writeFile(
    empty,
    documentText({ ...solved, status: "unknown", machines: [], objective: null, bound: null, gap: null }),
  );
  expect(await faultsOf(DRUM, "drum", { result: empty })).toEqual([`${empty} no picks -`]);
  expect((await faultsOf(DRUM, "drum", { result: "none.json" }))[0]).toMatch(/^none\.json /);
});

test("an id that two machines share has to be named with its machine", async () => {
  const twice = join(folder, "twice.json");
  const text = (await readFile(DRUM, "utf8")).replaceAll('"../catalogs', `"${process.cwd()}/catalogs`);
  const problem = JSON.parse(text);
  problem.machines.push({ ...structuredClone(problem.machines[0]), id: "other" });
  await writeFile(twice, JSON.stringify(problem));
  const found = await ratiosFile(twice, "drum", { motors: [] });
  expect(found.ok ? [] : found.faults.map(({ expected }) => expected)).toEqual([
    'one axis: "feeder/drum" or "other/drum"',
  ]);
  expect((await ratiosOf(twice, "other/drum", { motors: ["PC60-50-M30-R"] })).machine).toBe("other");
});

test("the document is valid by its schema, which knows exactly the limits of the program; the same input gives the same bytes", async () => {
  const schema = JSON.parse(await readFile("shared/schemas/ratios.schema.json", "utf8"));
  expect(schema.$defs.limitId.enum).toEqual(LIMIT_IDS);
  const validate = new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true }).compile(schema);
  const docs = [marked, await ratiosOf("problems/stone-lift-infeasible.json", "hoist", { motors: ["DS40-30-M50-R"] })];
  for (const doc of docs) {
    validate(JSON.parse(documentText(doc)));
    expect(validate.errors).toBeNull();
    expect(
      ratiosText(doc, PLAIN_STYLE)
        .split("\n")
        .filter((line) => line.length > 80),
    ).toEqual([]);
  }
  expect(validate({ ...marked, colour: 1 })).toBe(false);
  expect(documentText(await ratiosOf(DRUM, "drum", { result }))).toBe(documentText(marked));
});

test.each(["unwind", "punch", "cam"])(
  "label line, %s: a ratio that changes over the cycle, and modes, have curves, too",
  async (axis) => {
    const { motors } = await ratiosOf(label, axis, { motors: ["PC60-50-H40-RB"] });
    expect(motors[0]?.windows.length).toBeGreaterThan(0);
    expect(motors[0]?.curve.limits.length).toBeGreaterThan(8);
  },
);
