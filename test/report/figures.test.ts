import * as fc from "fast-check";
import { expect, test } from "vitest";
import { amountText, figure, figureDown, figureUp, money, pairText, percent } from "../../src/report/figures.ts";
import { columnsOf, listed, wrap } from "../../src/report/layout.ts";

const bare = (each: string): string => each.replaceAll(/\s/g, "");
const plain = (text: string): string => text.replaceAll("\u00a0", " ");

test.each([
  [3456.7, "3,457"],
  [9.6, "9.6"],
  [0.0012345, "0.00123"],
  [31.25, "31.3"],
  [0, "0"],
])("%d is printed as %s: three digits, whole ones all", (value, text) => {
  expect(figure(value)).toBe(text);
});

test.each([
  [0.000004, "m", "4 um"],
  [0.265, "m", "265 mm"],
  [Math.PI / 180, "rad", "1 deg"],
  [999, "W", "999 W"],
  [1500, "W", "1.5 kW"],
  [0.00141, "F", "1,410 uF"],
  [5, "N*m", "5 N*m"],
  [2, "count", "2"],
])("%d %s is shown to people as %s", (value, unit, text) => {
  expect(plain(amountText({ value, unit }))).toBe(text);
});

test("a demand above its limit never prints as equal to it", () => {
  expect(plain(pairText("motor.peak_torque", 10.004, 10, "N*m"))).toBe("10.004 of 10 N*m");
  expect(plain(pairText("motor.speed_ripple", 0.021, 0.02, "1"))).toBe("2.1 of 2 %");
});

test("a limit not quite reached is never shown as 100 %", () => {
  expect([0.996, 0.99999, 1, 1.004].map((share) => plain(percent(share)))).toEqual([
    "99.6 %",
    "99.9 %",
    "100 %",
    "100.4 %",
  ]);
});

test("money shows cents only where there are any", () => {
  expect([24_978, 862.5, 0, 1_234_567.891].map(money)).toEqual(["24,978", "862.50", "0", "1,234,567.89"]);
});

test("rounding up never falls below and rounding down never rises above the value", () => {
  const value = fc.double({ min: 1e-4, max: 1e6, noNaN: true });
  fc.assert(
    fc.property(value, (amount) => {
      const [up, down] = [figureUp(amount), figureDown(amount)].map((text) => Number(text.replaceAll(",", "")));
      expect(up).toBeGreaterThanOrEqual(amount * (1 - 1e-6));
      expect(down).toBeLessThanOrEqual(amount * (1 + 1e-6));
      expect(up).toBeLessThanOrEqual(amount * 1.011);
      expect(down).toBeGreaterThanOrEqual(amount * 0.989);
    }),
    { seed: 4711 },
  );
});

test("wrapping keeps every word in order and every line within 80 columns", () => {
  const text = fc
    .array(fc.string({ unit: "grapheme", maxLength: 100 }), { maxLength: 40 })
    .map((words) => words.join(" "));
  fc.assert(
    fc.property(text, fc.nat(20), fc.nat(20), (words, first, rest) => {
      const lines = wrap(words, { first, rest });
      expect(lines.filter((line) => columnsOf(line) > 80)).toEqual([]);
      expect(bare(lines.join(""))).toBe(bare(words));
    }),
    { seed: 4711 },
  );
});

test("lists read as a person would say them", () => {
  expect([[], ["a"], ["a", "b"], ["a", "b", "c"]].map(listed)).toEqual(["", "a", "a and b", "a, b and c"]);
});
