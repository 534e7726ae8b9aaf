import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { canonicalOf } from "../../../src/study/analysis/canonical.ts";
import type { Factor } from "../../../src/study/analysis/factor.ts";
import { fitModel } from "../../../src/study/analysis/fit-model.ts";
import { ridgePath, steepestPath } from "../../../src/study/analysis/ridge-path.ts";
import { heightAt, type Surface, slopesOf, surfaceOf } from "../../../src/study/analysis/second-order.ts";
import { termOf, termsOf } from "../../../src/study/analysis/term.ts";
import { canonical, chemreact, chemreactFirst, exhaust, helicopter } from "./published-surfaces.ts";

function surfaceWith(slopes: number[], bends: number[][]): Surface {
  const axes = slopes.map((_, k) => ({ id: `x${k}`, kind: "continuous", low: -1, high: 1 }) as const);
  return { axes, constant: 3, slopes, bends };
}

describe("published surfaces", () => {
  test("their kinds: a maximum, a saddle, a ridge (Lenth 2009)", () => {
    expect(canonical(chemreact())).toMatchObject({ kind: "maximum", flat: 0, stationary: { isInside: true } });
    expect(canonical(helicopter()).across).toBe("saddle");
    expect(canonical(exhaust())).toMatchObject({
      kind: "ridge",
      across: "maximum",
      flat: 1,
      stationary: { isInside: false },
      onRidge: { isInside: true },
      remarks: [{ kind: "near-ridge", directions: 1 }],
    });
  });

  test("steepest ascent of the chemical reactor's first block (Lenth 2009)", () => {
    const slopes = slopesOf(chemreactFirst());
    if ("absent" in slopes) throw new Error(slopes.absent);
    const path = steepestPath(slopes, "raise", [0, 1, 2]);
    if ("absent" in path) throw new Error(path.absent);
    expect(path[1]?.coded[0]).toBeCloseTo(0.8137335, 7);
    expect(path[1]?.coded[1]).toBeCloseTo(0.5812382, 7);
    expect(path[2]?.natural[0]).toBeCloseTo(85 + 5 * 2 * 0.8137335, 5);
    expect(path[0]?.natural).toEqual([85, 175]);
    const down = steepestPath(slopes, "lower", [1]);
    expect("absent" in down ? 0 : down[0]?.coded[0]).toBeCloseTo(-0.8137335, 7);
  });
});

