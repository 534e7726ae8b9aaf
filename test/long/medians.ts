import { expect, test } from "vitest";
import { solvedMedian } from "../solve/solved-median.ts";

test("pmed2 costs the published 4093, with highs (OR-Library, pmedopt)", async () => {
  const found = await solvedMedian("pmed2", "highs");
  expect(found).toEqual({ status: "optimal", cost: 4093, engineFailures: 0, asksEngine: true });
});
