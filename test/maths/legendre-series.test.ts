import * as fc from "fast-check";
import { expect, test } from "vitest";
import { enclosureOf } from "../../src/maths/legendre-series.ts";
import { GAUSS_16 } from "../../src/maths/quadrature.ts";

test("bounds hold what a polynomial takes anywhere on the interval; the ends are its values there", () => {
  fc.assert(
    fc.property(fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: 1, maxLength: 14 }), (c) => {
      const f = (x: number): number => c.reduceRight((sum, value) => sum * x + value, 0);
      const { least, most, first, last } = enclosureOf(GAUSS_16.nodes.map(f));
      expect(first).toBeCloseTo(f(-1), 9);
      expect(last).toBeCloseTo(f(1), 9);
      for (let k = 0; k <= 200; k++) {
        expect(f(-1 + k / 100)).toBeLessThanOrEqual(most + 1e-9);
        expect(f(-1 + k / 100)).toBeGreaterThanOrEqual(least - 1e-9);
      }
    }),
    { seed: 11, numRuns: 300 },
  );
});

test("a straight line is bounded by its ends", () => {
  const { least, most } = enclosureOf(GAUSS_16.nodes.map((x) => 3 + 2 * x));
  expect(least).toBeCloseTo(1, 10);
  expect(most).toBeCloseTo(5, 10);
});

test("waves of a quarter turn keep within the bounds, and near them", () => {
  for (let phase = 0; phase < 6.3; phase += 0.1) {
    const f = (x: number): number => Math.sin((Math.PI / 4) * x + phase) ** 2 + Math.cos((Math.PI / 4) * x + phase);
    const { least, most } = enclosureOf(GAUSS_16.nodes.map(f));
    const seen = Array.from({ length: 201 }, (_, k) => f(-1 + k / 100));
    expect(most).toBeGreaterThanOrEqual(Math.max(...seen) - 1e-12);
    expect(least).toBeLessThanOrEqual(Math.min(...seen) + 1e-12);
    expect(most - least).toBeLessThan(4);
  }
});
