import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import type { ResultDocument } from "../../src/machine/result.ts";
import { inOtherUnits, withCatalogues } from "./other-units.ts";
import { problemPath, run, valueOf } from "./run-file.ts";

/** Leaves of a document by their path, without hashes and times. */
function leaves(value: unknown, path = ""): (readonly [string, unknown])[] {
  if (typeof value !== "object" || value === null) return [[path, value]];
  return Object.entries(value).flatMap(([key, each]) => leaves(each, `${path}/${key}`));
}

function compared(document: ResultDocument) {
  return leaves(document).filter(([path]) => !/^\/(?:timing|inputs|certificate)\b/.test(path));
}

/** The place of a smooth maximum is known to the square root of rounding only: instants may differ by a microsecond. */
const INSTANT = 1e-6;

/** Paths at which two documents differ: texts at all, numbers by more than 1e-9. */
function differences(one: ResultDocument, other: ResultDocument): string[] {
  const [first, second] = [compared(one), new Map(compared(other))];
  const apart = first.filter(([path, value]) => {
    const found = second.get(path);
    if (typeof value !== "number" || typeof found !== "number") return value !== found;
    const room = path.endsWith("/time") ? INSTANT : 1e-9 * Math.max(Math.abs(value), 1e-3);
    return Math.abs(found - value) > room;
  });
  return [...apart.map(([path]) => path), ...(first.length === second.size ? [] : ["number of leaves"])];
}

async function solvedBoth(problem: unknown): Promise<[ResultDocument, ResultDocument]> {
  const solved = (other: boolean): Promise<ResultDocument> =>
    withCatalogues(problem, other, async (path) => valueOf(await run(path, { explain: true })).document);
  return [await solved(false), await solved(true)];
}

const drum: unknown = JSON.parse(readFileSync(problemPath("drum-feeder-imperial"), "utf8"));

/** A belt slide and the screw it carries, in metric units. */
const press = {
  title: "label press",
  catalogs: ["../catalogs/dunmarrow", "../catalogs/plimwickel"],
  site: { ambient: "35 degC", mains: "400 V", phases: 3, altitude: "1200 m" },
  machines: [
    {
      id: "press",
      cycle: "2 s",
      axes: [
        {
          id: "slide",
          mechanism: {
            kind: "belt",
            diameter: "60 mm",
            efficiency: 0.93,
            inertia: "0.8 kg*cm^2",
            drag_torque: "0.1 N*m",
          },
          load: { mass: "12 kg", friction_force: "20 N" },
          motion: [
            { move: "400 mm", time: "0.6 s", law: "polynomial-5" },
            { dwell: "0.4 s" },
            { move: "-400 mm", time: "0.6 s" },
          ],
          needs: { backlash: "0.2 mm" },
          allow: { ratios: [3, 10] },
        },
        {
          id: "ram",
          carried_by: "slide",
          start: "0.62 s",
          mechanism: { kind: "ball-screw", lead: "10 mm", efficiency: 0.9, inertia: "0.4 kg*cm^2" },
          load: { mass: "3 kg", incline: "90 deg" },
          motion: [
            { move: "-40 mm", time: "0.15 s" },
            { dwell: "0.05 s", force: "-120 N" },
            { move: "40 mm", time: "0.15 s", payload: "0.2 kg" },
          ],
          allow: { ratios: [3, 10] },
        },
      ],
    },
  ],
  weights: {
    currency: "EUR",
    variety: { motor: 200 },
    energy: { price: "0.21 EUR/kWh", hours_per_year: 4000, years: 5 },
  },
};

test("every text with a unit that has another is rewritten", () => {
  const texts = leaves(press).filter(([, value]) => typeof value === "string" && /^-?[\d.]+ (?!s$|V$)/.test(value));
  const after = new Map(leaves(inOtherUnits(press)));
  expect(texts.length).toBeGreaterThan(15);
  expect(texts.filter(([path, value]) => after.get(path) === value && !String(value).includes("EUR"))).toEqual([]);
  expect(inOtherUnits("25.4 mm")).toBe("1 in");
});

test.each([
  ["an imperial problem, and all of it in metric units", drum],
  ["a metric problem, and all of it in imperial units", press],
])("%s: the same order, picks, reasons and numbers to 1e-9", async (_, problem) => {
  const [one, other] = await solvedBoth(problem);
  expect(one.status).toBe("optimal");
  expect(compared(one).length).toBeGreaterThan(200);
  expect(differences(one, other)).toEqual([]);
  // A cent more is seen.
  const heavier = { ...one, objective: one.objective && { ...one.objective, total: one.objective.total + 0.01 } };
  expect(differences(heavier, other)).toEqual(["/objective/total"]);
});
