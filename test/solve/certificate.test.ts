import { expect, test } from "vitest";
import { syntheticModel } from "../../bench/synthetic/model.ts";
import { proveAgain } from "../../src/solve/certificate.ts";
import { newEngines } from "../../src/solve/engines/engines.ts";
import { solveModel } from "../../src/solve/solve-model.ts";
import { randomModel } from "./random-model.ts";

const engines = newEngines(() => performance.now() / 1000);
const unlimited = { engine: "simplex", secondsLeft: () => 600, engines } as const;

test("certificates are proved again without an engine; a false one is not", async () => {
  let proved = 0;
  for (let seed = 1; seed <= 150; seed += 1) {
    const outcome = await solveModel(randomModel(seed), unlimited);
    const { bounds, ...proof } = proveAgain(outcome.model, outcome.certificate);
    expect(proof).toMatchObject({ unproved: [], missed: [] });
    // What a branch states is no more than what its multipliers prove.
    for (const [k, { bound }] of outcome.certificate.branches.entries())
      expect(bound).toBeLessThanOrEqual((bounds[k] ?? Number.NaN) + 1e-6 * Math.abs(bounds[k] ?? 0));
    if (outcome.cost === undefined) continue;
    proved += 1;
    // A limit above the optimum claims that the optimum does not exist: it must be missed or unproved.
    const claim = { ...outcome.certificate, limit: outcome.cost + 1, judged: [] };
    const { unproved, missed } = proveAgain(outcome.model, claim);
    expect(unproved.length + missed.length).toBeGreaterThan(0);
  }
  expect(proved).toBeGreaterThan(80);
});

test("a branch left out of a certificate is noticed", async () => {
  const outcome = await solveModel(
    syntheticModel(2, { axes: 8, motors: 24, gearboxes: 8, drives: 14, instants: 20, isCapped: true }),
    unlimited,
  );
  const { branches } = outcome.certificate;
  expect(branches.length).toBeGreaterThan(2);
  expect(proveAgain(outcome.model, outcome.certificate)).toMatchObject({ unproved: [], missed: [] });
  expect(
    proveAgain(outcome.model, { ...outcome.certificate, branches: branches.slice(0, -1) }).unproved.length,
  ).toBeGreaterThan(0);
});

test("a certificate that begins below a decision proves nothing: the rest of the answers is nobody's", async () => {
  const outcome = await solveModel(randomModel(1), unlimited);
  expect(outcome.status).toBe("optimal");
  const [root] = outcome.certificate.branches;
  expect(root).toBeDefined();
  const branches = root === undefined ? [] : [{ ...root, fixed: { kind: "column", group: 0, columns: [] } as const }];
  const claim = { ...outcome.certificate, branches, judged: [] };
  expect(proveAgain(outcome.model, claim).unproved).toEqual([-1]);
  expect(proveAgain(outcome.model, { ...claim, branches: [] }).unproved).toEqual([-1]);
});
