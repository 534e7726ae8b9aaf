import { expect, test } from "vitest";
import { activeRows, newRelaxation, relax, weightsOf } from "../../src/solve/bound.ts";
import { type Core, coreOf } from "../../src/solve/core.ts";
import { chargeOf } from "../../src/solve/cost.ts";
import { solveCounted } from "../../src/solve/counted-part.ts";
import { fullDomain } from "../../src/solve/domain.ts";
import { limitEnvelopes } from "../../src/solve/envelopes.ts";
import { fixByCost } from "../../src/solve/fixing.ts";
import { pricesOf } from "../../src/solve/prices.ts";
import { propagate } from "../../src/solve/propagate.ts";
import { boundWith, rootFix } from "../../src/solve/root-fix.ts";
import { allOptima, at } from "./brute-force.ts";
import { randomFrom, randomModel } from "./random-model.ts";

const SEEDS = Array.from({ length: 200 }, (_, index) => index + 1);

/** Arbitrary valid multipliers: nonnegative, of any sign for counted parts, envelopes within their cost. */
function randomWeights(core: Core, seed: number): Float64Array {
  const random = randomFrom(seed);
  const weights = weightsOf(core);
  for (let index = 0; index < weights.length; index += 1) weights[index] = 60 * random();
  for (let link = 0; link < core.linkCount; link += 1) {
    if (core.counted[at(core.linkPart, link)] !== undefined && random() < 0.3) weights[link] = -30 * random();
  }
  limitEnvelopes(core, weights);
  return weights;
}

test("any valid multipliers give a bound at or below the optimum, and fixing at the optimum keeps every optimum", () => {
  let positive = 0;
  let deleted = 0;
  for (const seed of SEEDS) {
    const model = randomModel(seed);
    const optima = allOptima(model);
    const best = optima[0]?.cost ?? Infinity;
    const core = coreOf(model);
    for (let trial = 0; trial < 5; trial += 1) {
      const domain = fullDomain(core);
      const isOpen = propagate(core, domain);
      expect([seed, isOpen || best === Infinity]).toEqual([seed, true]);
      if (!isOpen) break;
      const relaxation = newRelaxation(core);
      relaxation.isActive = activeRows(core, domain);
      const value = relax(core, domain, randomWeights(core, 1000 * seed + trial), relaxation);
      expect([seed, value <= best]).toEqual([seed, true]);
      positive += value > 0 ? 1 : 0;
      if (best === Infinity) continue;
      deleted += fixByCost(core, domain, relaxation, best);
      const kept = domain.alive.map((columns, g) => Array.from(columns, (column) => column - at(core.offset, g)));
      expect([seed, optima.every(({ picks }) => picks.every((pick, g) => at(kept, g).includes(pick)))]).toEqual([
        seed,
        true,
      ]);
    }
  }
  expect(positive).toBeGreaterThan(50);
  expect(deleted).toBeGreaterThan(50);
});

test("negative control: a multiplier of the wrong sign can lift the bound above the optimum", () => {
  let lifted = 0;
  for (const seed of SEEDS.slice(0, 60)) {
    const model = randomModel(seed);
    const best = allOptima(model)[0]?.cost ?? Infinity;
    const core = coreOf(model);
    const domain = fullDomain(core);
    if (best === Infinity || !propagate(core, domain)) continue;
    const relaxation = newRelaxation(core);
    relaxation.isActive = activeRows(core, domain);
    const weights = weightsOf(core);
    weights[core.linkCount + core.caps.length] = -1000;
    // A negative weight is passed over by the column sums, but its constant is not.
    for (let link = 0; link < core.linkCount; link += 1)
      weights[link] = core.counted[at(core.linkPart, link)] === undefined ? -1e5 : 0;
    lifted += relax(core, domain, weights, relaxation) > best ? 1 : 0;
  }
  expect(lifted).toBeGreaterThan(0);
});

