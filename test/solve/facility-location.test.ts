import { expect, test } from "vitest";
import { solveModel } from "../../src/solve/solve-model.ts";
import { type Instance, modelOf, readInstance, readMedian } from "./facility-location.ts";

const unlimited = { engine: "simplex", secondsLeft: () => 600 } as const;

// OR-Library, list of optima `uncapopt`; printed to three digits.
const UNCAPACITATED = [
  { name: "cap71", best: 932_615.75 },
  { name: "cap72", best: 977_799.4 },
  { name: "cap101", best: 796_648.437 },
  { name: "cap102", best: 854_704.2 },
  { name: "capa", best: 17_156_454.478 },
] as const;

test.each(UNCAPACITATED)("$name costs the published $best (OR-Library, uncapopt)", async ({ name, best }) => {
  const instance = readInstance(name);
  const outcome = await solveModel(modelOf(instance), { ...unlimited, ties: false });
  expect(outcome.status).toBe("optimal");
  expect(Math.abs((outcome.cost ?? 0) - best)).toBeLessThan(1e-3);
  expect(Math.abs(costByHand(instance, outcome.picks ?? []) - best)).toBeLessThan(1e-3);
});

// Not published: computed once with an independent solver.
const CAPPED = [1_248_142.9, 1_083_499.925, 1_003_841.375, 982_476.975, 970_641.45, 960_808.1625].map((best, at) => ({
  sites: at + 1,
  best,
}));

test.each(CAPPED)("cap71 with at most $sites sites costs $best (independent solver)", async ({ sites, best }) => {
  const outcome = await solveModel(modelOf(readInstance("cap71"), sites), unlimited);
  expect(outcome.status).toBe("optimal");
  expect(Math.abs((outcome.cost ?? 0) - best)).toBeLessThan(1e-3);
  expect(new Set(outcome.picks).size).toBeLessThanOrEqual(sites);
});

// OR-Library, list of optima `pmedopt`.
test.each([
  { name: "pmed1", best: 5819 },
  { name: "pmed2", best: 4093 },
])("$name costs the published $best (OR-Library, pmedopt)", async ({ name, best }) => {
  const instance = readMedian(name);
  const outcome = await solveModel({ ...modelOf(instance, instance.p), unit: 1 }, { ...unlimited, ties: false });
  expect(outcome.status).toBe("optimal");
  expect(outcome.cost).toBe(best);
});

function costByHand({ opening, assignment }: Instance, picks: readonly number[]): number {
  const sites = new Set(picks);
  const open = opening.reduce((sum, cost, site) => sum + (sites.has(site) ? cost : 0), 0);
  return assignment.reduce((sum, costs, customer) => sum + (costs[picks[customer] ?? -1] ?? Infinity), open);
}
