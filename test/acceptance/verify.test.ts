import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { solvedIn, verified, wrongIn } from "../verify/solved.ts";
import { namesToSee, verifiedOrders } from "./verified-orders.ts";

let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
});
afterAll(async () => rm(folder, { recursive: true }));

test.each([["tray-transplanter"], ["grading-line-16"], ["label-line"]])(
  "the result of the shipped problem %s agrees with the simulation, and its proof holds",
  { timeout: 600_000 },
  async (stem) => {
    const { path, document: stated } = await solvedIn(folder, stem);
    expect(stated.status).toBe("optimal");
    const { document } = await verified(path);
    expect(wrongIn(document)).toEqual([]);
    expect(document.agrees).toBe(true);
    expect(document.compared).toBeGreaterThan(100);
    expect(document.largest?.difference).toBeLessThan(2e-4);
    expect(document.proof).toMatchObject({ status: "proved", bound: stated.objective?.total, failed: [] });
  },
);

/** A share of the orders of `test/long/verified-orders.ts`. */
test("the results of random orders of 120 axes agree with the simulation", { timeout: 900_000 }, async () => {
  const seen = await verifiedOrders(120);
  expect(seen.wrong).toEqual([]);
  expect(namesToSee().filter((name) => !seen.names.has(name))).toEqual([]);
  expect(seen.bounds).toBeGreaterThan(120);
});
