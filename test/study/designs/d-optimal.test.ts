import * as fc from "fast-check";
import { determinant, Matrix } from "ml-matrix";
import { describe, expect, test } from "vitest";
import { type DesignPoint, isRefusal, makeDesign } from "../../../src/study/designs/design.ts";
import { modelRow } from "../../../src/study/designs/model-rows.ts";
import { json } from "./published.ts";
import { continuous, FREE, figure, longer, made, refused, said } from "./sample.ts";

/** |X'X|^(1/p)/N, worked out anew. */
function efficiency(rows: readonly number[][]): number {
  const x = new Matrix(rows.map((row) => [...row]));
  const det = determinant(x.transpose().mmul(x));
  // Rounding of a singular matrix.
  return det < 1e-9 ? 0 : det ** (1 / x.columns) / x.rows;
}

describe("published optima", () => {
  // Model 1, X1, X2, X3, X1²; X1 on five levels, X2 and X3 on two. Printed: D 0.6825575, A 2.2 (as trace), G 1.
  test("NIST/SEMATECH e-Handbook 5.5.2.1 is reached", () => {
    const published = json("rsm_designs_and_efficiency.json") as { NIST_D_optimal_example: { D: number } };
    const factors = [
      { id: "X1", isCategorical: false },
      { id: "X2", levels: 2, isCategorical: true },
      { id: "X3", levels: 2, isCategorical: true },
    ];
    const design = made({ kind: "d-optimal", runs: 12, model: "squares", candidates: 5 }, factors);
    expect(figure(design, "D-efficiency")).toBeCloseTo(published.NIST_D_optimal_example.D, 7);
    expect(1 / figure(design, "A-efficiency")).toBeCloseTo(2.2, 10);
    expect(figure(design, "G-efficiency")).toBeCloseTo(1, 10);
    expect(new Set(design.points.map(([x1]) => x1))).toEqual(new Set([-1, 0, 1]));
  });

  test("nine runs for a quadratic model of two factors: the 3² factorial (Box, Draper 1971, from memory)", () => {
    const design = made({ kind: "d-optimal", runs: 9, model: "quadratic" }, continuous(2));
    const grid = made({ kind: "full-factorial", levels: 3 }, continuous(2));
    expect(design.points.map(String).toSorted()).toEqual(grid.points.map(String).toSorted());
  });

  test("six runs for it: as good as the saturated design of M. J. Box and N. R. Draper (1971, from memory)", () => {
    const a = (4 - Math.sqrt(13)) / 3;
    const published = [
      [-1, -1],
      [1, -1],
      [-1, 1],
      [-a, -a],
      [1, 3 * a],
      [3 * a, 1],
    ];
    const optimum = efficiency(published.map(modelRow(continuous(2), "quadratic")));
    const design = made({ kind: "d-optimal", runs: 6, model: "quadratic", candidates: 401 }, continuous(2));
    expect(figure(design, "D-efficiency") / optimum).toBeGreaterThan(0.9999);
    expect(figure(design, "D-efficiency") / optimum).toBeLessThan(1.0001);
  });

  test.each([
    [3, 4],
    [7, 8],
    [5, 8],
  ])("%i factors in %i runs: orthogonal, as no determinant is larger than Hadamard's", (factors, runs) => {
    const design = made({ kind: "d-optimal", runs, model: "linear" }, continuous(factors));
    expect(figure(design, "D-efficiency")).toBeCloseTo(1, 10);
    expect(figure(design, "largest correlation between factors")).toBeCloseTo(0, 10);
  });

  test("levels 2, 3 and 3 in 18 runs: as good as an orthogonal array, which exists (L18)", () => {
    const factors = [2, 3, 3].map((levels, k) => ({ id: `f${k}`, levels, isCategorical: true }));
    const design = made({ kind: "d-optimal", runs: 18, model: "linear" }, factors);
    expect(figure(design, "D-efficiency")).toBeCloseTo(1, 10);
  });
});

/** The best efficiency of all multisets of allowed points. */
function best(rows: readonly number[][], runs: number): number {
  let largest = 0;
  const choose = (from: number, chosen: readonly number[][]): void => {
    if (chosen.length === runs) largest = Math.max(largest, efficiency(chosen));
    else for (let k = from; k < rows.length; k += 1) choose(k, [...chosen, rows[k] ?? []]);
  };
  choose(0, []);
  return largest;
}