describe("surfaces made up", () => {
  const known: readonly [string, Surface, number[]][] = [
    [
      "minimum",
      surfaceWith(
        [-2, 4],
        [
          [1, 0],
          [0, 2],
        ],
      ),
      [1, -1],
    ],
    [
      "maximum",
      surfaceWith(
        [1, 0],
        [
          [-2, 1],
          [1, -2],
        ],
      ),
      [1 / 3, 1 / 6],
    ],
    [
      "saddle",
      surfaceWith(
        [2, 2],
        [
          [1, 0],
          [0, -1],
        ],
      ),
      [-1, 1],
    ],
  ];

  test.each(known)("a %s is one, and level where its slopes vanish", (kind, surface, level) => {
    const { stationary, onRidge, ...rest } = canonicalOf(surface);
    expect(rest).toMatchObject({ kind, across: kind, flat: 0, remarks: [] });
    if ("absent" in stationary) throw new Error(stationary.absent);
    level.forEach((x, k) => expect(stationary.coded[k]).toBeCloseTo(x, 12));
    expect(onRidge).toEqual(stationary);
    const step = 1e-4;
    for (const move of [
      [step, 0],
      [0, step],
    ]) {
      const [ahead, behind] = [1, -1].map((sign) => level.map((x, k) => x + sign * (move[k] ?? 0)));
      expect(Math.abs(heightAt(surface, ahead ?? []) - heightAt(surface, behind ?? []))).toBeLessThan(1e-12);
    }
  });

  test("a trough has no level point of its own, but one on the ridge; a plane has no bend at all", () => {
    const trough = canonicalOf(
      surfaceWith(
        [0, 2],
        [
          [0, 0],
          [0, 1],
        ],
      ),
    );
    expect(trough).toMatchObject({ kind: "ridge", across: "minimum", flat: 1, stationary: { absent: "singular" } });
    expect(trough.onRidge.coded.map((x) => x + 0)).toEqual([0, -1]);
    expect(
      canonicalOf(
        surfaceWith(
          [1, 1],
          [
            [0, 0],
            [0, 0],
          ],
        ),
      ),
    ).toMatchObject({
      kind: "ridge",
      across: "flat",
      flat: 2,
      stationary: { absent: "singular" },
    });
  });

  test("no point of a circle is better than that of the ridge path", () => {
    const coordinate = fc.integer({ min: -20, max: 20 });
    fc.assert(
      fc.property(
        fc.tuple(coordinate, coordinate),
        fc.tuple(coordinate, coordinate, coordinate),
        fc.constantFrom("lower" as const, "raise" as const),
        fc.constantFrom(0.25, 1, 3),
        (slopes, [a, b, c], wish, radius) => {
          const surface = surfaceWith(slopes, [
            [a, b],
            [b, c],
          ]);
          const [point] = ridgePath(surface, wish, [radius]);
          expect(Math.hypot(...(point?.coded ?? []))).toBeCloseTo(radius, 8);
          const heights = Array.from({ length: 720 }, (_, k) => {
            const angle = (k * Math.PI) / 360;
            return heightAt(surface, [radius * Math.cos(angle), radius * Math.sin(angle)]);
          });
          const found = point?.height ?? Number.NaN;
          const lead = wish === "raise" ? found - Math.max(...heights) : Math.min(...heights) - found;
          expect(lead).toBeGreaterThanOrEqual(-1e-7);
        },
      ),
      { seed: 51, numRuns: 300 },
    );
  });

  test("without a slope along its crest a saddle is climbed along it all the same", () => {
    const surface = surfaceWith(
      [0, 1],
      [
        [2, 0],
        [0, -1],
      ],
    );
    const [centre, point] = ridgePath(surface, "raise", [0, 1]);
    expect(centre?.coded).toEqual([0, 0]);
    expect(centre?.height).toBe(3);
    expect(Math.abs(point?.coded[0] ?? 0)).toBeGreaterThan(0.9);
    expect(point?.coded[1]).toBeCloseTo(1 / 6, 9);
  });
});

describe("surfaces there are not", () => {
  const factors: Factor[] = [
    { id: "A", kind: "continuous", low: 0, high: 4 },
    { id: "motor", kind: "categorical", levels: ["one", "two"] },
  ];
  const runs = [0, 1, 2, 3, 4, 0, 1, 2, 3, 4].map((a, k) => [a, k < 5 ? "one" : "two"]);
  const response = [4, 1, 0, 1, 4, 9, 4, 1, 0, 1];

  test("levels of a categorical factor are taken at their mean, unless slopes hang on them", () => {
    const terms = [...termsOf(factors, "linear"), termOf(["A", "A"])];
    expect(surfaceOf(fitModel({ factors, terms, runs, response }))).toMatchObject({ axes: [{ id: "A" }] });
    const crossed = fitModel({ factors, terms: termsOf(factors, "quadratic"), runs, response });
    expect(surfaceOf(crossed)).toEqual({ absent: "slopes-differ" });
    expect(slopesOf(crossed)).toEqual({ absent: "slopes-differ" });
  });

  test("a model without squares, or with squares aliased, is no surface", () => {
    const linear = fitModel({ factors, terms: termsOf(factors, "linear"), runs, response });
    expect(surfaceOf(linear)).toEqual({ absent: "terms-missing" });
    const ends = { runs: runs.filter(([a]) => a !== 1 && a !== 2 && a !== 3), response: [4, 4, 9, 1] };
    const aliased = fitModel({ factors, terms: [...termsOf(factors, "linear"), termOf(["A", "A"])], ...ends });
    expect(surfaceOf(aliased)).toEqual({ absent: "terms-missing" });
  });

  test("a level plane has no steepest path", () => {
    expect(steepestPath({ axes: [], slopes: [0, 0] }, "raise", [1])).toEqual({ absent: "no-slope" });
  });
});
