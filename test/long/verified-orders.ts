import { expect, test } from "vitest";
import { namesToSee, verifiedOrders } from "../acceptance/verified-orders.ts";

test("the results of random orders of 300 axes agree with the simulation", async () => {
  const seen = await verifiedOrders(300);
  expect(seen.wrong).toEqual([]);
  expect(namesToSee().filter((name) => !seen.names.has(name))).toEqual([]);
  expect(seen.bounds).toBeGreaterThan(300);
});
