import { expect, test } from "vitest";
import { textOf } from "../oracle/agreement.ts";
import { bruteForce } from "../oracle/brute-force.ts";
import { decided, pickedBy } from "../oracle/decided.ts";
import { type RandomMachine, randomMachine } from "../oracle/random-machine.ts";

/** The order with a supply that feeds back, is first in the alphabet and costs what the one of the answer costs. */
function withRival(order: RandomMachine, part: string): RandomMachine {
  const { supplies } = order.catalogue;
  const rivals = supplies
    .filter((supply) => supply.part === part)
    .map(({ internalResistorPeak: _peak, internalResistorContinuous: _mean, ...rest }) => ({
      ...rest,
      part: "A-first",
      feedsBack: true,
    }));
  return { ...order, catalogue: { ...order.catalogue, supplies: [...supplies, ...rivals] } };
}

test("between a supply that feeds back and one that does not, at the same cost, the tie rule decides as in brute force", async () => {
  let rivals = 0;
  for (const seed of [5000, 5003, 5005, 5008]) {
    const order = randomMachine(seed);
    const plain = pickedBy(await decided(order))?.[0]?.buses[0]?.supply?.part;
    const rival = withRival(order, plain ?? "");
    const { best } = bruteForce(rival.problem, rival.catalogue);
    const decision = await decided(rival);
    expect([seed, textOf(pickedBy(decision) ?? [])]).toEqual([seed, textOf(best?.answer ?? [])]);
    expect([seed, decision.status]).toEqual([seed, "optimal"]);
    rivals += best?.answer[0]?.buses[0]?.supply?.part === "A-first" ? 1 : 0;
  }
  expect(rivals).toBeGreaterThan(2);
});
