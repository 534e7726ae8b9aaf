import { expect, test } from "vitest";
import {
  fTail,
  standardNormalQuantile,
  studentQuantile,
  studentTails,
} from "../../../src/study/analysis/distributions.ts";

test.each([
  [0.975, 1, 12.706],
  [0.975, 10, 2.228],
  [0.95, 30, 1.697],
  [0.995, 5, 4.032],
])("Student's t of share %d and %i degrees of freedom (table of the e-Handbook 1.3.6.7.2)", (share, freedom, t) => {
  expect(studentQuantile(share, freedom)).toBeCloseTo(t, 3);
  expect(studentTails(studentQuantile(share, freedom), freedom)).toBeCloseTo(2 * (1 - share), 9);
  expect(studentTails(-t, freedom)).toBe(studentTails(t, freedom));
});

test.each([
  [3.708, 3, 10, 0.05],
  [5.05, 5, 5, 0.05],
  [4.431, 4, 20, 0.01],
  [5.987, 1, 6, 0.05],
])("F tail of %d at %i and %i degrees of freedom (table of the e-Handbook 1.3.6.7.3)", (f, above, below, tail) => {
  expect(fTail(f, { above, below })).toBeCloseTo(tail, 4);
});

test("tails far out keep their digits: with one degree of freedom F is t²", () => {
  for (const t of [0.5, 3, 40, 1e4]) {
    const tails = studentTails(t, 20);
    expect(tails).toBeGreaterThan(0);
    expect(fTail(t * t, { above: 1, below: 20 }) / tails).toBeCloseTo(1, 6);
  }
  expect(fTail(0, { above: 3, below: 4 })).toBe(1);
});

test("tails and quantiles of few or broken degrees of freedom agree with SciPy 1.17.1 (scipy.stats)", () => {
  expect(fTail(607.2, { above: 6, below: 7 }) / 3.810514135459232e-9 - 1).toBeCloseTo(0, 8);
  expect(fTail(5436385.54, { above: 1, below: 34 }) / 4.654040864083834e-90 - 1).toBeCloseTo(0, 8);
  expect(studentTails(16.5, 7) / 7.329559270757852e-7 - 1).toBeCloseTo(0, 8);
  expect(studentQuantile(0.99829, 10 / 3) / 7.473092075440304 - 1).toBeCloseTo(0, 8);
  expect(studentQuantile(0.9999, 2 / 3) / 173861.2294815229 - 1).toBeCloseTo(0, 8);
});

test("normal quantiles (table: 1.95996, 2.57583)", () => {
  expect(standardNormalQuantile(0.975)).toBeCloseTo(1.95996, 5);
  expect(standardNormalQuantile(0.995)).toBeCloseTo(2.57583, 5);
});
