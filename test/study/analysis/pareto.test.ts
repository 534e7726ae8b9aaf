import * as fc from "fast-check";
import { expect, test } from "vitest";
import { paretoFront, type Wishes } from "../../../src/study/analysis/pareto.ts";

type Points = readonly (readonly (number | null)[])[];

function isWhole(point: readonly (number | null)[]): boolean {
  return point.every((value) => value !== null);
}

/** By comparing every pair. */
function plainFront(points: Points, wishes: Wishes): number[] {
  const gains = (a: readonly (number | null)[], b: readonly (number | null)[]): number[] =>
    wishes.map((wish, k) => (Number(b[k]) - Number(a[k])) * (wish === "lower" ? 1 : -1));
  return points.flatMap((point, place) => {
    const isBeaten = points.some((other) => {
      const gain = gains(other, point);
      return isWhole(other) && gain.every((g) => g >= 0) && gain.some((g) => g > 0);
    });
    return isWhole(point) && !isBeaten ? [place] : [];
  });
}

test.each([1, 2, 3, 4])(
  "the front over %i responses is that of comparing every pair, ties and lost runs included",
  (count) => {
    const value = fc.option(fc.integer({ min: 0, max: 6 }), { freq: 12 });
    const wish = fc.constantFrom("lower" as const, "raise" as const);
    fc.assert(
      fc.property(
        fc.array(fc.array(value, { minLength: count, maxLength: count }), { maxLength: 30 }),
        fc.array(wish, { minLength: count, maxLength: count }),
        (points, wishes) => {
          expect(paretoFront(points, wishes)).toEqual(plainFront(points, wishes));
        },
      ),
      { seed: 80 + count, numRuns: 150 },
    );
  },
);

test("equal best points all stay; what is as good in one and worse in the other goes", () => {
  const points = [
    [1, 5],
    [2, 3],
    [1, 5],
    [1, 6],
    [2, 3],
    [4, 1],
    [5, 1],
  ];
  expect(paretoFront(points, ["lower", "lower"])).toEqual([0, 1, 2, 4, 5]);
  expect(paretoFront([], ["lower"])).toEqual([]);
});

test("a long staircase is all front", () => {
  const points = Array.from({ length: 20000 }, (_, k) => [k, -k]);
  expect(paretoFront(points, ["lower", "lower"])).toHaveLength(20000);
});
