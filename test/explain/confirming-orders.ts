import { explain } from "../../src/explain/explain.ts";
import { randomMachine } from "../oracle/random-machine.ts";
import { confirmAxis, shippedLike } from "./confirming.ts";

/** What was confirmed: axes held by limits, axes that carry others, and axes that pick together. */
export interface Confirmed {
  held: number;
  carriers: number;
  shared: number;
}

/** Confirms every price and next step of the axes of random orders; orders without an answer are passed over. */
export async function confirmOrders(seeds: readonly number[]): Promise<Confirmed> {
  const seen: Confirmed = { held: 0, carriers: 0, shared: 0 };
  for (const seed of seeds) {
    const { problem, catalogue } = randomMachine(seed);
    const of = await shippedLike(problem, catalogue);
    if (of.decision.status !== "optimal") continue;
    const { axes } = await explain(of.context);
    for (const [m, machine] of of.setup.machines.entries()) {
      for (const [a, { axis, riders, isShared }] of machine.axes.entries()) {
        const binding = axes[m]?.[a];
        if (binding === undefined) throw new Error(`${axis.id} was not explained`);
        await confirmAxis(of, { machine: m, axis: a }, binding);
        seen.held += binding.kind === "held" ? 1 : 0;
        seen.carriers += riders.length > 0 ? 1 : 0;
        seen.shared += isShared ? 1 : 0;
      }
    }
  }
  return seen;
}
