import { expect, test } from "vitest";
import { confirmOrders } from "../explain/confirming-orders.ts";

const SEEDS = Array.from({ length: 160 }, (_, k) => 2000 + k);

/** Own oracle: the solver itself, on the edited problem and from scratch; about two minutes. */
test("every price and next step of axes of 160 random orders, by editing the problem and solving afresh", async () => {
  const { held, carriers, shared } = await confirmOrders(SEEDS);
  expect(Math.min(held, carriers, shared), `${held} held, ${carriers} carriers, ${shared} shared`).toBeGreaterThan(4);
});
