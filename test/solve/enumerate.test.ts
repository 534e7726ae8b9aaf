import { expect, test } from "vitest";
import type { SharedRow } from "../../src/model/selection.ts";
import { activeRows, newRelaxation, relax, weightsOf } from "../../src/solve/bound.ts";
import { type Core, coreOf } from "../../src/solve/core.ts";
import { costOf } from "../../src/solve/cost.ts";
import { fullDomain } from "../../src/solve/domain.ts";
import { enumerate } from "../../src/solve/enumerate.ts";
import { enter, leave, partLedger } from "../../src/solve/part-ledger.ts";
import { propagate } from "../../src/solve/propagate.ts";
import { allOptima, at, combinations, judgeByHand } from "./brute-force.ts";
import { randomFrom, randomModel } from "./random-model.ts";

const SEEDS = Array.from({ length: 150 }, (_, index) => index + 1);

/** Whether a row holds for columns alone, and always. */
function isPlain({ when, expression: { modules, used } }: SharedRow): boolean {
  return when.length === 0 && modules.length === 0 && (used ?? []).length === 0;
}

/** Multipliers of links at random, those of caps and rows zero: with every group picked, the bound is the cost. */
function relaxed(core: Core, seed: number, rows: number) {
  const domain = fullDomain(core);
  if (!propagate(core, domain)) return undefined;
  const random = randomFrom(seed);
  const weights = weightsOf(core).map((_, index) => (index < core.linkCount ? 60 * random() : rows * random()));
  const relaxation = newRelaxation(core);
  relaxation.isActive = activeRows(core, domain);
  relax(core, domain, weights, relaxation);
  return { domain, relaxation };
}

test("what is enumerated holds every answer at or below the limit, whatever the multipliers (brute force)", () => {
  let seen = 0;
  for (const seed of SEEDS) {
    const model = randomModel(seed);
    const optima = allOptima(model);
    const best = optima[0]?.cost;
    const core = coreOf(model);
    const start = relaxed(core, seed, 3);
    if (start === undefined || best === undefined) continue;
    const limit = best + 60;
    const found = new Set<string>();
    const visit = (picks: readonly number[]): void => void found.add(picks.join(" "));
    const isComplete = enumerate(core, start.domain, start.relaxation, { limit: () => limit, budget: 1e9, visit });
    expect([seed, isComplete]).toEqual([seed, true]);
    for (const picks of combinations(model.groups.map(({ columns }) => columns.length))) {
      const judged = judgeByHand(model, picks);
      if (!judged.isFeasible || judged.cost > limit) continue;
      seen += 1;
      expect([seed, found.has(picks.join(" "))]).toEqual([seed, true]);
    }
  }
  expect(seen).toBeGreaterThan(200);
});

test("with every group picked, the bound without rows and caps is the cost; leaving takes everything back", () => {
  let compared = 0;
  for (const seed of SEEDS) {
    const model = { ...randomModel(seed), rows: [], envelopes: [], caps: [] };
    const core = coreOf(model);
    const start = relaxed(core, seed, 0);
    if (start === undefined) continue;
    const { domain, relaxation } = start;
    const ledger = partLedger(core, domain, relaxation);
    const before = structuredClone([ledger.slack, ledger.uses, ledger.counted]);
    const random = randomFrom(seed);
    const picks = model.groups.map(({ columns }) => Math.floor(random() * columns.length));
    let bound = relaxation.value;
    for (const [g, pick] of picks.entries()) {
      const column = at(core.offset, g) + pick;
      const next = bound + at(relaxation.reduced, column) - at(relaxation.least, g) + enter(ledger, column);
      expect(next).toBeGreaterThan(bound - 1e-6);
      bound = next;
    }
    const isExact = core.counted.every((part) => part?.isExact !== false);
    const cost = costOf(model, picks);
    expect([seed, bound <= cost + 1e-6]).toEqual([seed, true]);
    expect([seed, !isExact || bound >= cost - 1e-6]).toEqual([seed, true]);
    for (const _ of picks) leave(ledger);
    expect([ledger.slack, ledger.uses, ledger.counted]).toEqual(before);
    compared += isExact ? 1 : 0;
  }
  expect(compared).toBeGreaterThan(60);
});

test("without a limit, what is enumerated breaks no cap and no row of columns alone, and lacks nothing (brute force)", () => {
  let [kept, broken] = [0, 0];
  for (const seed of SEEDS) {
    const whole = randomModel(seed);
    const model = { ...whole, rows: whole.rows.filter(isPlain), envelopes: [] };
    const core = coreOf(model);
    const start = relaxed(core, seed, 3);
    if (start === undefined) continue;
    const found: string[] = [];
    const visit = (picks: readonly number[]): void => void found.push(picks.join(" "));
    enumerate(core, start.domain, start.relaxation, { limit: () => Infinity, budget: 1e9, visit });
    const all = Array.from(combinations(model.groups.map(({ columns }) => columns.length)), (picks) => [...picks]);
    const feasible = all.filter((picks) => judgeByHand(model, picks).isFeasible).map((picks) => picks.join(" "));
    expect([seed, found.toSorted()]).toEqual([seed, feasible.toSorted()]);
    kept += feasible.length;
    broken += all.length - feasible.length;
  }
  expect(kept).toBeGreaterThan(1000);
  expect(broken).toBeGreaterThan(1000);
});
