import { existsSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { LIMIT_IDS } from "../../src/machine/limit.ts";
import { allChecks } from "./all-checks.ts";
import { checksPage, differenceOf } from "./checks-table.ts";

const sections = await allChecks();
const checks = sections.flatMap((section) => section.checks);

describe.each(sections)("$title", ({ checks: own }) => {
  test.each(own)("$id: $formula", (check) => {
    expect(check.tolerance).toBeLessThan(0.006);
    expect(differenceOf(check)).toBeLessThanOrEqual(check.tolerance);
  });
});

test("the page holds what is generated now", () => {
  const page = readFileSync(new URL("../../shared/reference/CHECKS.md", import.meta.url), "utf8");
  expect(page).toBe(checksPage(sections));
});

test("every row names its source and a test that is there", () => {
  expect(checks.length).toBeGreaterThan(150);
  for (const { source, test: file } of checks) {
    expect(source.length).toBeGreaterThan(10);
    expect(existsSync(new URL(`../${file}`, import.meta.url))).toBe(true);
  }
});

test("every limit has a row, but for sums over a machine and counts of parts", () => {
  const named = checks.map(({ id, formula }) => `${id} ${formula}`).join("\n");
  const without = LIMIT_IDS.filter((id) => !named.includes(id));
  expect(without.filter((id) => !/^(?:machine|caps|order)\./.test(id))).toEqual([]);
});

test("a wrong formula would be seen", () => {
  const check = checks.find(({ id }) => id === "W1");
  if (check === undefined) throw new Error("no check W1");
  expect(differenceOf({ ...check, ours: () => 1.001 * check.ours() })).toBeGreaterThan(check.tolerance);
});
