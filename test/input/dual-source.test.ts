import { describe, expect, test } from "vitest";
import { PART_KINDS } from "../../src/machine/catalogue.ts";
import { linesOf, readEdited } from "./edited-problem.ts";

async function kindsOf(value: unknown): Promise<readonly string[] | undefined> {
  const read = await readEdited(["/dual_source", value]);
  return read.ok ? read.value.problem.dualSource : undefined;
}

describe("dual_source", () => {
  test("is off unless asked for; true asks for every kind, a list for its own, in one order", async () => {
    expect(await kindsOf(undefined)).toEqual([]);
    expect(await kindsOf(false)).toEqual([]);
    expect(await kindsOf(true)).toEqual(PART_KINDS);
    expect(await kindsOf(["drive", "motor"])).toEqual(["motor", "drive"]);
  });

  test.each([
    ["yes", '/dual_source: found "yes", expected boolean or array'],
    [
      ["motors"],
      '/dual_source/0: found "motors", expected one of motor, gearbox, drive, supply, resistor, inductor (nearest: "motor")',
    ],
    [["motor", "motor"], "/dual_source: found the same element twice, expected each element once"],
    [[], "/dual_source: found [], expected at least 1 elements"],
  ])("%j is one fault at its place", async (value, line) => {
    expect(linesOf(await readEdited(["/dual_source", value]))).toEqual([line]);
  });
});
