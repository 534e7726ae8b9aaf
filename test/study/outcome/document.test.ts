import { describe, expect, test } from "vitest";
import { makeDesign } from "../../../src/study/designs/design.ts";
import type { ResponseEntry, StudyDocument } from "../../../src/study/outcome/document.ts";
import { coded, inventedDocument, inventedStudy, named } from "./invented-study.ts";

function pointsOf(ids: readonly string[]): readonly (readonly number[])[] {
  const made = makeDesign(
    { kind: "full-factorial" },
    ids.map((id) => ({ id, isCategorical: false })),
    { seed: 1, isAllowed: () => true },
  );
  return "points" in made ? made.points : [];
}

function numberOf(document: StudyDocument, index: number): Extract<ResponseEntry, { kind: "number" }> {
  const entry = document.responses[index];
  if (entry?.kind !== "number") throw new Error("no number");
  return entry;
}

// Pilot plant: G. E. P. Box, J. S. Hunter, W. G. Hunter, Statistics for Experimenters: yields of T, C, K, T fastest.
const YIELDS: Readonly<Record<string, number>> = {
  "-1,-1,-1": 60,
  "1,-1,-1": 72,
  "-1,1,-1": 54,
  "1,1,-1": 68,
  "-1,-1,1": 52,
  "1,-1,1": 83,
  "-1,1,1": 45,
  "1,1,1": 80,
};

describe("published runs come out of a study as published", () => {
  const factors = ["T", "C", "K"].map(coded);
  const points = pointsOf(["T", "C", "K"]);
  const outcomes = points.map((point) => ({ total: YIELDS[point.join(",")] ?? 0 }));
  const document = inventedDocument(inventedStudy(factors), { kind: "full-factorial", points }, outcomes);

  test("pilot plant 2^3, Box, Hunter, Hunter: T 23, C -5, K 1.5, TC 1.5, TK 10, CK 0, TCK 0.5, mean 64.25", () => {
    const { effects, range } = numberOf(document, 0);
    const found = Object.fromEntries((effects?.effects ?? []).map(({ name, value }) => [name, value]));
    const published = { T: 23, C: -5, K: 1.5, "T × C": 1.5, "T × K": 10, "C × K": 0, "T × C × K": 0.5 };
    expect(Object.keys(found)).toEqual(Object.keys(published));
    for (const [name, value] of Object.entries(published)) expect(found[name]).toBeCloseTo(value, 10);
    expect(effects?.mean).toBeCloseTo(64.25, 10);
    expect(range).toMatchObject({ least: { value: 45 }, most: { value: 83 }, mean: 64.25 });
  });

  test("means of levels are those of the runs", () => {
    const { means } = numberOf(document, 0);
    expect(means[0]).toMatchObject({
      factor: "T",
      levels: [
        { level: -1, mean: 52.75 },
        { level: 1, mean: 75.75 },
      ],
    });
  });

  test("units: money for the total, none for a count", () => {
    expect(document.responses.map(({ unit }) => unit)).toEqual(["EUR", "", ""]);
  });

  test("a response that never changes is explained, not fitted", () => {
    const { effects, model } = numberOf(document, 1);
    expect(effects?.effects.every(({ value }) => value === 0)).toBe(true);
    expect(model?.remarks).toContainEqual({ kind: "constant-response", value: 3 });
    expect(JSON.stringify(document)).not.toMatch(/NaN|null,null|Infinity/u);
  });
});

