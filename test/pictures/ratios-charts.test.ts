import { expect, test } from "vitest";
import { drawCharts } from "../../src/charts/draw-charts.ts";
import type { MotorRatios, RatiosDocument } from "../../src/machine/ratios.ts";
import { ratiosCharts } from "../../src/pictures/ratios-charts.ts";
import { ratiosFile } from "../../src/ratios-file.ts";
import { LIMIT_WORDS } from "../../src/report/limit-words.ts";
import { shownPicks } from "../../src/report/ratio-table.ts";
import { everyElement, readSvg, type SvgElement, textsOf } from "../charts/svg-tree.ts";

const found = await ratiosFile("problems/drum-feeder-imperial.json", "drum", { motors: [] });
if (!found.ok) throw new Error(JSON.stringify(found.faults));
const doc: RatiosDocument = found.value;

const seriesOf = (name: string, from = doc): readonly Record<string, unknown>[] => {
  const chart = ratiosCharts(from).find((one) => one.name === name);
  if (chart === undefined) throw new Error(`no chart ${name}`);
  return JSON.parse(JSON.stringify(chart.option)).series;
};
const pictures = new Map((await drawCharts(ratiosCharts(doc))).map(({ name, svg }) => [name, svg]));
const rootOf = (name: string): SvgElement => readSvg(pictures.get(name) ?? "");
const [first] = doc.motors;
if (first === undefined) throw new Error("no motor");

test("a chart for each motor looked at, then one of what they cost", () => {
  expect(doc.motors.length).toBeGreaterThan(1);
  expect([...pictures.keys()]).toEqual([...doc.motors.map(({ motor }) => motor), "costs"]);
});

test("no figure that is none, and the same bytes twice", async () => {
  for (const { name, svg } of await drawCharts(ratiosCharts(doc))) {
    expect(svg).toBe(pictures.get(name));
    expect(svg).not.toMatch(/NaN|undefined|Infinity/u);
    expect(everyElement(readSvg(svg)).length).toBeGreaterThan(20);
  }
  expect(JSON.stringify(ratiosCharts(doc))).not.toMatch(/NaN|Infinity/u);
});

test("a curve for each limit with a point at each ratio of the document", () => {
  for (const { motor, curve } of doc.motors) {
    const lines = seriesOf(motor).filter(({ type }) => type === "line");
    expect(lines).toHaveLength(curve.limits.length);
    for (const { data } of lines) {
      const points = data as [number, number | null][];
      expect(points.map(([ratio]) => ratio)).toEqual(curve.ratio);
      const values = points.map(([, value]) => value);
      expect(curve.limits.map(({ utilisation }) => utilisation)).toContainEqual(values);
    }
  }
});

test("the limits that close the window are named, the ratios that can be bought ticked", () => {
  const closing = first.windows.flatMap(({ from, to }) => [...from.limits, ...to.limits]);
  expect(closing.length).toBeGreaterThan(0);
  expect(textsOf(rootOf(first.motor))).toEqual(expect.arrayContaining(closing.map((id) => LIMIT_WORDS[id])));
  const end = first.range?.to ?? 0;
  const bought = new Set(
    first.gearboxes.flatMap(({ gearbox, ratio }) => (gearbox !== null && ratio <= end ? [ratio] : [])),
  );
  const ticks = seriesOf(first.motor).find(({ name }) => name === "ratio in a catalogue");
  expect(ticks?.["data"]).toHaveLength(bought.size);
});

test("where inertias match and heat is least is marked within the range, told beside it beyond", () => {
  expect(textsOf(rootOf(first.motor))).toEqual(expect.arrayContaining(["inertia matched", "least heat"]));
  const beyond: MotorRatios = { ...first, inertia_matched: 900, least_heat: { ratio: 800, utilisation: null } };
  const [chart] = ratiosCharts({ ...doc, motors: [beyond] });
  expect(chart?.option.title[0].subtext).toMatch(/; least heat at 800; inertia matched at 900$/u);
  expect(JSON.stringify(seriesOf(first.motor, { ...doc, motors: [beyond] }))).not.toContain("least heat");
});

const pointsIn = (from: RatiosDocument): number =>
  seriesOf("costs", from).reduce((sum, { data }) => sum + (data as unknown[]).length, 0);

test("costs: a point for each row of the print in each of two panels, one panel where energy has no price", () => {
  const rows = doc.motors.reduce((sum, motor) => sum + shownPicks(motor).length, 0);
  expect(doc.energy_years).toBeGreaterThan(0);
  expect(pointsIn(doc)).toBe(2 * rows);
  expect(pointsIn({ ...doc, energy_years: 0 })).toBe(rows);
});

test("a motor that turns too fast at any ratio has no curves; without any motor there is nothing to draw", () => {
  const fast: MotorRatios = { ...first, range: null, windows: [], curve: { ratio: [], limits: [] } };
  expect(ratiosCharts({ ...doc, motors: [fast] }).map(({ name }) => name)).toEqual(["costs"]);
  expect(ratiosCharts({ ...doc, motors: [] })).toEqual([]);
});
