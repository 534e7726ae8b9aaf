import { expect, test } from "vitest";
import { confirmOrders } from "./confirming-orders.ts";

/** A share of the orders of `test/long/random-orders.ts`; axes that ride and axes that pick together among them. */
const SEEDS = Array.from({ length: 40 }, (_, k) => 2000 + k);

/** Own oracle: the solver itself, on the edited problem and from scratch. */
test("every price and next step of axes of 40 random orders, by editing the problem and solving afresh", async () => {
  const { held, carriers, shared } = await confirmOrders(SEEDS);
  expect(Math.min(held, carriers, shared), `${held} held, ${carriers} carriers, ${shared} shared`).toBeGreaterThan(4);
});
