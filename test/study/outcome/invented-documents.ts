import { makeDesign } from "../../../src/study/designs/design.ts";
import type { DesignPoint } from "../../../src/study/designs/family.ts";
import { type StudyDocument, studyDocument } from "../../../src/study/outcome/document.ts";
import { robustPoints } from "../../../src/study/outcome/robust.ts";
import type { Factor } from "../../../src/study/plan/factor.ts";
import type { Response } from "../../../src/study/plan/study.ts";
import { coded, type InventedRun, inventedDocument, inventedFacts, inventedStudy, named } from "./invented-study.ts";

/** A factor that takes these numbers and no others. */
function listed(id: string, ...numbers: readonly number[]): Factor {
  const levels = numbers.map((number) => ({ json: number, label: String(number), number }));
  return { ...coded(id), apply: "multiply", scale: { kind: "listed", levels, isCategorical: false } };
}

const X = coded("x");
const Z = coded("z");
const CORNERS: readonly DesignPoint[] = [-1, 1].flatMap((x) => [-1, 1].map((z) => [x, z]));
const SCREEN: readonly DesignPoint[] = CORNERS.flatMap((one) => CORNERS.map((other) => [...one, ...other]));
const GRID: readonly DesignPoint[] = [-1, 0, 1].flatMap((x) => [-1, 0, 1].map((z) => [x, z]));

/** What the runs of a study of two numbers come to, by their values. */
function surface(height: (x: number, z: number) => number): StudyDocument {
  const outcomes = GRID.map(([x = 0, z = 0]) => ({ total: height(x, z) }));
  return inventedDocument(inventedStudy([X, Z]), { kind: "central-composite", points: GRID }, outcomes);
}

/** A study for Sobol indices. */
function sensitivity(outcome: (x: number, z: number, run: number) => InventedRun | null): StudyDocument {
  const request = { kind: "sensitivity", base: 8 } as const;
  const made = makeDesign(
    request,
    [X, Z].map(({ id }) => ({ id, isCategorical: false })),
    {
      seed: 1,
      isAllowed: () => true,
    },
  );
  const points = "points" in made ? made.points : [];
  const outcomes = points.map(([x = 0, z = 0], run) => outcome(x, z, run));
  return inventedDocument(inventedStudy([X, Z]), { kind: request.kind, points }, outcomes);
}

/** A study with noise of two runs, with what each run came to. */
function noisy(outcomes: readonly (InventedRun | null)[]): StudyDocument {
  const study = inventedStudy([X], { noise: [coded("friction")] });
  const facts = inventedFacts(study, { kind: "full-factorial", points: [[-1], [1]], noise: [[-1], [1]] }, outcomes);
  const axis = { machine: "m", axis: "x", motor: "M1", ratio: 1, drive: "D1" };
  const pick = {
    axes: [
      { ...axis, gearbox: null },
      { ...axis, axis: "y", gearbox: "G1", ratio: 5 },
    ],
    others: ["S1"],
  };
  const held = [
    { point: 0, pick, lowestIn: 1, records: facts.records.slice(0, 2) },
    { point: 1, pick, lowestIn: 1, records: facts.records.slice(2) },
  ];
  return studyDocument({ ...facts, robustness: robustPoints(held) });
}

/** Factors of every kind with numbers, and designs with properties. */
function kinds(): StudyDocument {
  const log: Factor = { ...X, id: "log", scale: { kind: "range", low: 1, high: 9, isLog: true, isWhole: false } };
  const whole: Factor = { ...X, id: "whole", scale: { kind: "range", low: 1, high: 9, isLog: false, isWhole: true } };
  const study = inventedStudy([log, whole, listed("list", 1, 2, 5)]);
  const points = GRID.flatMap(([x = 0, z = 0]) => [0, 1, 2].map((k) => [x, z, k]));
  const outcomes = points.map(([x = 0, z = 0, k = 0]) => ({ total: 9 + x * z + k ** 2 }));
  const facts = inventedFacts(study, { kind: "full-factorial", points }, outcomes);
  const properties = [
    { name: "runs", value: "27", figure: 27 },
    { name: "model", value: "full" },
  ];
  return studyDocument({ ...facts, design: { ...facts.design, properties } });
}

