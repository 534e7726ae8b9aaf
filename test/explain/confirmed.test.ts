import { describe, expect, test } from "vitest";
import { explain, explainInfeasible } from "../../src/explain/explain.ts";
import { confirmAll, confirmCap, relaxed, shipped, shippedLike, totalOf } from "./confirming.ts";

/** Own oracle: the solver itself, on the edited problem and from scratch. */
describe("every price and next step of the shipped problems, by editing the problem and solving afresh", () => {
  test.each(["problems/drum-feeder-imperial.json", "problems/tray-transplanter.json"])("%s", async (path) => {
    const of = await shipped(path);
    expect(of.decision.status).toBe("optimal");
    await confirmAll(of, await explain(of.context));
  });

  test.each([
    { caps: { mass: 0.95 }, energy: 1 },
    { caps: { mass: 2.3 }, energy: 1 },
    { caps: { leadTime: 24, mass: 2 }, energy: 1 },
    { caps: { price: 103_500 }, energy: 60 },
  ])("the drum feeder under $caps, energy $energy times as dear", async ({ caps, energy }) => {
    const { problem, catalogue } = await shipped("problems/drum-feeder-imperial.json");
    const { weights } = problem;
    const dear = { ...weights, energy: { ...weights.energy, price: energy * weights.energy.price } };
    const of = await shippedLike({ ...problem, caps, weights: dear }, catalogue);
    const explanation = await explain(of.context);
    expect(explanation.caps.some(({ price }) => price > 0)).toBe(true);
    for (const cap of explanation.caps) await confirmCap(of, cap);
  });

  test("problems/stone-lift-infeasible.json: what the nearest candidate fails by is what must give", async () => {
    const of = await shipped("problems/stone-lift-infeasible.json");
    expect(of.decision.status).toBe("infeasible");
    const [obstacle] = await explainInfeasible(of.context);
    if (obstacle?.axis === undefined) throw new Error("no axis is in the way");
    const at = { machine: obstacle.machine ?? 0, axis: obstacle.axis };
    const share = Object.fromEntries(
      obstacle.limits.map(({ id: limit, demand, allowed }) => [limit, demand / allowed - 1]),
    );
    const by = (factor: number): Record<string, number> =>
      Object.fromEntries(Object.entries(share).map(([limit, one]) => [limit, one * factor]));
    expect(await totalOf(relaxed(of.problem, at, by(1 + 1e-5)), of.catalogue)).toBeGreaterThan(0);
    expect(await totalOf(relaxed(of.problem, at, by(1 - 1e-5)), of.catalogue)).toBeNaN();
  });
});
