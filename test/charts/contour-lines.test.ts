import * as fc from "fast-check";
import { expect, test } from "vitest";
import { contourLines } from "../../src/charts/contour-lines.ts";
import { spaced } from "./sample-charts.ts";

const axis = spaced(-1, 1, 41);
const fieldOf = (f: (x: number, y: number) => number) => ({
  xs: axis,
  ys: axis,
  rows: axis.map((y) => axis.map((x) => f(x, y))),
});

test("the contour of a distance is a circle: every end on it, all pieces together as long as it", () => {
  const pieces = contourLines(
    fieldOf((x, y) => Math.hypot(x, y)),
    0.7,
  );
  expect(pieces.length).toBeGreaterThan(50);
  const radii = pieces.flat().map(([x, y]) => Math.hypot(x, y));
  expect(Math.max(...radii.map((radius) => Math.abs(radius - 0.7)))).toBeLessThan(1e-3);
  const length = pieces.reduce((sum, [from, to]) => {
    return sum + Math.hypot((to?.[0] ?? 0) - (from?.[0] ?? 0), (to?.[1] ?? 0) - (from?.[1] ?? 0));
  }, 0);
  expect(length).toBeCloseTo(2 * Math.PI * 0.7, 2);
});

test("a plane has a straight contour, exactly in its place", () => {
  fc.assert(
    fc.property(fc.double({ min: -0.9, max: 0.9, noNaN: true }), (level) => {
      const ends = contourLines(
        fieldOf((x) => x),
        level,
      ).flat();
      expect(ends.length).toBeGreaterThanOrEqual(80);
      for (const [x] of ends) expect(x).toBeCloseTo(level, 12);
    }),
    { seed: 5, numRuns: 50 },
  );
});

/** The contour at 0 in one square, from (0, 0) to (1, 1), in thirds. */
function inSquare(rows: readonly (readonly number[])[]): number[][][] {
  const pieces = contourLines({ xs: [0, 1], ys: [0, 1], rows }, 0);
  return pieces.map((piece) => piece.map((place) => place.map((share) => Number((3 * share).toFixed(9)))));
}

test("a saddle is cut into two pieces that do not cross, by the mean of its corners", () => {
  // The mean is below: the high corners, lower left and upper right, are cut off.
  const low = inSquare([
    [1, -2],
    [-2, 1],
  ]);
  expect(low.map((piece) => piece.join(" to "))).toEqual(["0,1 to 1,0", "3,2 to 2,3"]);
  // The mean is above: the low corners, lower right and upper left, are cut off.
  const high = inSquare([
    [2, -1],
    [-1, 2],
  ]);
  expect(high.map((piece) => piece.join(" to "))).toEqual(["2,0 to 3,1", "1,3 to 0,2"]);
});

test("nothing is drawn where a corner is not known, nor at a level that is never reached", () => {
  expect(
    contourLines(
      {
        xs: [0, 1],
        ys: [0, 1],
        rows: [
          [0, 1],
          [0, null],
        ],
      },
      0.5,
    ),
  ).toEqual([]);
  expect(
    contourLines(
      fieldOf(() => 3),
      4,
    ),
  ).toEqual([]);
});
