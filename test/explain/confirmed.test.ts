import { describe, expect, test } from "vitest";
import { explain, explainInfeasible } from "../../src/explain/explain.ts";
import { confirmAll, relaxed, shipped, totalOf } from "./confirming.ts";

/** Own oracle: the solver itself, on the edited problem and from scratch. */
describe("every price and next step of the shipped problems, by editing the problem and solving afresh", () => {
  test.each(["problems/drum-feeder-imperial.json", "problems/tray-transplanter.json"])("%s", async (path) => {
    const of = await shipped(path);
    expect(of.decision.status).toBe("optimal");
    await confirmAll(of, await explain(of.context));
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
