import { expect, test } from "vitest";
import type { ProofCheck } from "../../src/machine/verification.ts";
import { proofWords } from "../../src/report/proof-words.ts";

const PROVED: ProofCheck = {
  status: "proved",
  claim: "optimal",
  branches: 39,
  enumerated: 18,
  bound: 12.34,
  unit: "EUR",
  failed: [],
};

const words = (change: Partial<ProofCheck>): string => proofWords({ ...PROVED, ...change }).replaceAll(/\s/gu, " ");

test("what was proved is told by what the result claims", () => {
  expect(words({})).toBe(
    "No cheaper order: proved again without searching, 39 branches, 18 of them seen through answer by answer.",
  );
  expect(words({ claim: "feasible", bound: 1234.567, branches: 1, enumerated: 0 })).toBe(
    "No order below EUR 1,234.56: proved again without searching, 1 branch.",
  );
  expect(words({ claim: "infeasible", bound: null, branches: 0, enumerated: 0 })).toBe(
    "No order at all: proved again without searching, 0 branches.",
  );
});

test("what does not hold is told with its place, the first three times", () => {
  const failed = ["a", "b", "c", "d", "e"].map((at) => ({ at, why: "no\u001b[31m" }));
  const text = words({ status: "refuted", bound: null, failed });
  expect(text).toMatch(/^DOES NOT HOLD\. a: no.*\. b: no.*\. c: no.*\. And 2 more\.$/);
  expect(text).not.toContain("\u001b");
  expect(words({ status: "unproved", failed: failed.slice(0, 1) })).toMatch(/^Not proved again.* a: no/);
  expect(words({ status: "not-given", failed: failed.slice(0, 1) })).toMatch(/^Not given\. a: no/);
  expect(words({ status: "not-checked", failed: failed.slice(0, 1) })).toMatch(/^Not looked at\. a: no/);
});
