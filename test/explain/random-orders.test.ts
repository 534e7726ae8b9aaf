import { expect, test } from "vitest";
import { explain } from "../../src/explain/explain.ts";
import { randomMachine } from "../oracle/random-machine.ts";
import { confirmAxis, shippedLike } from "./confirming.ts";

/** Machines with axes that ride and axes that pick together among them. */
const SEEDS = Array.from({ length: 160 }, (_, k) => 2000 + k);

/** Own oracle: the solver itself, on the edited problem and from scratch. */
test("every price and next step of axes of random orders, by editing the problem and solving afresh", async () => {
  let [held, carriers, shared] = [0, 0, 0];
  for (const seed of SEEDS) {
    const { problem, catalogue } = randomMachine(seed);
    const of = await shippedLike(problem, catalogue);
    if (of.decision.status !== "optimal") continue;
    const { axes } = await explain(of.context);
    for (const [m, machine] of of.setup.machines.entries()) {
      for (const [a, { axis, riders, isShared }] of machine.axes.entries()) {
        const binding = axes[m]?.[a];
        if (binding === undefined) throw new Error(`${axis.id} was not explained`);
        await confirmAxis(of, { machine: m, axis: a }, binding);
        held += binding.kind === "held" ? 1 : 0;
        carriers += riders.length > 0 ? 1 : 0;
        shared += isShared ? 1 : 0;
      }
    }
  }
  expect(Math.min(held, carriers, shared), `${held} held, ${carriers} carriers, ${shared} shared`).toBeGreaterThan(4);
});
