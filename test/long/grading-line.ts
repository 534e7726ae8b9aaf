import { describe, expect, test } from "vitest";
import { explain } from "../../src/explain/explain.ts";
import { confirmAxis, confirmBus, confirmCap, shipped } from "../explain/confirming.ts";

/**
 * The large machine: too long for every run (`npm run test:long`): explaining it takes half an hour and more.
 *
 * Own oracle: the solver itself, on the edited problem and from scratch.
 */
describe("every price and next step of the grading line, by editing the problem and solving afresh", async () => {
  const of = await shipped("problems/grading-line-16.json");
  const { axes, buses, caps } = await explain(of.context);
  const [machine] = of.problem.machines;

  test("the answer is proved", () => {
    expect(of.decision.status).toBe("optimal");
  });

  test.each((machine?.axes ?? []).map(({ id }, a) => ({ id, axis: a, binding: axes[0]?.[a] })))(
    "$id",
    async ({ id, axis, binding }) => {
      if (binding === undefined) throw new Error(`${id} was not explained`);
      expect(binding.kind).not.toBe("not-searched");
      await confirmAxis(of, { machine: 0, axis }, binding);
    },
  );

  test("the supply", async () => {
    const [binding] = buses[0] ?? [];
    if (binding === undefined) throw new Error("the bus was not explained");
    expect(binding.kind).not.toBe("not-searched");
    await confirmBus(of, binding);
  });

  test.each(caps)("$id", async (cap) => {
    expect(cap.price).toBeGreaterThanOrEqual(0);
    await confirmCap(of, cap);
  });
});
