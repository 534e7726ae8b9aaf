import { expect, test } from "vitest";
import { INK, lookOf, SOFT_INK, STEPS } from "../../src/charts/palette.ts";

/** Relative luminance, 0 black to 1 white. Source: WCAG 2.2, definition of relative luminance. */
function luminance(color: string): number {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((start) => {
    const part = Number.parseInt(color.slice(start, start + 2), 16) / 255;
    return part <= 0.040_45 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/** Source: WCAG 2.2, definition of contrast ratio. */
function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].toSorted((x, y) => x - y);
  return ((high ?? 0) + 0.05) / ((low ?? 0) + 0.05);
}

test("black on white has the contrast that WCAG gives it: 21", () => {
  expect(contrast("#000000", "#ffffff")).toBeCloseTo(21, 9);
});

test("text reads on every shade, by the 4.5:1 of WCAG 2.2, 1.4.3", () => {
  expect(STEPS.map((shade) => contrast(INK, shade)).every((ratio) => ratio >= 4.5)).toBe(true);
  expect(contrast(SOFT_INK, "#ffffff")).toBeGreaterThan(7);
});

test("shades darken from step to step without colour, too", () => {
  const greys = STEPS.map(luminance);
  expect(greys).toEqual(greys.toSorted((a, b) => b - a));
  expect(greys.slice(1).every((grey, k) => (greys[k] ?? 0) / grey > 1.05)).toBe(true);
});

test("the first curves can be told apart without colour, and all of a large chart with it", () => {
  const looks = Array.from({ length: 35 }, (_, k) => lookOf(k));
  expect(new Set(looks.slice(0, 5).map(({ dash }) => String(dash))).size).toBe(5);
  expect(new Set(looks.slice(0, 7).map(({ symbol }) => symbol)).size).toBe(7);
  expect(new Set(looks.map(({ color, dash }) => `${color} ${String(dash)}`)).size).toBe(35);
  expect(new Set(looks.map(({ color, symbol }) => `${color} ${symbol}`)).size).toBe(35);
});

test("the strongest lines keep the 3:1 of WCAG 2.2, 1.4.11, on white", () => {
  expect([0, 1, 2].map((k) => contrast(lookOf(k).color, "#ffffff")).every((ratio) => ratio >= 3)).toBe(true);
});
