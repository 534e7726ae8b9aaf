import { describe, expect, test } from "vitest";
import type { Picks, SelectionModel } from "../../src/model/selection.ts";
import { decide } from "../../src/solve/branching.ts";
import { coreOf } from "../../src/solve/core.ts";
import { costOf } from "../../src/solve/cost.ts";
import { copyDomain, type Domain, fullDomain } from "../../src/solve/domain.ts";
import { keptColumns } from "../../src/solve/leaf.ts";
import { weightsFrom } from "../../src/solve/multipliers.ts";
import { propagate } from "../../src/solve/propagate.ts";
import { refix } from "../../src/solve/refix.ts";
import { restrict } from "../../src/solve/restrict.ts";
import { rootFix } from "../../src/solve/root-fix.ts";
import { allOptima, at, combinations, type Judged, judgeByHand } from "./brute-force.ts";
import { randomFrom, randomModel } from "./random-model.ts";

/** Columns that a reduction keeps, by group, where nothing dearer than `best` is wanted. */
type Reduce = (model: SelectionModel, best: number) => readonly (readonly number[])[];

const REDUCTIONS: Readonly<Record<string, Reduce>> = {
  "propagate (rows, caps and conditions alone)": (model) => {
    const core = coreOf(model);
    const domain = fullDomain(core);
    expect(propagate(core, domain)).toBe(true);
    return keptColumns(core, domain);
  },
  "root fixing": (model, best) => rootFix(model, best).survivors,
  "replaying a proof": (model, best) => {
    const core = coreOf(model);
    const domain = fullDomain(core);
    const weights = weightsFrom(core, rootFix(model, undefined).multipliers);
    expect(refix(core, domain, [weights, weights], best)).toBeLessThanOrEqual(best + 1e-6);
    return keptColumns(core, domain);
  },
};

const SEEDS = Array.from({ length: 200 }, (_, index) => index + 1);

const keyOf = ({ picks }: Judged): string => picks.join();

describe.each(Object.entries(REDUCTIONS))("%s", (_name, reduce) => {
  test("the smaller model has the same optimum and every tied answer, and restores them", () => {
    let [dropped, tied] = [0, 0];
    for (const seed of SEEDS) {
      const model = randomModel(seed);
      const optima = allOptima(model);
      const [first] = optima;
      if (first === undefined) continue;
      const kept = reduce(model, first.cost);
      const { model: smaller, restore } = restrict(model, kept);
      const restored = allOptima(smaller).map(({ picks, cost }) => {
        const back = judgeByHand(model, restore(picks));
        expect([seed, back.isFeasible, back.cost]).toEqual([seed, true, cost]);
        return back;
      });
      expect([seed, restored.map(keyOf).toSorted()]).toEqual([seed, optima.map(keyOf).toSorted()]);
      dropped += model.groups.reduce((sum, { columns }, g) => sum + columns.length - at(kept, g).length, 0);
      tied += optima.length > 1 ? 1 : 0;
    }
    expect(dropped).toBeGreaterThan(50);
    expect(tied).toBeGreaterThan(3);
  });
});

test("propagation drops no feasible answer at all", () => {
  let answers = 0;
  for (const seed of SEEDS.slice(0, 80)) {
    const model = randomModel(seed);
    const core = coreOf(model);
    const domain = fullDomain(core);
    const isOpen = propagate(core, domain);
    const kept = keptColumns(core, domain);
    for (const picks of combinations(model.groups.map(({ columns }) => columns.length))) {
      if (!judgeByHand(model, picks).isFeasible) continue;
      answers += 1;
      expect([seed, picks, isOpen && holds(kept, picks)]).toEqual([seed, picks, true]);
    }
  }
  expect(answers).toBeGreaterThan(500);
});

const holds = (kept: readonly (readonly number[])[], picks: Picks): boolean =>
  picks.every((pick, g) => at(kept, g).includes(pick));

test("restricting a model changes neither cost nor rows of the answers it keeps", () => {
  let compared = 0;
  for (const seed of SEEDS.slice(0, 60)) {
    const model = randomModel(seed);
    const random = randomFrom(seed);
    const kept = model.groups.map(({ columns }) => {
      const some = columns.flatMap((_, k) => (random() < 0.6 ? [k] : []));
      return some.length > 0 ? some : [0];
    });
    const { model: smaller, restore } = restrict(model, kept);
    for (const picks of combinations(kept.map(({ length }) => length))) {
      const before = judgeByHand(model, restore(picks));
      const after = judgeByHand(smaller, picks);
      expect([seed, after.cost, after.isFeasible]).toEqual([seed, before.cost, before.isFeasible]);
      expect(costOf(smaller, picks)).toBe(after.cost);
      compared += 1;
    }
  }
  expect(compared).toBeGreaterThan(500);
});

test("a part used or not: each feasible answer lies in one of the two halves", () => {
  let answers = 0;
  for (const seed of SEEDS.slice(0, 60)) {
    const model = randomModel(seed);
    const core = coreOf(model);
    const part = core.linkPart[0];
    if (part === undefined) continue;
    const halves = [true, false].map((isUsed): Domain | undefined => {
      const half = copyDomain(decide(core, fullDomain(core), { kind: "part", part, isUsed }));
      return propagate(core, half) ? half : undefined;
    });
    for (const picks of combinations(model.groups.map(({ columns }) => columns.length))) {
      if (!judgeByHand(model, picks).isFeasible) continue;
      answers += 1;
      const isHeld = halves.some((half) => half !== undefined && holds(keptColumns(core, half), picks));
      expect([seed, picks, isHeld]).toEqual([seed, picks, true]);
    }
  }
  expect(answers).toBeGreaterThan(300);
});

test("negative control: fixing below the optimum loses it", () => {
  let lost = 0;
  for (const seed of SEEDS.slice(0, 60)) {
    const model = randomModel(seed);
    const [first] = allOptima(model);
    if (first === undefined) continue;
    const { bound, survivors } = rootFix(model, first.cost - 1);
    lost += bound > first.cost - 1 || !holds(survivors, first.picks) ? 1 : 0;
  }
  expect(lost).toBeGreaterThan(5);
});
