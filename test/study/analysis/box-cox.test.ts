import { expect, test } from "vitest";
import { boxCox, powerOf } from "../../../src/study/analysis/box-cox.ts";
import { MEAN, termOf, termsOf } from "../../../src/study/analysis/term.ts";
import { asCoded, twoLevel } from "./published-fits.ts";

test("ceramic strength: powers about 0.2 are likeliest (NIST/SEMATECH e-Handbook 5.4.7.1)", () => {
  const products = ["rate", "grit", "direction"].map((id) => ["speed", id]);
  const terms = [
    ...["speed", "rate", "grit", "direction", "batch"].map((id) => [id]),
    ...products,
    ["rate", "direction"],
    ["grit", "direction"],
    ["speed", "rate", "direction"],
  ].map(termOf);
  const found = boxCox({ ...twoLevel("factorial/nist_ceramic_2^5.csv"), terms: [MEAN, ...terms] });
  if ("absent" in found) throw new Error(found.absent);
  expect(found.profile).toHaveLength(81);
  expect(Math.abs(found.best.lambda - 0.2)).toBeLessThanOrEqual(0.1);
});

test("what grows by factors is a matter of its logarithm, what grows by squares of its root", () => {
  const factors = asCoded(["x"]);
  const runs = Array.from({ length: 21 }, (_, k) => [(k - 10) / 10]);
  const likeliest = (grow: (x: number) => number): number => {
    const response = runs.map(([x = 0], k) => grow(3 + 2 * x + 0.01 * ((k * 7) % 5)));
    const found = boxCox({ factors, runs, response, terms: termsOf(factors, "linear") });
    if ("absent" in found) throw new Error(found.absent);
    return found.best.lambda;
  };
  expect(likeliest(Math.exp)).toBeCloseTo(0, 9);
  expect(likeliest((y) => y * y)).toBeCloseTo(0.5, 9);
  expect(likeliest((y) => y)).toBeCloseTo(1, 9);
});

test("the power 1 only moves values, powers near 0 are near the logarithm", () => {
  expect(powerOf([1, null, 3], 1)).toEqual([expect.closeTo(0, 12), null, expect.closeTo(2, 12)]);
  const [log, near] = [powerOf([2, 8], 0), powerOf([2, 8], 1e-9)];
  log.forEach((value, k) => expect(near[k]).toBeCloseTo(value ?? 0, 7));
});

test("there is no power of values that are not above zero, nor of a model without error", () => {
  const factors = asCoded(["x"]);
  const terms = termsOf(factors, "linear");
  const asked = (response: (number | null)[]): unknown =>
    boxCox({ factors, terms, runs: response.map((_, k) => [k]), response });
  expect(asked([1, 0, 2])).toEqual({ absent: "power-of-negatives" });
  expect(asked([1, 2])).toEqual({ absent: "no-error-freedom" });
  expect(asked([1, 2, 3])).toEqual({ absent: "no-error" });
  expect(asked([null])).toEqual({ absent: "no-runs" });
});
