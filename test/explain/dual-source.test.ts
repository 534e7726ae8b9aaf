import { expect, test } from "vitest";
import { explain } from "../../src/explain/explain.ts";
import { randomDual } from "../oracle/random-dual.ts";
import { confirmAxis, confirmCap, shippedLike } from "./confirming.ts";

/** Orders that demand two sources; a third of them have an answer. */
const SEEDS = Array.from({ length: 34 }, (_, k) => 1 + k);

/** Own oracle: the solver itself, on the edited problem and from scratch: limits are relaxed for picks and substitutes alike. */
test("every price and next step of axes under dual source, and its own price, by editing the problem and solving afresh", async () => {
  let [held, dear, asked] = [0, 0, 0];
  for (const seed of SEEDS) {
    const { problem, catalogue } = randomDual(seed);
    const of = await shippedLike(problem, catalogue);
    if (of.decision.status !== "optimal") continue;
    asked += 1;
    const { axes, caps } = await explain(of.context);
    for (const cap of caps) {
      await confirmCap(of, cap);
      dear += cap.id === "order.dual_source" && cap.price > 0 ? 1 : 0;
    }
    for (const [m, machine] of problem.machines.entries()) {
      for (const [a, { id }] of machine.axes.entries()) {
        const binding = axes[m]?.[a];
        if (binding === undefined) throw new Error(`${id} was not explained`);
        await confirmAxis(of, { machine: m, axis: a }, binding);
        held += binding.kind === "held" ? 1 : 0;
      }
    }
  }
  expect(Math.min(held, dear), `${held} held, ${dear} dear of ${asked}`).toBeGreaterThan(4);
});
