import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Fault } from "../../src/faults/fault.ts";
import { faultLine, sortFaults } from "../../src/faults/fault-line.ts";
import { editDistance, nearestName } from "../../src/faults/nearest-name.ts";
import { missing, quantityExpected, unknownKey } from "../../src/faults/wordings.ts";

describe("a fault as a line", () => {
  test("names the place in a JSON document", () => {
    const fault = quantityExpected(
      { file: "press.json", pointer: "/axes/0/load/mass" },
      "14",
      'a mass with its unit, such as "14 kg"',
    );
    expect(faultLine(fault)).toBe(
      'press.json /axes/0/load/mass: found 14, expected a mass with its unit, such as "14 kg"',
    );
  });

  test("names row and column of a CSV file, and the nearest name", () => {
    expect(faultLine(missing({ file: "motors.csv", row: 7, column: "mass [kg]" }, "an empty cell", "a mass"))).toBe(
      "motors.csv:7 [mass [kg]]: found an empty cell, expected a mass",
    );
    expect(faultLine(unknownKey({ file: "a.json", pointer: "/lod" }, "lod", "load"))).toBe(
      'a.json /lod: found key "lod", expected a documented key (nearest: "load")',
    );
  });
});

const at = (file: string, pointer: string): Fault => missing({ file, pointer }, "", "");
const row = (file: string, line: number, column: string): Fault => missing({ file, row: line, column }, "", "");

test("faults are sorted by file, then by place with numbers as numbers", () => {
  const sorted = [
    at("a", "/x/2"),
    at("a", "/x/10"),
    at("a", "/x/10/y"),
    row("b", 1, "z"),
    row("b", 9, "c"),
    row("b", 10, "a"),
  ];
  const shuffled = fc.shuffledSubarray(sorted, { minLength: sorted.length });
  fc.assert(
    fc.property(shuffled, (faults) => {
      expect(sortFaults(faults)).toEqual(sorted);
    }),
    { seed: 7 },
  );
});

describe("the nearest name", () => {
  test("is found for slips of a few letters, and not for other words", () => {
    const keys = ["mass", "incline", "friction_force", "friction_coefficient"];
    expect(nearestName("frction_force", keys)).toBe("friction_force");
    expect(nearestName("INCLINE", keys)).toBe("incline");
    expect(nearestName("masss", keys)).toBe("mass");
    expect(nearestName("tilt", keys)).toBeUndefined();
    expect(nearestName("z", ["x"])).toBeUndefined();
  });

  test("counts as published: kitten to sitting 3, a swap of neighbours 1", () => {
    // V. I. Levenshtein's distance in its usual textbook example; the swap as in Damerau 1964.
    expect(editDistance("kitten", "sitting")).toBe(3);
    expect(editDistance("ca", "ac")).toBe(1);
    expect(editDistance("", "abc")).toBe(3);
  });

  test("distance is symmetric, 0 only for equal texts, at most the longer length", () => {
    const word = fc.string({ maxLength: 12 });
    fc.assert(
      fc.property(word, word, (a, b) => {
        const distance = editDistance(a, b);
        expect(distance).toBe(editDistance(b, a));
        expect(distance === 0).toBe(a === b);
        expect(distance).toBeLessThanOrEqual(Math.max(a.length, b.length));
      }),
      { seed: 11 },
    );
  });
});
