import * as fc from "fast-check";
import { expect, test } from "vitest";
import { coarseHull, convexHull, type Point } from "../../src/maths/hull.ts";

test("hull of a square with points inside, on an edge and doubled is its four corners, counter-clockwise", () => {
  const points = [
    [0, 0],
    [1, 0],
    [1, 1],
    [0, 1],
    [0.5, 0.5],
    [0.5, 0],
    [1, 0.25],
    [0, 0],
    [1, 1],
  ].map(([x = 0, y = 0]) => ({ x, y }));
  expect(convexHull(points)).toEqual([
    { x: 0, y: 0 },
    { x: 1, y: 0 },
    { x: 1, y: 1 },
    { x: 0, y: 1 },
  ]);
});

test("points on one line leave its two ends", () => {
  expect(convexHull([2, 0, 1, 3].map((x) => ({ x, y: 2 * x })))).toEqual([
    { x: 0, y: 0 },
    { x: 3, y: 6 },
  ]);
});

const points = fc.array(fc.record({ x: fc.integer({ min: -50, max: 50 }), y: fc.integer({ min: -50, max: 50 }) }), {
  minLength: 3,
  maxLength: 40,
});
const angle = fc.double({ min: 0, max: 2 * Math.PI, noNaN: true });

function reach(hull: readonly Point[], direction: number): number {
  return Math.max(...hull.map(({ x, y }) => x * Math.cos(direction) + y * Math.sin(direction)));
}

test("a hull reaches exactly as far as its points in every direction, and has no vertex that is not theirs", () => {
  fc.assert(
    fc.property(points, angle, (cloud, direction) => {
      const hull = convexHull(cloud);
      expect(reach(hull, direction)).toBeCloseTo(reach(cloud, direction), 9);
      for (const vertex of hull) expect(cloud).toContainEqual(vertex);
      hull.forEach((a, k) => {
        const b = hull[(k + 1) % hull.length] ?? a;
        const c = hull[(k + 2) % hull.length] ?? a;
        const turn = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
        expect(hull.length < 3 || turn > 0).toBe(true);
      });
    }),
    { seed: 23, numRuns: 300 },
  );
});

test("a coarse hull lies inside the hull, and misses it by little", () => {
  const circle = Array.from({ length: 2000 }, (_, k) => ({
    x: Math.cos((2 * Math.PI * k) / 2000),
    y: Math.sin((2 * Math.PI * k) / 2000),
  }));
  const coarse = coarseHull(circle, 3e-4);
  expect(coarse.length).toBeLessThan(200);
  let least = 1;
  for (let direction = 0; direction < 6.3; direction += 0.01) {
    const found = reach(coarse, direction);
    expect(found).toBeLessThanOrEqual(1 + 1e-15);
    least = Math.min(least, found);
  }
  expect(least).toBeGreaterThan(1 - 1e-3);
  expect(coarseHull(circle, 0)).toEqual(convexHull(circle));
});

test("the tip of a sliver stays, however thin", () => {
  const tips = [1e-3, 1e-9, 1e-15].map((width) => {
    const sliver = Array.from({ length: 9 }, (_, k) => ({ x: -k, y: 10 - k }));
    const beside = sliver.map(({ x, y }, k) => ({ x, y: y + width * (1 + (k % 2)) }));
    return Math.min(...coarseHull([...sliver, ...beside], 3e-4).map(({ x }) => x));
  });
  expect(tips).toEqual([-8, -8, -8]);
});
