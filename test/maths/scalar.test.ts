import * as fc from "fast-check";
import { expect, test } from "vitest";
import { goldenPeak, outdoes, peakOn, rootBetween, rootsInside } from "../../src/maths/scalar.ts";

// Closed-form values of elementary functions.
const ROOTS = [
  { name: "√2", f: (x: number) => x * x - 2, from: 1, to: 2, root: Math.SQRT2 },
  { name: "π of the sine", f: Math.sin, from: 3, to: 4, root: Math.PI },
  { name: "ln 3", f: (x: number) => Math.exp(x) - 3, from: 0, to: 2, root: Math.log(3) },
  // Source: the Dottie number, OEIS A003957, from memory.
  {
    name: "fixed point of the cosine",
    f: (x: number) => Math.cos(x) - x,
    from: 0,
    to: 1,
    root: 0.7390851332151607,
  },
  { name: "a root at the border", f: (x: number) => x, from: 0, to: 1, root: 0 },
] as const;

test.each(ROOTS)("root between the borders: $name", ({ f, from, to, root }) => {
  expect(rootBetween(f, from, to)).toBeCloseTo(root, 14);
});

test("every root of the cosine inside ten turns is found, in order", () => {
  const roots = rootsInside(Math.cos, 0, 20 * Math.PI, 64);
  expect(roots).toHaveLength(20);
  roots.forEach((root, k) => expect(root).toBeCloseTo((k + 0.5) * Math.PI, 9));
});

test("two roots that hide between samples are found by the dip they leave", () => {
  const roots = rootsInside((x) => (x - 0.501) * (x - 0.509), 0, 1, 32);
  expect(roots).toHaveLength(2);
  expect(roots[0]).toBeCloseTo(0.501, 9);
  expect(roots[1]).toBeCloseTo(0.509, 9);
});

test("a dip that stays above zero has no root, and borders are not inside", () => {
  expect(rootsInside((x) => (x - 0.505) ** 2 + 1e-6, 0, 1, 32)).toEqual([]);
  expect(rootsInside((x) => x * (1 - x), 0, 1, 32)).toEqual([]);
  expect(rootsInside(() => 0, 0, 1)).toEqual([]);
});

test("roots of a cubic with three random roots", () => {
  const place = fc.double({ min: 0.02, max: 0.98, noNaN: true });
  fc.assert(
    fc.property(place, place, place, (a, b, c) => {
      const expected = [a, b, c].toSorted((x, y) => x - y);
      const gaps = [(expected[1] ?? 0) - (expected[0] ?? 0), (expected[2] ?? 0) - (expected[1] ?? 0)];
      fc.pre(Math.min(...gaps) > 0.05);
      const roots = rootsInside((x) => (x - a) * (x - b) * (x - c), 0, 1);
      expect(roots).toHaveLength(3);
      roots.forEach((root, k) => expect(root).toBeCloseTo(expected[k] ?? Number.NaN, 9));
    }),
    { seed: 3 },
  );
});

test("largest value of a parabola, of a sine over many waves, and at the borders", () => {
  const parabola = goldenPeak((x) => 2 - (x - 0.3) ** 2, 0, 1);
  expect(parabola.value).toBeCloseTo(2, 14);
  expect(parabola.at).toBeCloseTo(0.3, 6);
  expect(peakOn((x) => Math.sin(x) + x / 100, 0, 4 * Math.PI, { samples: 32 }).at).toBeCloseTo(
    2 * Math.PI + Math.acos(-0.01),
    5,
  );
  expect(peakOn((x) => x, 0, 7)).toEqual({ at: 7, value: 7 });
  expect(peakOn((x) => -x, 2, 7)).toEqual({ at: 2, value: -2 });
  expect(peakOn(() => 5, 2, 7)).toEqual({ at: 2, value: 5 });
});

test("a peak lower than the floor is not refined, one that could pass it is", () => {
  let calls = 0;
  const hill = (x: number): number => {
    calls += 1;
    return -((x - 0.53) ** 2);
  };
  peakOn(hill, 0, 1, { floor: 1 });
  expect(calls).toBe(17);
  expect(peakOn(hill, 0, 1, { floor: -1e-4 }).value).toBeCloseTo(0, 14);
});

test("the first value outdoes nothing at all, and equals to rounding stay with the earlier one", () => {
  expect(outdoes(-3, Number.NEGATIVE_INFINITY)).toBe(true);
  expect(outdoes(Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY)).toBe(false);
  expect(outdoes(1 + 1e-12, 1)).toBe(false);
  expect(outdoes(1 + 1e-6, 1)).toBe(true);
  expect(outdoes(-1 + 1e-6, -1)).toBe(true);
});
