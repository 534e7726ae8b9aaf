import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { expect, test } from "vitest";
import type { ResultDocument } from "../../src/machine/result.ts";
import { documentText } from "../../src/report/document-text.ts";
import { solveText } from "../../src/report/solve-text.ts";
import { PLAIN_STYLE } from "../../src/report/text-style.ts";
import { quarterTurns, solvedWithTwins } from "./twin-catalogue.ts";

const schema: object = JSON.parse(readFileSync("shared/schemas/result.schema.json", "utf8"));
const validate = new Ajv2020({ allErrors: true, strict: true, strictTypes: false, strictRequired: false }).compile(
  schema,
);

/** One machine of one axis. */
function problem(axis: unknown, caps: object = {}): unknown {
  return {
    title: "asks for what nobody says",
    catalogs: ["twinmaker"],
    site: { mains: "400 V", phases: 3 },
    machines: [{ id: "feeder", cycle: "2 s", axes: [axis] }],
    weights: { currency: "EUR" },
    caps,
  };
}

/** The motors without their detent torques: the column becomes a text of the maker's own. */
const withoutDetent = (sheet: string): string => sheet.replace("detent_torque [N*m]", "remark");
const SILENT = { id: "motor.detent", missing: "detent_torque" };

test("a limit that every candidate fails for want of a catalogue value is named with the empty column", async () => {
  const axis = quarterTurns("slide", "0.02 kg*m^2", { detent_torque: "0.05 N*m" });
  expect(await solvedWithTwins(problem(axis))).toMatchObject({ status: "optimal" });
  const document = await solvedWithTwins(problem(axis), withoutDetent);
  validate(JSON.parse(documentText(document)));
  expect(validate.errors).toBeNull();
  expect(document.status).toBe("infeasible");
  const [conflict] = document.infeasible;
  expect(conflict).toMatchObject({ axis: "slide", limits: ["motor.detent"], relief: [], not_checked: [SILENT] });
  expect(conflict?.nearest.length).toBeGreaterThan(0);
  for (const near of conflict?.nearest ?? []) expect(near).toMatchObject({ fails: [], not_checked: [SILENT] });
  const print = solveText(document, PLAIN_STYLE).replaceAll(/\s+/g, " ");
  expect(print).toContain("Asked for but unknown, so failed: the detent torque at the load (no detent torque");
});

test("beside a limit that is too small by figures, the unknown one is named as well", async () => {
  // At least 4·θ/t² · 2 kg·m² = 50 N·m: more than 15 N·m by the strongest motor.
  const axis = quarterTurns("slide", "2 kg*m^2", { detent_torque: "0.05 N*m" });
  const [conflict] = (await solvedWithTwins(problem(axis), withoutDetent)).infeasible;
  expect(conflict?.limits).toEqual(expect.arrayContaining(["motor.peak_torque", "motor.detent"]));
  expect(conflict?.relief.map(({ id }) => id)).toContain("motor.peak_torque");
  expect(conflict?.relief.map(({ id }) => id)).not.toContain("motor.detent");
  expect(conflict?.not_checked).toEqual([SILENT]);
});

test("a cap on lead time that no part answers is a conflict of the order, named with the empty column", async () => {
  const axis = quarterTurns("slide", "0.02 kg*m^2");
  const document = await solvedWithTwins(problem(axis, { lead_time: "3 week" }));
  validate(JSON.parse(documentText(document)));
  expect(validate.errors).toBeNull();
  expect(document.infeasible).toMatchObject([
    {
      axis: null,
      limits: ["machine.lead_time"],
      relief: [],
      not_checked: [{ id: "machine.lead_time", missing: "lead_time" }],
      note: "the axes have candidates, but not together under the cap on lead time",
    },
  ]);
});

/** Every part is there in 30 days. */
function inThirtyDays(sheet: string): string {
  const lines = sheet.trimEnd().split("\n");
  return lines.map((line, index) => `${line},${index === 0 ? "lead_time [day]" : "30"}\n`).join("");
}

test("a cap on lead time that every part is too late for is a conflict with its least relief", async () => {
  const axis = quarterTurns("slide", "0.02 kg*m^2");
  const late = await solvedWithTwins(problem(axis, { lead_time: "3 week" }), inThirtyDays);
  const relief = [{ id: "machine.lead_time", demand: 30, allowed: 21, relief: 9, unit: "day" }];
  expect(late.infeasible).toMatchObject([{ axis: null, limits: ["machine.lead_time"], relief, not_checked: [] }]);
  const inTime = await solvedWithTwins(problem(axis, { lead_time: "30 day" }), inThirtyDays);
  expect(inTime.status).toBe("optimal");
});

/** The motors' windings follow their heat in 20 s. */
function inTwentySeconds(sheet: string): string {
  if (!sheet.startsWith("part,frame")) return sheet;
  const lines = sheet.trimEnd().split("\n");
  return lines.map((line, index) => `${line},${index === 0 ? "winding_time [s]" : "20"}\n`).join("");
}

/** A clamp that pushes for a minute and rests for more than five. */
function pushing(needs: object = {}): unknown {
  const motion = [
    { move: "90 deg", time: "0.5 s" },
    { dwell: "60 s", torque: "1.2 N*m" },
    { move: "-90 deg", time: "0.5 s" },
  ];
  const load = { inertia: "0.001 kg*m^2" };
  const axis = { id: "clamp", mechanism: { kind: "rotary" }, load, motion, needs: { inertia_ratio: null, ...needs } };
  return { ...Object(problem(axis)), machines: [{ id: "press", cycle: "400 s", axes: [axis] }] };
}

/** A push at rest heats one phase: the small motors fail both. */
const HOT = ["motor.winding_temperature", "motor.standstill_torque"];

test("a winding that gets too hot in a long push is passed over, unless nobody knows how fast it heats", async () => {
  // 1.2 N*m for 60 s of 400 s: 0.46 N*m RMS, which 0.6 and 0.7 N*m bear for ever, but their windings not at the end.
  const pickOf = async (needs: object, change?: (sheet: string) => string): Promise<ResultDocument["machines"]> =>
    (await solvedWithTwins(pushing(needs), change, { explain: true })).machines;
  const silent = { id: "motor.winding_temperature", missing: "winding_time" };
  expect(await pickOf({})).toMatchObject([
    { axes: [{ motor: "S-LEAN", not_checked: expect.arrayContaining([silent]) }] },
  ]);
  const known = await pickOf({}, inTwentySeconds);
  expect(known).toMatchObject([{ axes: [{ motor: "L", binding: { limits: HOT } }] }]);
  expect(known[0]?.axes[0]?.not_checked).not.toContainEqual(silent);
  expect(await pickOf({ relax: Object.fromEntries(HOT.map((id) => [id, null])) }, inTwentySeconds)).toMatchObject([
    { axes: [{ motor: "S-LEAN" }] },
  ]);
  // Who rejects what is unknown gets no motor whose winding time nobody gives.
  const rejecting = await solvedWithTwins(pushing({ unknown: "reject" }));
  expect(rejecting.status).toBe("infeasible");
  expect(rejecting.infeasible[0]?.not_checked).toContainEqual(silent);
});