/** Choices over a grid of names, some cells without an order. */
function flips(): StudyDocument {
  const points = [0, 1].flatMap((y) => [0, 1, 2].map((x) => [x, y]));
  const outcomes = points.map(([x = 0, y = 0]) =>
    x === 2 * y ? null : { total: 1 + x + y, motor: x < 2 ? "M1" : "M2" },
  );
  const study = inventedStudy([named("a", "p", "q", "r"), named("b", "u", "v")]);
  return inventedDocument(study, { kind: "full-factorial", points }, outcomes);
}

/** Numbers by names, whose slopes differ, and a response that no run has. */
function mixed(): StudyDocument {
  const responses: readonly Response[] = [
    { id: "total", at: ["objective", "total"], want: "more" },
    { id: "none", at: ["machines", "n"], want: undefined },
  ];
  const points = [-1, 0, 1].flatMap((x) => [0, 1].map((k) => [x, k]));
  const outcomes = points.map(([x = 0, k = 0]) => ({ total: 5 + x * (k + 1) + k + (x === 0 ? 0.1 : 0) }));
  const study = inventedStudy([X, named("kind", "p", "q")], { responses, model: "interactions" });
  return inventedDocument(study, { kind: "given", points }, outcomes);
}

/** Settings that repeat, each with two values. */
function repeated(points: readonly DesignPoint[], totals: readonly number[]): StudyDocument {
  const study = inventedStudy([X], { model: "linear" });
  return inventedDocument(
    study,
    { kind: "given", points },
    totals.map((total) => ({ total })),
  );
}

const WISHES: readonly Response[] = [
  { id: "total", at: ["objective", "total"], want: "less" },
  { id: "parts", at: ["distinct", "parts"], want: "more" },
];

/** Documents of studies that together take every branch of their schema. */
export const DOCUMENTS: Readonly<Record<string, StudyDocument>> = {
  "two levels": inventedDocument(
    inventedStudy([X, Z, coded("v"), coded("w")]),
    { kind: "full-factorial", points: SCREEN },
    SCREEN.map(([x = 0], run) => ({ total: 60 + 12 * x + ((7 * run) % 16) / 10 })),
  ),
  "two levels, one factor": repeated([[-1], [1]], [1, 2]),
  "a level whose runs are lost": inventedDocument(
    inventedStudy([X, Z]),
    { kind: "full-factorial", points: CORNERS },
    CORNERS.map(([x = 0, z = 0]) => (x === 1 ? null : { total: 10 + z })),
  ),
  "half a fraction": inventedDocument(
    inventedStudy([X, Z, coded("w")], { responses: WISHES }),
    { kind: "fractional-factorial", points: CORNERS.map(([x = 0, z = 0]) => [x, z, x * z]) },
    CORNERS.map(([x = 0, z = 0]) => ({ total: 10 + x, parts: 3 + z })),
  ),
  "a minimum": surface((x, z) => 3 + (x - 0.2) ** 2 + 2 * (z + 0.1) ** 2 + (x * z > 0 ? 0.01 : 0)),
  "a maximum": surface((x, z) => 3 - x ** 2 - 2 * z ** 2),
  "a saddle": surface((x, z) => 3 + x ** 2 - z ** 2),
  "a ridge": surface((x, z) => 3 + x ** 2 + z),
  "a plain": surface(() => 4),
  "every kind of number": kinds(),
  "names with slopes of their own": mixed(),
  "names over a grid": flips(),
  "names without a grid": inventedDocument(
    inventedStudy([named("a", "p", "q"), named("b", "u", "v")]),
    {
      kind: "given",
      points: [
        [0, 0],
        [1, 1],
      ],
    },
    [{ total: 1 }, { total: 2 }],
  ),
  "repeats that differ": repeated([[-1], [-1], [1], [1]], [1, 2, 4, 5]),
  "repeats that differ, and a bend": repeated([[-1], [-1], [0], [1]], [1, 2, 9, 5]),
  "repeats that agree": repeated([[-1], [-1], [0], [1]], [1, 1, 9, 5]),
  sensitivity: sensitivity((x, z) => ({ total: x + 2 * z })),
  "sensitivity with lost runs": sensitivity((x, z, run) => (run === 5 ? null : { total: x + 2 * z })),
  "sensitivity of nothing": sensitivity(() => ({ total: 1 })),
  "sensitivity without a whole block": sensitivity((x, _, run) => (run % 4 === 0 ? null : { total: x })),
  noise: noisy([{ total: 5 }, { total: 6 }, { total: 7 }, null]),
  "noise that no point stands": noisy([{ total: 5 }, null, null, null]),
};
