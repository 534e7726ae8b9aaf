import * as fc from "fast-check";
import { expect, test } from "vitest";
import { codedValue, type Factor, levelAt } from "../../../src/study/plan/factor.ts";

function range(low: number, high: number, says: { isLog?: boolean; isWhole?: boolean; unit?: string } = {}): Factor {
  const { isLog = false, isWhole = false, unit = "kg" } = says;
  return { id: "x", places: [], apply: "set", unit, scale: { kind: "range", low, high, isLog, isWhole } };
}

test("a range is spread evenly, on a logarithmic scale where asked for", () => {
  expect([-1, 0, 1, 2].map((u) => levelAt(range(6, 8), u).json)).toEqual(["6 kg", "7 kg", "8 kg", "9 kg"]);
  expect([-1, 0, 1].map((u) => levelAt(range(1, 100, { isLog: true }), u).json)).toEqual(["1 kg", "10 kg", "100 kg"]);
  expect([-1, 0, 1].map((u) => levelAt(range(0.9, 1.1, { unit: "" }), u).json)).toEqual([0.9, 1, 1.1]);
});

test("a whole-number factor takes the nearest whole number, and is analysed at that", () => {
  const factor = range(2, 5, { isWhole: true, unit: "" });
  const level = levelAt(factor, 0);
  expect(level.json).toBe(4);
  expect(codedValue(factor, 0, level)).toBeCloseTo(1 / 3, 11);
});

test("the coordinate of a level is the coordinate it was made from", () => {
  const ends = fc.tuple(
    fc.double({ min: 0.01, max: 100, noNaN: true }),
    fc.double({ min: 1.01, max: 10, noNaN: true }),
  );
  fc.assert(
    fc.property(ends, fc.double({ min: -1.7, max: 1.7, noNaN: true }), fc.boolean(), ([low, by], u, isLog) => {
      const factor = range(low, low * by, { isLog });
      expect(codedValue(factor, u, levelAt(factor, u))).toBeCloseTo(u, 7);
    }),
    { seed: 5, numRuns: 300 },
  );
});

test("listed numbers are analysed by their distances, names by their index", () => {
  const levels = [1, 2, 5].map((number) => ({ json: number, label: String(number), number }));
  const listed: Factor = {
    id: "x",
    places: [],
    apply: "set",
    unit: "",
    scale: { kind: "listed", levels, isCategorical: false },
  };
  expect([0, 1, 2].map((u) => codedValue(listed, u, levelAt(listed, u)))).toEqual([-1, -0.5, 1]);
  const named: Factor = { ...listed, scale: { kind: "listed", levels, isCategorical: true } };
  expect([0, 1, 2].map((u) => codedValue(named, u, levelAt(named, u)))).toEqual([0, 1, 2]);
});
