import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { Core } from "../../src/solve/core.ts";
import { limitEnvelopes, turnAlongEnvelopes } from "../../src/solve/envelopes.ts";
import { at } from "./brute-force.ts";

/** A row of an envelope: its multiplier, its scale, where a step would go and how far it reaches. */
interface Row {
  readonly weight: number;
  readonly scale: number;
  readonly direction: number;
  readonly reach: number;
}

/** Evenly spread, in hundredths: doubles are mostly drawn next to zero. */
const number = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: Math.round(100 * min), max: Math.round(100 * max) }).map((hundredths) => hundredths / 100);

const rows = fc.array(
  fc
    .record({
      weight: fc.oneof(fc.constant(0), number(0.1, 50)),
      scale: number(0.1, 5),
      direction: number(-3, 3),
      reach: number(0.05, 4),
    })
    // Where a multiplier is zero, nothing points below it.
    .map((row): Row => (row.weight === 0 ? { ...row, direction: Math.abs(row.direction) } : row)),
  { minLength: 1, maxLength: 6 },
);

/** One envelope over some rows and nothing else; only what turning reads. */
function coreWith(own: readonly Row[], cost: number): Core {
  return {
    model: { envelopes: [{ id: "energy", cost, rows: [] }] },
    linkCount: 0,
    caps: [],
    rows: own.map(({ scale }) => ({ envelope: 0, scale })),
  } as unknown as Core;
}

const sumOf = (own: readonly Row[]): number => own.reduce((sum, { weight, scale }) => sum + weight / scale, 0);

/** The direction turned, by row. */
function turned(own: readonly Row[], cost: number): number[] {
  const direction = Float64Array.from(own, (row) => row.direction);
  const weights = Float64Array.from(own, ({ weight }) => weight);
  turnAlongEnvelopes(coreWith(own, cost), weights, { direction, reach: Float64Array.from(own, ({ reach }) => reach) });
  return [...direction];
}

/** How fast the sum of the multipliers proper grows along a direction. */
const growth = (own: readonly Row[], direction: readonly number[]): number =>
  own.reduce((sum, { reach, scale }, k) => sum + (reach * at(direction, k)) / scale, 0);

/** Distance in the measure of the reaches. */
const distance = (own: readonly Row[], one: readonly number[]): number =>
  own.reduce((sum, { reach, direction }, k) => sum + reach * (at(one, k) - direction) ** 2, 0);

test("with room left in an envelope, nothing is turned", () => {
  fc.assert(
    fc.property(rows, (own) => {
      expect(turned(own, 1.01 * sumOf(own) + 1)).toEqual(own.map(({ direction }) => direction));
    }),
  );
});

test("of all directions along a full envelope the nearest is taken: none that is tried is nearer (own oracle)", () => {
  let changed = 0;
  fc.assert(
    fc.property(rows, fc.array(number(-3, 3), { minLength: 6, maxLength: 6 }), (own, other) => {
      const direction = turned(own, sumOf(own));
      expect(growth(own, direction)).toBeLessThanOrEqual(1e-9);
      expect(own.every(({ weight }, k) => weight > 0 || at(direction, k) >= 0)).toBe(true);
      // Any other direction that is allowed, mixed in: it must not bring the result nearer to what was wanted.
      const tried = own.map(({ weight }, k) => (weight === 0 ? Math.abs(at(other, k)) : at(other, k)));
      const mixed = direction.map((one, k) => 0.9 * one + 0.1 * at(tried, k));
      const isNearer = growth(own, tried) <= 0 && distance(own, mixed) < distance(own, direction) - 1e-9;
      expect(isNearer).toBe(false);
      changed += distance(own, direction) > 1e-6 ? 1 : 0;
    }),
    { numRuns: 500 },
  );
  expect(changed).toBeGreaterThan(100);
});

test("a small step along a turned direction is left as it is: scaling takes nothing from it", () => {
  fc.assert(
    fc.property(rows, (own) => {
      const direction = turned(own, sumOf(own));
      const weights = Float64Array.from(own, ({ weight, reach }, k) =>
        Math.max(0, weight + 1e-3 * reach * at(direction, k)),
      );
      const before = [...weights];
      limitEnvelopes(coreWith(own, sumOf(own)), weights);
      weights.forEach((weight, k) => {
        expect(Math.abs(weight - at(before, k))).toBeLessThanOrEqual(1e-9 * (1 + at(before, k)));
      });
    }),
  );
});
