import * as fc from "fast-check";
import { expect, test } from "vitest";
import { nthLeast } from "../../src/maths/nth-least.ts";

test("the n-th least is what sorting puts in its place, equal values and infinities included", () => {
  const value = fc.oneof(fc.integer({ min: -3, max: 3 }), fc.double({ noNaN: true }));
  fc.assert(
    fc.property(fc.array(value, { minLength: 1, maxLength: 60 }), fc.nat(), (list, seed) => {
      const values = Float64Array.from(list);
      const n = seed % values.length;
      // Zeros of either sign are equal.
      expect(nthLeast(values.slice(), n) + 0).toBe((values.toSorted()[n] ?? Number.NaN) + 0);
    }),
    { numRuns: 2000, seed: 1 },
  );
});

test("there is no value beyond the last", () => {
  expect(() => nthLeast(Float64Array.of(1, 2), 2)).toThrow(RangeError);
  expect(() => nthLeast(new Float64Array(), 0)).toThrow(RangeError);
});
