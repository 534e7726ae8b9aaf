import { readFileSync } from "node:fs";
import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { LimitId } from "../../src/machine/limit.ts";
import { judgePick } from "../../src/physics/limits/judge-pick.ts";
import { between } from "../physics/any-axis.ts";
import { limitOf, pickOn } from "../physics/limit-of.ts";
import { COUNTEREXAMPLES } from "./counterexamples.ts";
import type { Case } from "./monotonic-cases.ts";
import { RULES, type Rule } from "./monotonic-rules.ts";
import { monotonicityPage } from "./monotonicity-page.ts";

/** Utilisation of every limit; nothing allowed counts as endless. */
function utilisations({ sample, parts }: Case): ReadonlyMap<LimitId, number> {
  const { limits } = judgePick(pickOn(sample, parts));
  return new Map(limits.map(({ id, utilisation }) => [id, utilisation ?? Number.POSITIVE_INFINITY]));
}

const ROOM = 1e-9;

/** Limits that moved the wrong way, and those that moved at all. */
function outcome(rule: Pick<Rule, "neverLowers" | "neverRaises">, before: Case, after: Case) {
  const [low, high] = [utilisations(before), utilisations(after)];
  const wrong: LimitId[] = [];
  const moved: LimitId[] = [];
  const watch = (ids: readonly LimitId[] = [], sign: 1 | -1): void => {
    for (const id of ids) {
      const [first, second] = [low.get(id) ?? Number.NaN, high.get(id) ?? Number.NaN];
      const change = first === second ? 0 : sign * (second - first);
      const room = ROOM * Math.max(Math.abs(first), 1e-3);
      if (!(change >= -room)) wrong.push(id);
      if (change > room) moved.push(id);
    }
  };
  watch(rule.neverLowers, 1);
  watch(rule.neverRaises, -1);
  return { wrong, moved };
}

describe("rules", () => {
  test.each(RULES)("$input ($where)", (rule) => {
    const seen = new Set<LimitId>();
    fc.assert(
      fc.property(rule.cases(), between(1.05, 3), (given, factor) => {
        const { wrong, moved } = outcome(rule, given, rule.raised(given, factor));
        expect(wrong).toEqual([]);
        for (const id of moved) seen.add(id);
      }),
      { seed: 91, numRuns: 30 },
    );
    // Each limit of the rule moves in some case, or the rule would say nothing.
    expect([...seen].toSorted()).toEqual([...(rule.neverLowers ?? []), ...(rule.neverRaises ?? [])].toSorted());
  });

  test("a rule turned round fails", () => {
    const rule = RULES.find(({ input }) => input === "mains voltage");
    if (rule === undefined) throw new Error("no such rule");
    const turned = { neverLowers: ["motor.voltage"] } as const;
    const [given] = fc.sample(rule.cases(), { seed: 5, numRuns: 1 });
    if (given === undefined) throw new Error("no case");
    expect(outcome(turned, given, rule.raised(given, 2)).wrong).toEqual(["motor.voltage"]);
  });
});

test.each(COUNTEREXAMPLES)("$input $effect $limit", ({ limit, effect, before, after }) => {
  const first = limitOf(limit, before.sample, before.parts).utilisation ?? Number.NaN;
  const second = limitOf(limit, after.sample, after.parts).utilisation ?? Number.NaN;
  expect((second - first) * (effect === "raises" ? 1 : -1)).toBeGreaterThan(1e-3 * first);
});

test("the page holds what is generated now", () => {
  const page = readFileSync(new URL("../../shared/reference/MONOTONICITY.md", import.meta.url), "utf8");
  expect(page).toBe(monotonicityPage());
});
