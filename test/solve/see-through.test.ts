import { expect, test } from "vitest";
import { weightsOf } from "../../src/solve/bound.ts";
import { coreOf } from "../../src/solve/core.ts";
import { fullDomain } from "../../src/solve/domain.ts";
import { leastPrices } from "../../src/solve/least-prices.ts";
import { weightsFrom } from "../../src/solve/multipliers.ts";
import { rootFix } from "../../src/solve/root-fix.ts";
import { answersWithin } from "../../src/solve/see-through.ts";
import { combinations, judgeByHand } from "./brute-force.ts";
import { randomModel } from "./random-model.ts";

const textOf = (all: readonly (readonly number[])[]): string[] => all.map((picks) => picks.join(" ")).toSorted();

test("every answer at or below a limit is seen, at poor multipliers and at good ones", () => {
  let [split, seen] = [0, 0];
  for (let seed = 1; seed <= 100; seed += 1) {
    const model = randomModel(seed);
    const all = [...combinations(model.groups.map(({ columns }) => columns.length))]
      .map((picks) => judgeByHand(model, picks))
      .filter(({ isFeasible }) => isFeasible)
      .toSorted((a, b) => a.cost - b.cost);
    const limit = (all[Math.min(40, all.length - 1)]?.cost ?? 1e9) + 1e-6;
    const expected = textOf(all.filter(({ cost }) => cost <= limit).map(({ picks }) => picks));
    const core = coreOf(model);
    for (const weights of [
      weightsOf(core, leastPrices(core)),
      weightsFrom(core, rootFix(model, undefined).multipliers),
    ]) {
      const found = answersWithin(core, fullDomain(core), weights, { limit, most: 100_000 });
      expect(textOf(found ?? [])).toEqual(expected);
      if (answersWithin(core, fullDomain(core), weights, { limit, most: 1 }) === undefined) split += 1;
    }
    seen += expected.length;
  }
  expect(split).toBeGreaterThan(10);
  expect(seen).toBeGreaterThan(500);
});
