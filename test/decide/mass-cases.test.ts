import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { binsOf, cutAt, type MassCase, refinedCases } from "../../src/decide/mass-cases.ts";

const MASS = fc.integer({ min: 1, max: 4000 }).map((grams) => grams / 100);
const RIDERS = fc.array(fc.array(MASS, { minLength: 1, maxLength: 12 }), { minLength: 1, maxLength: 3 });

/** Sums in the order of the riders, as carried mass is added up. */
function sumsOf(riders: readonly (readonly number[])[]): number[] {
  return riders.reduce<number[]>((sums, masses) => sums.flatMap((sum) => masses.map((mass) => sum + mass)), [0]);
}

function rangeOf(riders: readonly (readonly number[])[]): MassCase {
  const sums = sumsOf(riders);
  return { low: Math.min(...sums), high: Math.max(...sums) };
}

function isWithin(mass: number, { low, high }: MassCase): boolean {
  return low <= mass && mass <= high;
}

/** Own oracle: every sum of masses, written out. */
describe("cases of carried mass", () => {
  test("no sum that riders can reach is lost, however often cases are refined and cut", () => {
    fc.assert(
      fc.property(RIDERS, fc.array(MASS, { maxLength: 4 }), fc.integer({ min: 1, max: 4 }), (riders, cuts, times) => {
        let cases = binsOf(rangeOf(riders));
        for (let k = 0; k < times; k++) cases = cutAt(refinedCases(cases, riders), cuts);
        for (const sum of sumsOf(riders)) expect(cases.some((one) => isWithin(sum, one))).toBe(true);
      }),
      { seed: 11, numRuns: 300 },
    );
  });

  test("with a case gone, what the others hold stays, and nothing comes back that only it held", () => {
    fc.assert(
      fc.property(RIDERS, fc.nat(11), (riders, gone) => {
        const all = binsOf(rangeOf(riders));
        const left = all.filter((_, k) => k !== gone);
        const refined = refinedCases(left, riders);
        const held = sumsOf(riders).filter((sum) => left.some((one) => isWithin(sum, one)));
        for (const sum of held) expect(refined.some((one) => isWithin(sum, one))).toBe(true);
        for (const { low, high } of refined) expect(left.some((one) => one.low <= low && high <= one.high)).toBe(true);
      }),
      { seed: 12, numRuns: 300 },
    );
  });

  test("few sums become cases of one mass each, many stay within twenty-four cases", () => {
    const few = refinedCases(binsOf({ low: 3, high: 9 }), [
      [1, 2],
      [2, 7],
    ]);
    expect(few).toEqual([3, 4, 8, 9].map((mass) => ({ low: mass, high: mass })));
    const many = [Array.from({ length: 40 }, (_, k) => 1 + k / 7), Array.from({ length: 40 }, (_, k) => 2 + k / 11)];
    expect(refinedCases(binsOf(rangeOf(many)), many).length).toBeLessThanOrEqual(24);
  });

  test("a cut mass has a case that holds next to nothing else", () => {
    const cases = cutAt([{ low: 0, high: 10 }], [4]);
    expect(cases.filter((one) => isWithin(4, one)).some(({ low, high }) => high === 4 && high - low < 1.1e-6)).toBe(
      true,
    );
    expect(cases.at(0)?.high).toBeLessThan(4);
  });
});