describe("what the runs allow decides what is worked out", () => {
  test("a surface is fitted where factors take three values: y = 3 + (x − 0.2)² + 2·(z + 0.1)² has its minimum there", () => {
    const points = [-1, 0, 1].flatMap((x) => [-1, 0, 1].map((z) => [x, z]));
    const outcomes = points.map(([x = 0, z = 0]) => ({ total: 3 + (x - 0.2) ** 2 + 2 * (z + 0.1) ** 2 }));
    const document = inventedDocument(
      inventedStudy(["x", "z"].map(coded)),
      { kind: "full-factorial", points },
      outcomes,
    );
    const { model, effects } = numberOf(document, 0);
    expect(effects).toBeNull();
    const surface = model?.surface;
    if (surface === undefined || "absent" in surface) throw new Error("no surface");
    expect(surface.canonical).toMatchObject({ kind: "minimum", stationary: { is_inside: true } });
    const { stationary } = surface.canonical;
    expect("absent" in stationary ? [] : stationary.coded.map((at) => Number(at.toFixed(9)))).toEqual([0.2, -0.1]);
  });

  test("Sobol indices where the design is for them: y = x + 2·z has first-order shares 1/5 and 4/5", () => {
    const factors = ["x", "z"];
    const made = makeDesign(
      { kind: "sensitivity", base: 1024 },
      factors.map((id) => ({ id, isCategorical: false })),
      { seed: 1, isAllowed: () => true },
    );
    const points = "points" in made ? made.points : [];
    const outcomes = points.map(([x = 0, z = 0]) => ({ total: x + 2 * z }));
    const document = inventedDocument(inventedStudy(factors.map(coded)), { kind: "sensitivity", points }, outcomes);
    const { indices, model } = numberOf(document, 0);
    expect(model).toBeNull();
    const found = indices === null || "absent" in indices.indices ? [] : indices.indices;
    for (const [index, share] of [0.2, 0.8].entries()) {
      expect(Math.abs((found[index]?.first.value ?? 0) - share)).toBeLessThan(0.01);
      expect(Math.abs((found[index]?.total.value ?? 0) - share)).toBeLessThan(0.01);
    }
  });

  test("a choice over a grid of two factors becomes a map with its borders", () => {
    const points = [0, 1].flatMap((y) => [0, 1, 2].map((x) => [x, y]));
    const outcomes = points.map(([x = 0]) => ({ total: 1, motor: x < 2 ? "small" : "large" }));
    const study = inventedStudy([named("a", "p", "q", "r"), named("b", "u", "v")]);
    const entry = inventedDocument(study, { kind: "full-factorial", points }, outcomes).responses[2];
    expect(entry).toMatchObject({
      kind: "choice",
      shares: [
        { pick: "small", count: 4 },
        { pick: "large", count: 2 },
      ],
      map: { column: "a", row: "b", columns: ["p", "q", "r"], rows: ["u", "v"] },
    });
    expect(entry?.kind === "choice" && entry.map?.flips.length).toBe(2);
    expect(entry?.kind === "choice" && entry.map?.regions.length).toBe(2);
  });

  test("infeasible runs are left out of the fit and told with their reason", () => {
    const points = pointsOf(["x", "z"]);
    const outcomes = points.map(([x = 0], index) => (index === 3 ? null : { total: 10 + x }));
    const document = inventedDocument(
      inventedStudy(["x", "z"].map(coded)),
      { kind: "full-factorial", points },
      outcomes,
    );
    expect(document.runs).toMatchObject({ all: 4, optimal: 3, infeasible: 1 });
    expect(document.reasons).toEqual([{ reason: "x: motor.speed", runs: [4] }]);
    expect(numberOf(document, 0).effects?.remarks).toContainEqual({ kind: "lost-runs", lost: 1, of: 4 });
  });

  test("runs no other run beats: cheaper or fewer parts", () => {
    const points = pointsOf(["x", "z"]);
    const pairs = [
      [10, 4],
      [12, 3],
      [12, 4],
      [9, 9],
    ] as const;
    const outcomes = pairs.map(([total, parts]) => ({ total, parts }));
    const document = inventedDocument(
      inventedStudy(["x", "z"].map(coded)),
      { kind: "full-factorial", points },
      outcomes,
    );
    expect(document.front).toEqual({
      responses: [
        { id: "total", want: "less" },
        { id: "parts", want: "less" },
      ],
      runs: [1, 2, 4],
    });
  });

  test("a place that no result has is said to be empty", () => {
    const points = pointsOf(["x", "z"]);
    const study = inventedStudy(["x", "z"].map(coded), {
      responses: [{ id: "none", at: ["machines", "n"], want: undefined }],
    });
    expect(
      inventedDocument(
        study,
        { kind: "full-factorial", points },
        points.map(() => ({ total: 1 })),
      ).responses,
    ).toEqual([{ id: "none", unit: "", kind: "nothing" }]);
  });

  test("an id stands for its index in the places of responses", () => {
    const at = ["machines", "m", "axes", "x", "limits", "motor.speed", "demand"];
    const study = inventedStudy(["x", "z"].map(coded), { responses: [{ id: "speed", at, want: undefined }] });
    const points = pointsOf(["x", "z"]);
    const [entry] = inventedDocument(
      study,
      { kind: "full-factorial", points },
      points.map(() => ({ total: 1 })),
    ).responses;
    expect(entry).toMatchObject({ id: "speed", unit: "rpm", kind: "number", range: { mean: 2 } });
  });
});
