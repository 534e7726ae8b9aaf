import { expect, test } from "vitest";
import { syntheticModel } from "../../bench/synthetic/model.ts";
import type { Picks, SelectionModel, Verdict } from "../../src/model/selection.ts";
import { costOf } from "../../src/solve/cost.ts";
import { newEngines } from "../../src/solve/engines/engines.ts";
import type { Certificate, Outcome } from "../../src/solve/outcome.ts";
import { type Review, review } from "../../src/solve/review.ts";
import { solveModel } from "../../src/solve/solve-model.ts";
import { randomModel } from "./random-model.ts";

const engines = newEngines(() => performance.now() / 1000);

const SYNTHETIC = syntheticModel(2, { axes: 8, motors: 24, gearboxes: 8, drives: 14, instants: 20, isCapped: true });

/** A world outside the model in which every third answer does not stand. */
function strictOf(model: SelectionModel): (picks: Picks) => Verdict {
  return (picks) => {
    const stands = picks.reduce((sum, pick) => sum + pick, 0) % 3 !== 0;
    return { ...(stands ? { cost: costOf(model, picks) } : {}), rows: [], envelopeRows: [] };
  };
}

function solved(model: SelectionModel, secondsLeft: () => number): Promise<Outcome> {
  return solveModel(model, { engine: "simplex", secondsLeft, engines, judge: strictOf(model) });
}

function reviewed(model: SelectionModel, certificate: Certificate): Review {
  return review(model, certificate, { judge: strictOf(model) });
}

async function expectSameEnd(model: SelectionModel, secondsLeft: () => number): Promise<string> {
  const outcome = await solved(model, secondsLeft);
  const { status, bound, flaws } = reviewed(model, outcome.certificate);
  expect(flaws).toEqual([]);
  expect(status).toBe(outcome.status);
  expect(bound * (1 + 1e-9)).toBeGreaterThanOrEqual(outcome.bound);
  return status;
}

test("a search gone through again comes to the same end", async () => {
  const seen = new Set<string>();
  for (let seed = 1; seed <= 120; seed += 1) seen.add(await expectSameEnd(randomModel(seed), () => 600));
  expect([...seen].toSorted()).toEqual(["infeasible", "optimal"]);
});

test("a search that was stopped, too, as far as it came", async () => {
  const seen = new Set<string>();
  // Time runs out after so many looks at the clock.
  for (const looks of [0, 1, 20, 200, 1000, 1500, 2500]) {
    let rest = looks;
    seen.add(await expectSameEnd(SYNTHETIC, () => (rest-- > 0 ? 600 : 0)));
  }
  expect([...seen]).toEqual(expect.arrayContaining(["feasible", "unknown"]));
});

test("what a search states wrongly is told with its place", async () => {
  const outcome = await solved(SYNTHETIC, () => 600);
  const { certificate } = outcome;
  expect(certificate.branches.length).toBeGreaterThan(2);
  expect(reviewed(SYNTHETIC, certificate).flaws).toEqual([]);
  const placesOf = (lie: Partial<Certificate>): string[] =>
    reviewed(SYNTHETIC, { ...certificate, ...lie }).flaws.map(({ at }) => at);
  const { branches, judged, limit } = certificate;
  const last = branches.length - 1;
  const withLast = (change: Partial<Certificate["branches"][number]>): Partial<Certificate> => ({
    branches: branches.map((branch, k) => (k === last ? { ...branch, ...change } : branch)),
  });
  const nothing = { links: {}, caps: {}, rows: {} };
  const [{ links } = nothing] = branches.map(({ multipliers }) => multipliers);
  const [group, own] = Object.entries(links)[0] ?? ["", {}];
  const negative = { ...nothing, links: { [group]: Object.fromEntries(Object.keys(own).map((part) => [part, -1])) } };

  expect(placesOf({ limit: limit - 2 })).toContain("/limit");
  expect(placesOf({ limit: limit + 1000 }).length).toBeGreaterThan(0);
  expect(placesOf(withLast({ bound: limit + 1e9 }))).toContain(`/branches/${last}/bound`);
  expect(placesOf(withLast({ multipliers: negative }))).toContain(`/branches/${last}`);
  expect(
    placesOf(withLast({ multipliers: { ...nothing, caps: { ...nothing.caps }, links: { [group]: { x: 1 } } } })),
  ).toEqual(expect.arrayContaining([`/branches/${last}/bound`]));
  // A child that is missing, a root that is.
  const parent = branches[last]?.parent;
  expect(placesOf({ branches: branches.slice(0, -1) })).toEqual([`/branches/${parent}`]);
  expect(placesOf({ branches: branches.slice(1) }).length).toBeGreaterThan(0);
  expect(placesOf({ branches: [] })).toEqual(["/branches"]);
  // Answers that cost otherwise, or are none; the optimum passed over in silence.
  const costly = judged.findIndex(({ cost }) => cost !== undefined);
  expect(placesOf({ judged: judged.map((one, k) => (k === costly ? { ...one, cost: 1 } : one)) })).toEqual([
    `/judged/${costly}/cost`,
  ]);
  expect(placesOf({ judged: judged.map((one, k) => (k === costly ? { picks: one.picks } : one)) })).toEqual([
    `/judged/${costly}/cost`,
  ]);
  expect(placesOf({ judged: [{ picks: [1e6] }] })).toEqual(["/judged/0"]);
  const dearer = judged.filter(({ cost }) => cost !== outcome.cost);
  expect(placesOf({ judged: dearer }).length).toBeGreaterThan(0);
});
