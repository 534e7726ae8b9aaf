import { readdirSync } from "node:fs";
import { expect, test } from "vitest";
import { PUBLISHED } from "./published.ts";
import { agreeingDigits } from "./reference.ts";

test.each(PUBLISHED)("$set: $figure to $digits digits ($source)", ({ pairs, digits }) => {
  const found = pairs();
  expect(found.length).toBeGreaterThan(0);
  expect(Math.min(...found.map(([value, published]) => agreeingDigits(value, published)))).toBeGreaterThanOrEqual(
    digits,
  );
});

test("certified coefficients of regression are met to nine digits at least", () => {
  const rows = PUBLISHED.filter(({ figure, source }) => figure === "coefficients" && source.startsWith("NIST StRD"));
  expect(rows).toHaveLength(7);
  expect(Math.min(...rows.map(({ digits }) => digits))).toBeGreaterThanOrEqual(9);
});

test("every data set of the reference folder stands in the table", () => {
  const folder = new URL("../../../shared/reference/analysis/", import.meta.url);
  const stems = ["regression", "anova", "factorial"].flatMap((name) =>
    readdirSync(new URL(name, folder)).map((file) => file.replace(/\.(csv|dat|json)$/u, "")),
  );
  const sets = new Set(PUBLISHED.map(({ set }) => set));
  const others = ["certified", "lenth_pse"];
  expect([...new Set(stems)].filter((stem) => !sets.has(stem) && !others.includes(stem))).toEqual([]);
});

test("the count of digits can fail", () => {
  expect(agreeingDigits(1.001, 1)).toBeCloseTo(3, 9);
  expect(agreeingDigits(1, 1)).toBe(15);
  expect(agreeingDigits({ absent: "no-error" }, 1)).toBe(0);
  expect(agreeingDigits(Number.NaN, 1)).toBe(0);
  expect(agreeingDigits(1e-3, 0)).toBeCloseTo(3, 9);
});
