import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { beforeAll, expect, test } from "vitest";
import type { SolveFileOutcome } from "../../src/machine/run.ts";
import { documentText } from "../../src/report/document-text.ts";
import { allParts } from "../catalogs/sheets.ts";
import { problemPath, run, runEdited, valueOf } from "./run-file.ts";

const schema: object = JSON.parse(readFileSync("shared/schemas/result.schema.json", "utf8"));
const validate = new Ajv2020({ allErrors: true, strict: true, strictTypes: false, strictRequired: false }).compile(
  schema,
);

let lift: SolveFileOutcome;
beforeAll(async () => {
  lift = valueOf(await run(problemPath("stone-lift-infeasible"), { explain: true }));
});

const counts = (named: Readonly<Record<string, number>>): number =>
  Object.values(named).reduce((total, count) => total + count, 0);

test("a problem with an axis no part can drive: the document says which, nearest candidates and what they lack", () => {
  const { document, certificate } = lift;
  validate(JSON.parse(documentText(document)));
  expect(validate.errors).toBeNull();
  expect(document).toMatchObject({ status: "infeasible", objective: null, bound: null, gap: null, machines: [] });
  expect(document.infeasible.map(({ axis }) => axis)).toEqual(["hoist"]);
  expect(document.certificate).toBeNull();
  expect(certificate).toBeUndefined();
  for (const { demand, allowed, relief } of document.infeasible.flatMap((axis) => axis.relief)) {
    expect(demand).toBeGreaterThan(allowed);
    expect(relief).toBeCloseTo(demand - allowed, 9);
  }
});

test("every candidate is accounted for: passed, unfit, or failed by its first and by its worst limit", () => {
  const { rejections } = lift.document;
  expect(rejections.map(({ axis }) => axis)).toEqual(["hoist", "turntable"]);
  for (const { judged, passed, unfit, first, worst } of rejections) {
    expect(passed + counts(unfit) + counts(first)).toBe(judged);
    expect(counts(worst)).toBe(counts(first));
  }
});

test("stopped before it began: an answer of a first look that stands, with a bound below the proven lowest", async () => {
  const { document } = valueOf(await run(problemPath("drum-feeder-imperial"), { timeLimit: 0, explain: true }));
  const { document: proven } = valueOf(await run(problemPath("drum-feeder-imperial"), { explain: false }));
  expect(proven.status).toBe("optimal");
  expect(document.status).toBe("feasible");
  const lowest = proven.objective?.total ?? Number.NaN;
  expect(document.objective?.total).toBeGreaterThanOrEqual(lowest);
  expect(document.bound).toBeLessThanOrEqual(lowest);
  expect(document.gap).toBeGreaterThan(0);
  expect(document.machines[0]?.axes[0]?.limits.every(({ utilisation }) => (utilisation ?? 2) <= 1)).toBe(true);
  validate(JSON.parse(documentText(document)));
  expect(validate.errors).toBeNull();
});

test("a motion that cannot be is a fault at its place", async () => {
  // 2.5 s of cycle do not hold a dwell of 80 s.
  const result = await runEdited("drum-feeder-imperial", [['"dwell": "0.8 s"', '"dwell": "80 s"']]);
  expect(result.ok).toBe(false);
  const faults = result.ok ? [] : result.faults;
  expect(faults.map(({ place }) => ("pointer" in place ? place.pointer : ""))).toEqual(["/machines/0/axes/0/motion"]);
});

test("what the catalogue does not say is listed with the part, the column and who uses it", async () => {
  // PA80-5 is listed without an emergency torque.
  const { document } = valueOf(
    await runEdited("drum-feeder-imperial", [
      [', "backlash": "12 arcmin"', ""],
      ['"ratios": [3, 40]', '"gearboxes": ["PA80-5"], "gearless": false'],
    ]),
  );
  const sheet = (await allParts()).find(({ texts }) => texts["part"] === "PA80-5");
  expect(sheet?.texts["emergency_torque"]).toBe("");
  const listed = {
    part: "PA80-5",
    maker: "Plimwickel",
    missing: "emergency_torque",
    limits: ["gearbox.emergency_torque"],
    used_by: ["drum"],
  };
  expect(document.unknowns).toContainEqual(listed);
  const axis = document.machines[0]?.axes[0];
  expect(axis?.not_checked).toContainEqual({ id: "gearbox.emergency_torque", missing: "emergency_torque" });
});

