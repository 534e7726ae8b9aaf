import { expect, test } from "vitest";
import { syntheticModel } from "../../bench/synthetic/model.ts";
import { lower, newEngines, picksOf } from "../../src/index.ts";
import type { SelectionModel } from "../../src/model/selection.ts";
import { activeRows, newRelaxation, relax, weightsOf } from "../../src/solve/bound.ts";
import { type Core, coreOf } from "../../src/solve/core.ts";
import { costOf } from "../../src/solve/cost.ts";
import { type Domain, fullDomain, sizeOf } from "../../src/solve/domain.ts";
import { columnBound } from "../../src/solve/fixing.ts";
import { isTrue, nextGlimpse } from "../../src/solve/glimpse.ts";
import { propagate } from "../../src/solve/propagate.ts";
import { boundWith, rootFix } from "../../src/solve/root-fix.ts";
import { at } from "./brute-force.ts";
import { randomFrom } from "./random-model.ts";

const SEEDS = [4, 6, 8];

/** Axes with so many columns that a few of them are worth a glimpse. */
function largeModel(seed: number): SelectionModel {
  return syntheticModel(seed, { axes: 3, motors: 60, gearboxes: 14, drives: 20, instants: 2, isCapped: false });
}

/** A look at everything at random multipliers. */
function looked(seed: number) {
  const core = coreOf(largeModel(seed));
  const domain = fullDomain(core);
  expect(propagate(core, domain)).toBe(true);
  const relaxation = newRelaxation(core);
  relaxation.isActive = activeRows(core, domain);
  const weights = randomWeights(core, seed);
  const value = relax(core, domain, weights, relaxation);
  return { core, domain, relaxation, weights, value };
}

function randomWeights(core: Core, seed: number): Float64Array {
  const random = randomFrom(seed);
  return weightsOf(core).map(() => (random() < 0.5 ? 0 : 3000 * random()));
}

test("a glimpse holds the columns of least bound of each group, and begins where the look was", () => {
  for (const seed of SEEDS) {
    const { core, domain, relaxation, weights, value } = looked(seed);
    const glimpse = nextGlimpse({ core, domain, relaxation, weights }, { turn: 5, value }, undefined);
    expect(glimpse).toMatchObject({ of: sizeOf(domain), value, weights });
    expect(glimpse?.until).toBeGreaterThan(5);
    for (const [g, all] of domain.alive.entries()) {
      const few = new Set(glimpse?.domain.alive[g]);
      const boundOf = (column: number): number => columnBound(core, domain, relaxation, column);
      const most = Math.max(...Array.from(few, boundOf));
      expect(few.size).toBeGreaterThanOrEqual(Math.min(50, all.length));
      for (const column of all) expect(few.has(column)).toBe(boundOf(column) <= most);
    }
  }
});

test("what is little is looked at whole", () => {
  const { core, domain, relaxation, weights, value } = looked(4);
  const little: Domain = { ...domain, alive: domain.alive.map((columns) => columns.slice(0, 200)) };
  expect(nextGlimpse({ core, domain: little, relaxation, weights }, { turn: 0, value }, undefined)).toBeUndefined();
});

test("a glimpse never comes to less than everything, so that it must not be taken for a bound", () => {
  let higher = 0;
  for (const seed of SEEDS) {
    const { core, domain, relaxation, weights, value } = looked(seed);
    const glimpse = nextGlimpse({ core, domain, relaxation, weights }, { turn: 0, value }, undefined);
    if (glimpse === undefined) throw new Error("no glimpse");
    expect(isTrue(glimpse, value)).toBe(true);
    for (let k = 1; k <= 20; k += 1) {
      const other = randomWeights(core, 100 * seed + k);
      const whole = relax(core, domain, other, relaxation);
      const seen = relax(core, glimpse.domain, other, relaxation);
      expect(seen).toBeGreaterThanOrEqual(whole - 1e-6);
      higher += seen > whole + 1 ? 1 : 0;
      glimpse.value = seen;
      expect(isTrue(glimpse, whole)).toBe(seen <= whole + 1e-9 * Math.abs(whole));
    }
  }
  expect(higher).toBeGreaterThan(10);
});

test.each(SEEDS)(
  "order %i: the bound of an ascent with glimpses is what its multipliers prove, and no more than the optimum by HiGHS",
  async (seed) => {
    const model = largeModel(seed);
    const { status, values } = await newEngines(() => performance.now() / 1000).highs.solve(lower(model), 120);
    expect(status).toBe("optimal");
    const best = costOf(model, picksOf(model, values ?? []) ?? []);
    for (let iterations = 2; iterations <= 150; iterations += 4) {
      const { bound, multipliers } = rootFix(model, undefined, { iterations });
      expect(Math.abs(bound - boundWith(model, multipliers))).toBeLessThan(1e-6 * best);
      expect(bound).toBeLessThanOrEqual(best);
    }
    expect(rootFix(model, undefined).bound).toBeGreaterThan(0.9 * best);
    const within = rootFix(model, best);
    expect(within.bound).toBeLessThanOrEqual(best * (1 + 1e-9));
    expect(at(within.survivors, 0).length).toBeLessThan(at(model.groups, 0).columns.length);
  },
);
