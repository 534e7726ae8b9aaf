import * as fc from "fast-check";
import { expect, test } from "vitest";
import { independentColumns } from "../../../src/study/analysis/independent-columns.ts";
import { leastSquares } from "../../../src/study/analysis/least-squares.ts";
import { preciseDot, preciseSum, squaresAboutMean } from "../../../src/study/analysis/precise-sum.ts";
import { exactLeastSquares } from "./exact-least-squares.ts";
import { agreeingDigits, referenceColumns } from "./reference.ts";

function powers(x: readonly number[], degree: number): number[][] {
  return Array.from({ length: degree + 1 }, (_, k) => x.map((value) => value ** k));
}

function leastDigits(found: readonly number[], exact: readonly number[]): number {
  expect(found).toHaveLength(exact.length);
  return Math.min(...exact.map((value, k) => agreeingDigits(found[k], value)));
}

test("the exact oracle solves a case worked out by hand: 56/77 of NoInt2 (NIST StRD, from memory)", () => {
  expect(exactLeastSquares([[4, 5, 6]], [3, 4, 4])).toEqual([56 / 77]);
  expect(leastSquares([[4, 5, 6]], [3, 4, 4]).coefficients[0]).toBe(56 / 77);
  expect(exactLeastSquares(powers([0.1, 0.2, 0.3, 0.7], 1), [1, 2, 4, 3]).map((value) => value.toFixed(6))).toEqual([
    "1.638554",
    "2.650602",
  ]);
});

test("polynomials of degree 1 to 7 meet exact rational arithmetic to 12 digits", () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 7 }),
      fc.uniqueArray(fc.integer({ min: -400, max: 400 }), { minLength: 12, maxLength: 20 }),
      fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 20, maxLength: 20 }),
      (degree, places, heights) => {
        const columns = powers(
          places.map((place) => place / 32),
          degree,
        );
        const response = places.map((_, k) => (heights[k] ?? 0) / 8);
        const exact = exactLeastSquares(columns, response);
        const scale = Math.max(...exact.map(Math.abs), 1e-300);
        const found = leastSquares(columns, response).coefficients;
        // Coefficients far below the others cannot be known to all their digits.
        exact.forEach((value, k) => {
          const isSmall = Math.abs(value) <= 1e-9 * scale;
          expect(isSmall || agreeingDigits(found[k], value) > 12).toBe(true);
        });
      },
    ),
    { seed: 11, numRuns: 60 },
  );
});

test("a polynomial of degree 10 away from zero, as hard as NIST's Filip, meets exact arithmetic to 13 digits", () => {
  const x = Array.from({ length: 82 }, (_, k) => -6 - (k * 12) / 256);
  const y = x.map((value, k) => Math.round(1e4 * (0.8 + 0.1 * Math.sin(value)) + ((k * 37) % 11)) / 1e4);
  const columns = powers(x, 10);
  expect(independentColumns(columns).dependent).toEqual([]);
  expect(leastDigits(leastSquares(columns, y).coefficients, exactLeastSquares(columns, y))).toBeGreaterThan(13);
});

test("Wampler4 and Wampler5 (NIST StRD: Wampler1 with Wampler3's deviations 100 and 10,000 times as large) give ones", () => {
  const { x = [], y = [] } = referenceColumns("regression/Wampler3.csv");
  const plain = (referenceColumns("regression/Wampler1.csv")["y"] ?? []).map(Number);
  for (const times of [100, 10000]) {
    const response = y.map((value, k) => (plain[k] ?? 0) + times * (Number(value) - (plain[k] ?? 0)));
    const found = leastSquares(powers(x.map(Number), 5), response);
    expect(leastDigits(found.coefficients, [1, 1, 1, 1, 1, 1])).toBeGreaterThan(10);
    // Residual SD 236014.502379268 and 23601450.2379268: 100 and 10,000 times that of Wampler3.
    const sd = Math.sqrt(preciseDot(found.residuals, found.residuals) / 15);
    expect(agreeingDigits(sd, 2360.14502379268 * times)).toBeGreaterThan(13);
  }
});

test("residuals stand upright on every column and directions are orthonormal", () => {
  fc.assert(
    fc.property(
      fc.array(fc.array(fc.double({ min: -100, max: 100, noNaN: true }), { minLength: 9, maxLength: 9 }), {
        minLength: 2,
        maxLength: 5,
      }),
      (columns) => {
        const { kept } = independentColumns(columns.slice(1));
        const basis = kept.map((place) => columns[place + 1] ?? []);
        const { residuals, directions } = leastSquares(basis, columns[0] ?? []);
        for (const column of basis) {
          const length = Math.hypot(...column) * Math.hypot(...(columns[0] ?? []));
          expect(Math.abs(preciseDot(column, residuals))).toBeLessThanOrEqual(1e-12 * length);
        }
        directions.forEach((a, i) => {
          directions.forEach((b, j) => expect(preciseDot(a, b)).toBeCloseTo(i === j ? 1 : 0, 12));
        });
      },
    ),
    { seed: 12, numRuns: 100 },
  );
});

test("a column that others make up is found with its shares, whatever its scale", () => {
  const a = [1, 2, 3, 4, 5];
  const b = [1, -1, 1, -1, 1];
  const c = a.map((value, k) => 1e6 * (value - 3 * (b[k] ?? 0)));
  const { kept, dependent } = independentColumns([a, b, c, [0, 0, 0, 0, 0], [1, 4, 9, 16, 25]]);
  expect(kept).toEqual([0, 1, 4]);
  expect(dependent.map(({ place }) => place)).toEqual([2, 3]);
  expect(dependent[0]?.of.map(({ place }) => place)).toEqual([0, 1]);
  expect(dependent[0]?.of[0]?.share).toBeCloseTo(1e6, 6);
  expect(dependent[0]?.of[1]?.share).toBeCloseTo(-3e6, 6);
  expect(dependent[1]?.of).toEqual([]);
});

test("more columns than runs: what goes beyond them is dependent", () => {
  const { kept, dependent } = independentColumns([
    [1, 1],
    [1, 2],
    [3, 9],
  ]);
  expect(kept).toEqual([0, 1]);
  expect(dependent[0]?.of.map(({ share }) => share)).toEqual([-3, 6]);
});

test("sums keep what plain ones lose", () => {
  expect(preciseSum([1e16, 1, -1e16])).toBe(1);
  expect(preciseDot([1e8 + 1, -1], [1e8 - 1, 1e16])).toBe(-1);
  expect(squaresAboutMean([1e12 + 0.25, 1e12 + 0.5, 1e12 + 0.75])).toBe(0.125);
  expect(squaresAboutMean([])).toBe(0);
  expect(squaresAboutMean([0.1, 0.1, 0.1])).toBe(0);
});
