import { mkdir, mkdtemp, open, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { faultLine } from "../../src/faults/fault-line.ts";
import { readProblem } from "../../src/input/read-problem.ts";
import { makeRow } from "../../src/input/row.ts";
import { scanJson } from "../../src/input/scan-json.ts";
import { SIZE_LIMITS } from "../../src/input/size-limits.ts";
import { linesOf, readEdited, readText } from "./edited-problem.ts";

const scanLines = (text: string): readonly string[] => scanJson("p.json", text).map(faultLine);

const nested = (depth: number): string => "[".repeat(depth) + "]".repeat(depth);

describe("text that is not well formed JSON is placed by line and column", () => {
  test.each([
    ['{\n  "a": 1,\n}', 'p.json: found "}" in line 3, column 1, expected a key in double quotes'],
    ['{ "a": 1 "b": 2 }', 'p.json: found "\\"" in line 1, column 10, expected "," or "}"'],
    ["[1, 2", 'p.json: found the end of the file in line 1, column 6, expected "," or "]"'],
    ['{ "a" 1 }', 'p.json: found "1" in line 1, column 7, expected ":" after the key'],
    ["{} {}", 'p.json: found "{" in line 1, column 4, expected nothing after the end of the document'],
    [
      "",
      "p.json: found the end of the file in line 1, column 1, expected a value: text in double quotes, a number, true, false, null, { or [",
    ],
    ['{ "a": 1, "a": 2 }', 'p.json /a: found key "a" a second time, expected each key once'],
    ['{ "a": 1e999 }', "p.json /a: found 1e999, expected a number a computer can hold"],
    ['{ "b": { "__proto__": {} } }', 'p.json /b/__proto__: found key "__proto__", expected a documented key'],
  ])("%j", (text, line) => {
    expect(scanLines(text)).toEqual([line]);
  });

  test("everything the built-in parser takes passes, but for the cases above", () => {
    const texts = ['{"a":[1,-2.5e-3,true,false,null,"x\\n\\u00e9\\"",{}]}', " [ ] ", '"x"', "0"];
    expect(texts.map((text) => JSON.stringify(JSON.parse(text)).length > 0 && scanLines(text).length)).toEqual([
      0, 0, 0, 0,
    ]);
  });

  test("what the built-in parser refuses is refused", () => {
    const texts = ["{a:1}", "[1,]", "01", "1.", "'x'", '"a\nb"', '"\\x"', "nul", "[1}", "+1", "NaN", "/* */ 1"];
    for (const text of texts) {
      expect(() => JSON.parse(text)).toThrow(SyntaxError);
      expect([text, scanLines(text).length]).toEqual([text, 1]);
    }
  });
});

describe("stated bounds", () => {
  test("nesting", () => {
    expect(scanLines(nested(SIZE_LIMITS.nesting))).toEqual([]);
    expect(scanLines(nested(SIZE_LIMITS.nesting + 1))[0]).toMatch(/found deeper nesting, expected at most 64 levels$/);
    expect(scanLines(nested(1_000_000))).toHaveLength(1);
  });

  test("bytes of a problem file", async () => {
    const fill = " ".repeat(SIZE_LIMITS.problemBytes);
    expect(linesOf(await readText(`${fill} {}`))).toEqual(["found a larger file, expected at most 5000000 bytes"]);
  });

  test("bytes of a catalogue file", async () => {
    const folder = await mkdtemp(join(tmpdir(), "fewframe-"));
    try {
      await mkdir(join(folder, "big"));
      await writeFile(join(folder, "big", "catalog.json"), '{ "maker": "Big", "currency": "EUR" }');
      const file = await open(join(folder, "big", "motors.csv"), "w");
      await file.truncate(SIZE_LIMITS.catalogueBytes + 1);
      await file.close();
      await writeFile(join(folder, "p.json"), '{ "catalogs": ["big"], "weights": { "currency": "EUR" } }');
      const lines = linesOf(await readProblem(join(folder, "p.json")));
      expect(lines.filter((line) => line.includes("motors.csv"))[0]).toMatch(
        /found a larger file, expected at most 50000000 bytes$/,
      );
    } finally {
      await rm(folder, { recursive: true });
    }
  });

  test("characters of a cell", () => {
    const header = [{ name: "note", shown: "note", conversion: { factor: 1, offset: 0 } }];
    const cell = (length: number): number =>
      makeRow({ file: "m.csv", row: 2 }, header, ["x".repeat(length)]).faults.length;
    expect([cell(SIZE_LIMITS.cellCharacters), cell(SIZE_LIMITS.cellCharacters + 1)]).toEqual([0, 1]);
  });
});

describe("names of inherited members", () => {
  test("are unknown keys like any other", async () => {
    const lines = linesOf(await readEdited(["/site/constructor", "x"], ["/weights/variety/toString", 1]));
    expect(lines).toEqual([
      '/site/constructor: found key "constructor", expected a documented key',
      '/weights/variety/toString: found key "toString", expected a documented key',
    ]);
  });

  test("reach no prototype from a CSV column", () => {
    const header = ["__proto__", "constructor"].map((name) => ({
      name,
      shown: name,
      conversion: { factor: 1, offset: 0 },
    }));
    const { texts } = makeRow({ file: "m.csv", row: 2 }, header, ["polluted", "x"]);
    expect(Object.getPrototypeOf(texts)).toBeNull();
    expect(Object.keys(texts)).toEqual(["__proto__", "constructor"]);
    expect(texts["toString"]).toBeUndefined();
    expect("polluted" in {}).toBe(false);
  });
});

test("bytes that are no UTF-8, a file that is not there and a document that is no object are faults", async () => {
  expect(linesOf(await readText(new Uint8Array([0x7b, 0xff, 0x7d])))).toEqual([
    "found bytes that are not UTF-8, expected UTF-8 text",
  ]);
  expect(linesOf(await readProblem(join(tmpdir(), "no-such-p.json")))).toEqual([
    "found no readable file, expected a JSON file",
  ]);
  expect(linesOf(await readText("[]"))).toEqual(["found [], expected object"]);
});
