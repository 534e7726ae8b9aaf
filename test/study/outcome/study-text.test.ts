import { expect, test } from "vitest";
import { drawCharts } from "../../../src/charts/draw-charts.ts";
import { PLAIN_STYLE } from "../../../src/report/text-style.ts";
import { studyDocument } from "../../../src/study/outcome/document.ts";
import { runsCsv, runsJsonLines } from "../../../src/study/outcome/runs-files.ts";
import { studyCharts } from "../../../src/study/outcome/study-charts.ts";
import { studyText } from "../../../src/study/outcome/study-text.ts";
import { termsCsv } from "../../../src/study/outcome/terms-csv.ts";
import { coded, inventedFacts, inventedStudy, named } from "./invented-study.ts";

const GRID = [-1, 0, 1].flatMap((x) => [-1, 0, 1].map((z) => [x, z]));

const SURFACE = inventedFacts(
  inventedStudy([coded("x"), coded("z")]),
  { kind: "full-factorial", points: GRID },
  GRID.map(([x = 0, z = 0], index) => ({
    total: 100 + 3 * x + x * z + z ** 2 + (index % 2) / 10,
    motor: x > 0 ? "M2" : "M1",
  })),
);

const LOST = inventedFacts(
  inventedStudy([named("kind", "slotted", "slotless"), named("maker", "=1+1", "\u202eevil")]),
  {
    kind: "full-factorial",
    points: [
      [0, 0],
      [1, 0],
      [0, 1],
      [1, 1],
    ],
  },
  [{ total: 5 }, null, { total: 7, motor: "M2" }, { total: 8 }],
);

test.each([
  ["a surface", SURFACE],
  ["names, with a run lost", LOST],
])("the print of %s keeps to 80 columns and holds no figure that is none", (_name, facts) => {
  const text = studyText(studyDocument(facts), facts.study, PLAIN_STYLE);
  expect(text.split("\n").filter((line) => line.length > 80)).toEqual([]);
  expect(text).not.toMatch(/NaN|undefined|Infinity|\u202e/u);
});

test("the print answers: how many runs, from where to where, what it hangs on, what is best", () => {
  const text = studyText(studyDocument(SURFACE), SURFACE.study, PLAIN_STYLE);
  expect(text).toContain("9 runs over 2 factors: 9 proved lowest");
  expect(text).toMatch(/total\n {2}EUR 97.* \(run \d\) to EUR 10\d/u);
  expect(text).toMatch(/Model of main effects, products of two and squares: R2 0\.99/u);
  expect(text).toMatch(/Level point \(saddle/u);
  expect(text).toMatch(/M1 in 6 runs \(67 %\) and M2 in 3 runs/u);
  expect(text).toMatch(/BEST +less total and less parts/u);
});

test("infeasible runs stand with their reason", () => {
  expect(studyText(studyDocument(LOST), LOST.study, PLAIN_STYLE)).toMatch(/NO OPTIMUM run 2: x: motor\.speed/u);
});

test("runs as CSV: a row each, texts that could be formulas guarded", async () => {
  const csv = await runsCsv(LOST.study, LOST.rows);
  const lines = csv.trimEnd().split("\n");
  expect(lines[0]).toBe('"run","point","kind","maker","status","reason","total","parts","motor"');
  expect(lines[1]).toBe('"1","1","slotted","\'=1+1","optimal","","5","3","M1"');
  expect(lines[2]).toBe('"2","2","slotless","\'=1+1","infeasible","x: motor.speed","","",""');
});

test("runs as JSON Lines hold the values as they stood in the problem, and the picks", () => {
  const [first = ""] = runsJsonLines(LOST.study, LOST.rows).split("\n");
  expect(JSON.parse(first)).toMatchObject({
    run: 1,
    factors: { kind: "slotted", maker: "=1+1" },
    responses: { total: 5 },
    picks: [{ axis: "x", motor: "M1" }],
  });
});

test("effects, coefficients and indices as a table: of the surface each coefficient with its error", async () => {
  const lines = (await termsCsv(studyDocument(SURFACE))).trimEnd().split("\n");
  expect(lines[0]).toBe(
    '"response","unit","figure","term","value","standard error","t","p","low","high","aliased with"',
  );
  expect(lines.filter((line) => line.startsWith('"total","EUR","coefficient"'))).toHaveLength(6);
  expect(lines.every((line) => line.split(",").length === 11 && !/NaN|undefined/u.test(line))).toBe(true);
});

test("every chart has a name of its own and is drawn without a figure that is none", async () => {
  for (const facts of [SURFACE, LOST]) {
    const charts = studyCharts({
      document: studyDocument(facts),
      study: facts.study,
      rows: facts.rows,
      points: facts.design.points,
    });
    expect(charts.length).toBeGreaterThan(1);
    expect(new Set(charts.map(({ name }) => name)).size).toBe(charts.length);
    for (const { svg } of await drawCharts(charts)) {
      expect(svg).toMatch(/^<svg /u);
      expect(svg).not.toMatch(/NaN|undefined|Infinity/u);
    }
  }
});