test("the subproblem of a counted part equals the minimum over all sets of links", () => {
  let compared = 0;
  for (const seed of SEEDS) {
    const model = randomModel(seed);
    const core = coreOf(model);
    const random = randomFrom(seed);
    for (const [part, counted] of core.counted.entries()) {
      const links = at(core.partLinks, part);
      if (counted === undefined || !counted.isExact || links.length === 0) continue;
      const reward = Float64Array.from(links, () => 120 * random() - 30);
      const state = Uint8Array.from(links, () => at([0, 1, 1, 1, 2], Math.floor(5 * random())));
      const moduleCost = Float64Array.from(counted.pools, () => (counted.channels > 1 ? 20 * random() : 0));
      const end = counted.charge.length - 1;
      const range = { least: Math.floor(random() * 3), most: random() < 0.5 ? end : Math.floor(random() * end) };
      const least = leastOverSets(model, part, {
        links: [...links].map((link) => at(core.linkGroup, link)),
        reward,
        state,
        moduleCost,
        pools: counted.pools.map(({ pool }) => pool),
        fewest: range.least * counted.unit,
        most: range.most * counted.unit,
      });
      const { value, chosen } = solveCounted(counted, { reward, state, moduleCost, ...range });
      expect(value === least || Math.abs(value - least) < 1e-8).toBe(true);
      if (value === Infinity) continue;
      // The links chosen, and no others, come to it.
      const only = Uint8Array.from(chosen, (one) => 2 * one);
      expect(solveCounted(counted, { reward, state: only, moduleCost, ...range }).value).toBeCloseTo(value, 8);
      expect(state.every((one, link) => one === 1 || chosen[link] === one / 2)).toBe(true);
      compared += 1;
    }
  }
  expect(compared).toBeGreaterThan(200);
});

function leastOverSets(
  model: ReturnType<typeof randomModel>,
  part: number,
  task: {
    links: readonly number[];
    reward: Float64Array;
    state: Uint8Array;
    moduleCost: Float64Array;
    pools: readonly number[];
    fewest: number;
    most: number;
  },
): number {
  const one = at(model.parts, part);
  let least = Infinity;
  for (let set = 1; set < 2 ** task.links.length; set += 1) {
    const chosen = task.links.map((_, index) => (set & (1 << index)) !== 0);
    if (task.state.some((state, index) => state !== 1 && at(chosen, index) !== (state === 2))) continue;
    const uses = model.pools.map(() => 0);
    let value = 0;
    for (const [index, group] of task.links.entries()) {
      if (!at(chosen, index)) continue;
      value -= at(task.reward, index);
      for (const pool of at(model.groups, group).pools) uses[pool] = at(uses, pool) + 1;
    }
    const modules = uses.map((count) => Math.ceil(count / one.channels));
    for (const [index, pool] of task.pools.entries())
      if (pool >= 0) value += at(task.moduleCost, index) * at(modules, pool);
    const units = modules.reduce((sum, count, pool) => sum + count * at(model.pools, pool).quantity, 0);
    if (units >= task.fewest && units <= task.most) least = Math.min(least, value + chargeOf(one, units));
  }
  return least;
}

test("the root's bound, survivors and suggestions are sound, and its multipliers prove the bound again", () => {
  let useful = 0;
  for (const seed of SEEDS) {
    const model = randomModel(seed);
    const optima = allOptima(model);
    const best = optima[0]?.cost;
    const free = rootFix(model, undefined);
    expect([seed, free.bound <= (best ?? Infinity)]).toEqual([seed, true]);
    expect(boundWith(model, free.multipliers)).toBeLessThanOrEqual(best ?? Infinity);
    // What the steps aim at is no limit: a bound stays one, whether the aim is too low or too high.
    for (const share of [0.5, 1, 2]) {
      const { bound } = rootFix(model, undefined, { aim: share * (best ?? 100) });
      expect([seed, share, bound <= (best ?? Infinity)]).toEqual([seed, share, true]);
    }
    for (const { cost } of free.suggestions) expect(cost).toBeGreaterThanOrEqual(best ?? Infinity);
    if (best === undefined) continue;
    const { survivors } = rootFix(model, best, { multipliers: free.multipliers });
    expect([seed, optima.every(({ picks }) => picks.every((pick, g) => at(survivors, g).includes(pick)))]).toEqual([
      seed,
      true,
    ]);
    useful += free.bound > 0.9 * best ? 1 : 0;
  }
  expect(useful).toBeGreaterThan(50);
});

test("more parts in use than a cap allows: prices are still numbers", () => {
  const origin = { kind: "test", id: "full cap" } as const;
  const charge = { origin, fixed: 5, steps: [], channels: 1, isPartNumber: true };
  const groups = [0, 1].map((part) => ({
    id: `group ${part}`,
    origin,
    pools: [0],
    decideFirst: false,
    columns: [{ cost: 1, parts: [part], tie: { mass: 0, text: "" } }],
  }));
  const model = {
    groups,
    parts: [0, 1].map((part) => ({ ...charge, id: `part ${part}` })),
    pools: [{ id: "pool", quantity: 1 }],
    caps: [{ id: "cap", origin, members: [0, 1], max: 1 }],
    rows: [],
    envelopes: [],
    unit: 1,
    rounding: 0,
  };
  // No answer at all: two columns of 1 and two charges of 5 are what it costs at least without the cap (by hand).
  const { bound, openBound } = pricesOf(model, { links: {}, caps: {}, rows: {} });
  expect(bound).toBeCloseTo(12, 9);
  expect(openBound).toBeCloseTo(2, 9);
});
