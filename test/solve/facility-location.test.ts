import { expect, test } from "vitest";
import { type EngineName, lower, newEngines, picksOf, solveModel } from "../../src/index.ts";
import { rootFix } from "../../src/solve/root-fix.ts";
import { type Instance, modelOf, readInstance } from "./facility-location.ts";
import { solvedMedian } from "./solved-median.ts";

const ENGINES: readonly EngineName[] = ["simplex", "highs"];

const unlimited = { secondsLeft: () => 600 } as const;

const seconds = (): number => performance.now() / 1000;

// OR-Library, list of optima `uncapopt`; printed to three digits.
const UNCAPACITATED = [
  { name: "cap71", best: 932_615.75 },
  { name: "cap72", best: 977_799.4 },
  { name: "cap101", best: 796_648.437 },
  { name: "cap102", best: 854_704.2 },
  { name: "capa", best: 17_156_454.478 },
] as const;

const withEngines = <T extends object>(cases: readonly T[]): (T & { engine: EngineName })[] =>
  cases.flatMap((one) => ENGINES.map((engine) => ({ ...one, engine })));

// The largest of them once: it does not ask an engine.
test.each(withEngines(UNCAPACITATED).filter(({ name, engine }) => name !== "capa" || engine === "highs"))(
  "$name costs the published $best by our own proof, whichever engine is to hand: $engine (OR-Library, uncapopt)",
  async ({ name, best, engine }) => {
    const instance = readInstance(name);
    const outcome = await solveModel(modelOf(instance), { ...unlimited, engine, ties: false });
    expect(outcome.status).toBe("optimal");
    expect(Math.abs((outcome.cost ?? 0) - best)).toBeLessThan(1e-3);
    expect(Math.abs(costByHand(instance, outcome.picks ?? []) - best)).toBeLessThan(1e-3);
    // Bound, fixing and enumeration close these: the engine is not asked, and the answer is not its merit.
    expect([outcome.stats.engineCalls, outcome.engine]).toEqual([0, undefined]);
  },
);

// The gap of the linear relaxation, which no multipliers can close, is far below these for all five of them.
const NEARNESS = { cold: 0.995, aimed: 0.996 };

test.each(UNCAPACITATED)(
  "$name: the bound of the root alone comes near the published $best, and never above it (OR-Library, uncapopt)",
  ({ name, best }) => {
    const model = modelOf(readInstance(name));
    const shares = [rootFix(model, undefined), rootFix(model, undefined, { aim: best })].map(
      ({ bound }) => bound / best,
    );
    expect(shares.every((share) => share <= 1 + 1e-9)).toBe(true);
    expect(shares[0]).toBeGreaterThan(NEARNESS.cold);
    expect(shares[1]).toBeGreaterThan(NEARNESS.aimed);
  },
);

test.each(UNCAPACITATED.slice(0, 4))(
  "$name costs the published $best where HiGHS gets the whole lowered model and we do nothing (OR-Library, uncapopt)",
  async ({ name, best }) => {
    const instance = readInstance(name);
    const model = modelOf(instance);
    const { status, values } = await newEngines(seconds).highs.solve(lower(model), 60);
    expect(status).toBe("optimal");
    expect(Math.abs(costByHand(instance, picksOf(model, values ?? []) ?? []) - best)).toBeLessThan(1e-3);
  },
);

// Not published: computed once with an independent solver.
const CAPPED = [1_248_142.9, 1_083_499.925, 1_003_841.375, 982_476.975, 970_641.45, 960_808.1625].map((best, at) => ({
  sites: at + 1,
  best,
}));

test.each(withEngines(CAPPED))(
  "cap71 with at most $sites sites costs $best, with $engine (independent solver)",
  async ({ sites, best, engine }) => {
    const outcome = await solveModel(modelOf(readInstance("cap71"), sites), { ...unlimited, engine });
    expect(outcome.status).toBe("optimal");
    expect(Math.abs((outcome.cost ?? 0) - best)).toBeLessThan(1e-3);
    expect(new Set(outcome.picks).size).toBeLessThanOrEqual(sites);
  },
);

// OR-Library, list of optima `pmedopt`; `test/long/medians.ts` solves a second one.
test.each(ENGINES)("pmed1 costs the published 5819, with %s (OR-Library, pmedopt)", async (engine) => {
  expect(await solvedMedian("pmed1", engine)).toEqual({
    status: "optimal",
    cost: 5819,
    engineFailures: 0,
    asksEngine: engine === "highs",
  });
});

function costByHand({ opening, assignment }: Instance, picks: readonly number[]): number {
  const sites = new Set(picks);
  const open = opening.reduce((sum, cost, site) => sum + (sites.has(site) ? cost : 0), 0);
  return assignment.reduce((sum, costs, customer) => sum + (costs[picks[customer] ?? -1] ?? Infinity), open);
}