test.each(["13 V, for which there is no supply", "one more of the rectified mains"])(
  "a bus without axes takes no supply and stands in nobody's way: %s",
  async (bus) => {
    const voltage = bus.startsWith("13 V") ? ', "voltage": "13 V"' : "";
    const cycle = '"cycle": "2.5 s",';
    const edits = [[cycle, `${cycle} "buses": [{ "id": "main" }, { "id": "spare"${voltage} }],`]] as const;
    const { document } = valueOf(await runEdited("drum-feeder-imperial", edits));
    const { document: plain } = valueOf(await run(problemPath("drum-feeder-imperial")));
    expect(document.status).toBe("optimal");
    expect(document.objective).toEqual(plain.objective);
    expect(document.parts).toEqual(plain.parts);
    expect(document.machines[0]?.buses.map(({ id, supply }) => [id, supply !== null])).toEqual([
      ["main", true],
      ["spare", false],
    ]);
    validate(JSON.parse(documentText(document)));
    expect(validate.errors).toBeNull();
  },
);

/** A price no order can keep. */
const TOO_CHEAP = [
  ['"weights": {', '"caps": { "price": "100 EUR" },\n  "weights": {'],
  ['"ratios": [3, 40]', '"gearboxes": ["PE60-7"], "gearless": false'],
] as const;

test("a cap no order can keep: a conflict of the whole order, in the currency of the problem", async () => {
  const { document } = valueOf(await runEdited("drum-feeder-imperial", TOO_CHEAP));
  validate(JSON.parse(documentText(document)));
  expect(validate.errors).toBeNull();
  expect(document.status).toBe("infeasible");
  const [conflict] = document.infeasible;
  expect(conflict).toMatchObject({ machine: null, axis: null, limits: ["machine.price"] });
  const [relief] = conflict?.relief ?? [];
  expect(relief).toMatchObject({ id: "machine.price", allowed: 100, unit: "EUR" });
  expect(relief?.relief).toBeCloseTo((relief?.demand ?? 0) - 100, 9);
});

/** The imperial single axis with four gearboxes and a cap on mass. */
async function capped(kg: number): Promise<SolveFileOutcome["document"]> {
  const edits = [
    ['"weights": {', `"caps": { "mass": "${kg} kg" },\n  "weights": {`],
    ['"ratios": [3, 40]', '"gearboxes": ["PE60-7", "DG40-10", "DG40-35", "PE80-7"], "gearless": false'],
  ] as const;
  return valueOf(await runEdited("drum-feeder-imperial", edits)).document;
}

test("a cap no order can keep is to be relaxed to what some order keeps, and no further (solved again with other caps)", async () => {
  const { status, infeasible } = await capped(0.3);
  expect(status).toBe("infeasible");
  const relief = infeasible[0]?.relief ?? [];
  expect(relief).toMatchObject([{ id: "machine.mass", allowed: 0.3, unit: "kg" }]);
  expect(infeasible[0]?.note).toMatch(/under the cap on mass; less would not do$/);
  const least = relief[0]?.demand ?? Number.NaN;
  expect((await capped(least * (1 + 1e-9))).status).toBe("optimal");
  expect((await capped(least * (1 - 1e-6))).status).toBe("infeasible");
});

/** What stands in the way where the gantry of the demo may have one motor and gearbox, up to an inertia ratio. */
async function gantryUpTo(ratio: number): Promise<SolveFileOutcome["document"]["infeasible"]> {
  const allow = { motors: ["PC80-60-H30-R"], gearboxes: ["PE80-5"], gearless: false };
  const needs = `"needs": { "backlash": "0.15 mm", "inertia_ratio": ${ratio} }, "allow": ${JSON.stringify(allow)}`;
  const edits = [['"needs": { "backlash": "0.15 mm" }', needs]] as const;
  return valueOf(await runEdited("tray-transplanter", edits)).document.infeasible;
}

test("an axis that fails under the lightest load that can ride on it: what it fails is said at that load", async () => {
  // Without any load on the gantry the ratio of this pick is 7.397; lift and gripper weigh something.
  const [gantry] = await gantryUpTo(7.4);
  expect(gantry).toMatchObject({ axis: "gantry", limits: ["motor.inertia_ratio"], relief: [{ allowed: 7.4 }] });
  expect(gantry?.nearest.map(({ fails }) => fails.length)).toEqual([1, 1, 1]);
  const needed = gantry?.relief[0]?.demand ?? Number.NaN;
  expect(needed).toBeGreaterThan(7.45);
  // Judged again: a hair less is still too little for the axis.
  expect((await gantryUpTo(needed * (1 - 1e-6)))[0]?.axis).toBe("gantry");
});
