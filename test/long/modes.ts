import { expect, test } from "vitest";
import { triedModes } from "../acceptance/tried-modes.ts";

test.each([3000, 3008, 3016, 3024, 3032])(
  "with modes, the cheapest answer is that of brute force over every run stepped through time: seeds from %i",
  async (first) => {
    const outcomes = await triedModes(first);
    const near = outcomes.filter((one) => one === "near").length;
    expect(outcomes.filter((one) => one !== null && one !== "near")).toEqual([]);
    expect(near).toBeLessThan(4);
  },
);
