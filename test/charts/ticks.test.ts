import * as fc from "fast-check";
import { expect, test } from "vitest";
import { counted, numberText, plainText, shortened } from "../../src/charts/plain-text.ts";
import { logarithmicTicks, rangeOf, roundEnds, roundTicks, widened } from "../../src/charts/ticks.ts";

const number = fc.double({ min: -1e6, max: 1e6, noNaN: true });
const width = fc.double({ min: 1e-3, max: 1e6, noNaN: true });

test("round ticks lie inside their range, evenly, at 1, 2 or 5 times a power of ten", () => {
  fc.assert(
    fc.property(number, width, (low, size) => {
      const ticks = roundTicks(low, low + size);
      const step = (ticks[1] ?? 0) - (ticks[0] ?? 0);
      expect(ticks.length).toBeGreaterThanOrEqual(2);
      expect(ticks.length).toBeLessThanOrEqual(9);
      const mantissa = step / 10 ** Math.floor(Math.log10(step * 1.0001));
      expect([1, 2, 5].some((each) => Math.abs(each - mantissa) < 1e-3)).toBe(true);
      const dust = 1e-6 * size;
      expect(ticks.every((tick) => tick >= low - dust && tick <= low + size + dust)).toBe(true);
    }),
    { seed: 11, numRuns: 300 },
  );
});

test("ticks carry no dust of rounding", () => {
  expect(roundTicks(0, 0.6, 6)).toEqual([0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6]);
  expect(roundTicks(3, 3)).toEqual([3]);
  expect(logarithmicTicks(3, 40)).toEqual([5, 10, 20]);
  expect(logarithmicTicks(1, 1e6)).toEqual([1, 10, 100, 1000, 10_000, 100_000, 1_000_000]);
  expect(logarithmicTicks(3, 5)).toEqual([3, 3.5, 4, 4.5, 5]);
});

test("round ends hold their range and lie on its ticks", () => {
  fc.assert(
    fc.property(number, fc.oneof(width, fc.constant(0)), (low, size) => {
      const { min, max, interval } = roundEnds(low, low + size);
      const dust = 1e-6 * (Math.abs(low) + size + 1);
      expect(min).toBeLessThanOrEqual(low + dust);
      expect(max).toBeGreaterThanOrEqual(low + size - dust);
      expect(max).toBeGreaterThan(min);
      expect(Math.abs((max - min) / interval - Math.round((max - min) / interval))).toBeLessThan(1e-6);
    }),
    { seed: 12, numRuns: 300 },
  );
});

test("ranges leave out what is no number, and get room", () => {
  expect(rangeOf([3, Number.NaN, -1, Number.POSITIVE_INFINITY])).toEqual({ low: -1, high: 3 });
  expect(rangeOf([Number.NaN])).toBeUndefined();
  expect(widened({ low: 0, high: 10 }, [0.1, 0.2])).toEqual({ min: -1, max: 12 });
  expect(widened({ low: 0, high: 0 }, [0.1, 0.1])).toEqual({ min: -0.1, max: 0.1 });
});

test.each([
  [0, "0"],
  [24_978, "24,978"],
  [-1_234_567.6, "-1,234,568"],
  [999.96, "1,000"],
  [0.123456, "0.1235"],
  [-3.5, "-3.5"],
  [1e-7, "1e-7"],
  [2.5e15, "2500000000000000"],
])("%d is written %s", (value, text) => {
  expect(numberText(value)).toBe(text);
});

test("texts become one line, long ones end in dots, nothing at all is a dash", () => {
  expect(plainText("  a\n\tb \u0000c")).toBe("a b ?c");
  expect(plainText("")).toBe("–");
  expect(shortened("motor of the lift", 9)).toBe("motor of…");
  expect(shortened("motor", 5)).toBe("motor");
  expect(shortened("🙂🙂🙂", 2)).toBe("🙂…");
  expect([counted(1, "run"), counted(2, "run")]).toEqual(["1 run", "2 runs"]);
});
