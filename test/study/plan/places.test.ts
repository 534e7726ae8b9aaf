import { describe, expect, test } from "vitest";
import { pointerSteps } from "../../../src/input/json-pointer.ts";
import { namesNear, placesOf, valueAt, withValue } from "../../../src/study/plan/places.ts";

// The document and pointers of RFC 6901, section 5.
const RFC = {
  foo: ["bar", "baz"],
  "": 0,
  "a/b": 1,
  "c%d": 2,
  "e^f": 3,
  "g|h": 4,
  "i\\j": 5,
  'k"l': 6,
  " ": 7,
  "m~n": 8,
};

describe("JSON Pointers", () => {
  test.each([
    ["", RFC],
    ["/foo", ["bar", "baz"]],
    ["/foo/0", "bar"],
    ["/", 0],
    ["/a~1b", 1],
    ["/c%d", 2],
    ["/e^f", 3],
    ["/g|h", 4],
    ["/i\\j", 5],
    ['/k"l', 6],
    ["/ ", 7],
    ["/m~0n", 8],
  ])("RFC 6901, section 5: %j", (pointer, value) => {
    const steps = pointerSteps(pointer) ?? ["no pointer"];
    expect(placesOf(RFC, steps, false).map((path) => valueAt(RFC, path))).toEqual([value]);
  });

  test.each([["foo"], ["/a~2b"], ["/a~"]])("%j is no pointer", (pointer) => {
    expect(pointerSteps(pointer)).toBeUndefined();
  });
});

const MACHINE = {
  axes: [
    { id: "lift", load: { mass: "4 kg" }, motion: [{ move: "1 m", time: "1 s" }, { dwell: "1 s" }] },
    { id: "turn", motion: [{ move: "1 rad", time: "2 s" }] },
  ],
};

describe("ids and asterisks", () => {
  test("the id of an entry stands for its index", () => {
    expect(placesOf(MACHINE, ["axes", "turn", "motion", "0", "time"], false)).toEqual([
      ["axes", "1", "motion", "0", "time"],
    ]);
  });

  test("an asterisk stands for every entry that has what comes after", () => {
    expect(placesOf(MACHINE, ["axes", "*", "motion", "*", "time"], true)).toEqual([
      ["axes", "0", "motion", "0", "time"],
      ["axes", "1", "motion", "0", "time"],
    ]);
    expect(placesOf(MACHINE, ["axes", "*", "load", "mass"], true)).toEqual([["axes", "0", "load", "mass"]]);
    expect(placesOf(MACHINE, ["axes", "*", "none"], true)).toEqual([]);
  });

  test("an absent last key, and objects on the way, are added only where asked for; list entries never", () => {
    expect(placesOf(MACHINE, ["axes", "turn", "needs", "backlash"], true)).toEqual([
      ["axes", "1", "needs", "backlash"],
    ]);
    expect(placesOf(MACHINE, ["axes", "turn", "needs", "backlash"], false)).toEqual([]);
    expect(placesOf(MACHINE, ["axes", "2", "id"], true)).toEqual([]);
    expect(placesOf(MACHINE, ["axes", "lift", "id", "deeper"], true)).toEqual([]);
  });

  test("what an object inherits is never reached, nor made", () => {
    for (const steps of [
      ["__proto__", "x"],
      ["axes", "constructor"],
      ["axes", "*", "__proto__", "y"],
    ]) {
      expect(placesOf(MACHINE, steps, true)).toEqual([]);
    }
  });

  test("a value is put in without touching the document it came from", () => {
    const changed = withValue(MACHINE, ["axes", "1", "needs", "backlash"], "1 mm");
    expect(valueAt(changed, ["axes", "1", "needs", "backlash"])).toBe("1 mm");
    expect(valueAt(changed, ["axes", "0"])).toBe(MACHINE.axes[0]);
    expect(MACHINE.axes[1]).not.toHaveProperty("needs");
  });

  test("names near a pointer that leads nowhere are those at its first stray step", () => {
    expect(namesNear(MACHINE, ["axes", "lft", "load"])).toEqual({ step: "lft", names: ["0", "1", "lift", "turn"] });
  });
});