describe("against every choice of points (brute force)", () => {
  const GRID: readonly DesignPoint[] = [-1, 0, 1].flatMap((x) => [0, 1, 2].map((y) => [x, y]));
  const FACTORS = [
    { id: "x", isCategorical: false },
    { id: "y", levels: 3, isCategorical: false },
  ];

  test("the exchange finds the best, on random regions", () => {
    let compared = 0;
    fc.assert(
      fc.property(
        fc.array(fc.boolean(), { minLength: 9, maxLength: 9 }),
        fc.constantFrom("linear", "squares"),
        fc.integer({ min: 5, max: 6 }),
        (mask, model, runs) => {
          const allowed = GRID.filter((_, k) => mask[k]);
          const isAllowed = (point: DesignPoint): boolean => allowed.some((other) => String(other) === String(point));
          const optimum = best(allowed.map(modelRow(FACTORS, model)), runs);
          const found = makeDesign({ kind: "d-optimal", runs, model, candidates: 3 }, FACTORS, { seed: 2, isAllowed });
          const reached = isRefusal(found) ? 0 : figure(found, "D-efficiency");
          compared += Number(reached > 0);
          expect(reached).toBeCloseTo(optimum, 6);
          expect((isRefusal(found) ? [] : found.points).filter((point) => !isAllowed(point))).toEqual([]);
        },
      ),
      { seed: 7, numRuns: 25 },
    );
    expect(compared).toBeGreaterThan(10);
  });
});

test("no single move within the constraints makes a found design better", () => {
  const settings = { seed: 3, isAllowed: ([a = 0, b = 0]: DesignPoint) => a + 2 * b <= 0.9 };
  const factors = [...continuous(2), { id: "frame", levels: 3, isCategorical: true }];
  const { points } = made({ kind: "d-optimal", runs: 14, model: "quadratic" }, factors, settings);
  const expand = modelRow(factors, "quadratic");
  const reached = efficiency(points.map(expand));
  const values = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10].map((k) => k / 5 - 1);
  let moves = 0;
  points.forEach((point, i) => {
    point.forEach((_, k) => {
      for (const value of k === 2 ? [0, 1, 2] : values) {
        const moved = points.map((other, j) => (j === i ? other.map((x, f) => (f === k ? value : x)) : other));
        if (!settings.isAllowed(moved[i] ?? [])) continue;
        moves += 1;
        expect(efficiency(moved.map(expand))).toBeLessThan(reached * (1 + 1e-6));
      }
    });
  });
  expect(moves).toBeGreaterThan(200);
  expect(points.filter((point) => !settings.isAllowed(point))).toEqual([]);
});

describe("a longer design", () => {
  test("keeps the runs of any design and places the new ones well", () => {
    const box = made({ kind: "box-behnken" }, continuous(3));
    const request = { kind: "d-optimal", runs: 13, model: "quadratic" } as const;
    const grown = longer(box, request, continuous(3), { more: 5 });
    expect(grown.points.slice(0, 13)).toEqual(box.points);
    expect(grown.points.length).toBe(18);
    const before = figure(box, "D-efficiency, full quadratic model");
    expect(figure(grown, "D-efficiency")).toBeGreaterThan(before);
    // Corners are what a Box-Behnken design lacks.
    expect(grown.points.slice(13).every((point) => point.every((x) => Math.abs(x) === 1))).toBe(true);
  });
});

describe("wishes that cannot be met", () => {
  test("fewer runs than coefficients: the models that fit are named", () => {
    const { refused: why, possible } = refused(
      makeDesign({ kind: "d-optimal", runs: 8, model: "quadratic" }, continuous(3), FREE),
    );
    expect(why).toMatch(/10 coefficients cannot be found from 8 runs/);
    expect(possible).toEqual([
      "10 runs or more",
      "model: interactions, of 7 coefficients",
      "model: squares, of 7 coefficients",
      "model: linear, of 4 coefficients",
    ]);
  });

  test("constraints that leave a line, or nothing", () => {
    const line = { seed: 1, isAllowed: ([a = 0, b = 0]: DesignPoint) => Math.abs(a - b) < 1e-9 };
    expect(refused(makeDesign({ kind: "d-optimal", runs: 8, model: "linear" }, continuous(2), line)).refused).toMatch(
      /cannot be estimated/,
    );
    const never = { seed: 1, isAllowed: () => false };
    expect(refused(makeDesign({ kind: "d-optimal", runs: 8, model: "linear" }, continuous(2), never)).refused).toMatch(
      /none of 2000/,
    );
  });
});

test("the model is said in words, with its coefficients", () => {
  const design = made({ kind: "d-optimal", runs: 12, model: "interactions" }, [
    ...continuous(2),
    { id: "frame", levels: 3, isCategorical: true },
  ]);
  expect(said(design, "model")).toBe("main effects and two-factor interactions");
  // 1 + (1 + 1 + 2) + (1 + 2 + 2)
  expect(figure(design, "coefficients")).toBe(10);
});
