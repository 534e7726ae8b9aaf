import { beforeAll, describe, expect, test } from "vitest";
import type { Result } from "../../../src/faults/fault.ts";
import { loadVariantReader, type VariantReader } from "../../../src/input/read-problem.ts";
import { levelAt } from "../../../src/study/plan/factor.ts";
import { readStudy } from "../../../src/study/plan/read-study.ts";
import type { Study } from "../../../src/study/plan/study.ts";
import { linesOf, smallStudy, writtenStudy } from "../study-folder.ts";

let reader: VariantReader;
beforeAll(async () => {
  reader = await loadVariantReader();
});

async function read(changes: Record<string, unknown>, files: Record<string, string> = {}): Promise<Result<Study>> {
  return readStudy(await writtenStudy(smallStudy(changes), files), reader);
}

function factor(changes: object): { readonly factors: readonly object[] } {
  return { factors: [{ id: "a", at: ["/machines/0/cycle"], range: ["2.5 s", "3 s"], ...changes }] };
}

describe("a study that can be run", () => {
  test("keeps its factors in order, with the places they lead to", async () => {
    const study = await read({});
    expect(study).toMatchObject({
      ok: true,
      value: {
        seed: 1,
        factors: [
          {
            id: "pace",
            apply: "multiply",
            places: [0, 2].map((segment) => ["machines", "0", "axes", "0", "motion", String(segment), "time"]),
          },
          { id: "ambient", unit: "degC" },
        ],
        responses: [{ id: "total" }, { id: "motor" }],
      },
    });
  });

  test("ends of a range may be in different units; the first one's is kept", async () => {
    const study = await read(factor({ range: ["2500 ms", "3 s"] }));
    const [first] = study.ok ? study.value.factors : [];
    expect(first && [levelAt(first, -1).json, levelAt(first, 1).json]).toEqual(["2500 ms", "3000 ms"]);
  });

  test("without responses it asks for total and part numbers", async () => {
    const study = await read({ responses: undefined });
    expect(study.ok && study.value.responses.map(({ id }) => id)).toEqual(["total", "part-numbers"]);
  });

  test("runs from a file, in any order of columns and any unit of their dimension", async () => {
    const csv = "ambient [degC],pace\n40,0.9\n30,1\n";
    const study = await read({ design: { kind: "given", file: "runs.csv" } }, { "runs.csv": csv });
    expect(study.ok && study.value.design).toEqual({
      kind: "given",
      points: [
        [-1, 1],
        [0, 0],
      ],
    });
  });

  test("a constraint in a unit counts factors in it", async () => {
    const constraints = [{ sum: { a: 2 }, at_most: "5600 ms" }];
    const study = await read({ ...factor({}), constraints });
    expect(study.ok && study.value.constraints[0]).toMatchObject({
      atMost: 5600,
      terms: [{ factor: 0, weight: 2000 }],
    });
  });
});

describe("every fault with its place", () => {
  test.each<[string, Record<string, unknown>, RegExp]>([
    ["an unknown key", { sed: 2 }, /^s\.json \/sed: found key "sed", expected a documented key \(nearest: "seed"\)$/],
    ["no problem file", { problem: "none.json" }, /^s\.json \/problem: found "none\.json", expected a problem file$/],
    [
      "a place that is not there",
      factor({ at: ["/machines/0/axes/dram/load"] }),
      /\/factors\/0\/at\/0: found "dram", .* \(nearest: "drum"\)$/,
    ],
    ["no pointer", factor({ at: ["machines"] }), /\/factors\/0\/at\/0: found "machines", expected a JSON Pointer/],
    ["an inherited key", factor({ at: ["/__proto__/x"] }), /\/factors\/0\/at\/0: found/],
    ["neither range nor levels", factor({ range: undefined }), /\/factors\/0\/range: found neither range nor levels/],
    ["both", factor({ levels: [1, 2] }), /\/factors\/0\/levels: found levels beside a range/],
    [
      "two dimensions",
      factor({ range: ["2 s", "3 kg"] }),
      /\/factors\/0\/range: found \["2 s","3 kg"\], expected two numbers/,
    ],
    ["a range upside down", factor({ range: ["3 s", "2 s"] }), /expected the low value first/],
    ["a logarithm of nothing", factor({ range: ["0 s", "2 s"], transform: "log" }), /expected values above 0/],
    ["half a whole number", factor({ kind: "integer", range: [1.5, 3] }), /expected whole numbers/],
    ["a level twice", factor({ range: undefined, levels: ["2.5 s", "2.5 s"] }), /found the same level twice/],
    ["multiplying by seconds", factor({ apply: "multiply" }), /\/factors\/0\/apply: .*no plain numbers/],
    [
      "multiplying a list",
      { factors: [{ id: "a", at: ["/catalogs"], apply: "multiply", range: [1, 2] }] },
      /expected a number or a value with its unit/,
    ],
    ["an id twice", { factors: [0, 1].map(() => factor({}).factors[0]) }, /\/factors\/1\/id: found/],
    [
      "noise of a factor's name",
      { noise: [{ id: "pace", at: ["/site/ambient"], levels: ["30 degC", "40 degC"] }] },
      /\/noise\/0\/id: found "pace"/,
    ],
    [
      "a constraint on no factor",
      { constraints: [{ sum: { pase: 1 }, at_most: 1 }] },
      /\/constraints\/0\/sum\/pase: .*\(nearest: "pace"\)$/,
    ],
    [
      "a constraint in another unit",
      { constraints: [{ sum: { pace: 1 }, at_most: "1 s" }] },
      /expected a factor that can be given in s/,
    ],
    [
      "a file outside",
      { design: { kind: "given", file: "../x.csv" } },
      /\/design\/file: found "\.\.\/x\.csv", expected a file in the study's folder/,
    ],
    [
      "no file",
      { design: { kind: "given", file: "x.csv" } },
      /\/design\/file: found "x\.csv", expected a CSV file of runs/,
    ],
    [
      "a response that is no pointer",
      { responses: [{ id: "a", at: "total" }] },
      /\/responses\/0\/at: found "total", expected a JSON Pointer/,
    ],
    [
      "a time limit without unit",
      { solve: { time_limit: 3 } },
      /\/solve\/time_limit: found 3, expected a time with its unit/,
    ],
  ])("%s", async (_name, changes, line) => {
    const lines = linesOf(await read(changes));
    expect(lines).toHaveLength(1);
    expect(lines[0]).toMatch(line);
  });

  test("several faults are all reported", async () => {
    const lines = linesOf(await read({ seed: -1, ...factor({ range: ["3 s", "2 s"] }), more_runs: 0 }));
    expect(lines).toHaveLength(3);
  });

  test.each([
    [
      "an unknown column",
      "pace,ambiant [degC]\n1,30\n",
      /^runs\.csv:1 \[ambiant \[degC\]\]: .*\(nearest: "ambient"\)$/,
    ],
    [
      "a column without its unit",
      "pace,ambient\n1,30\n",
      /^runs\.csv:1 \[ambient\]: found no unit, expected .* such as "ambient \[degC\]"$/,
    ],
    ["a missing column", "pace\n1\n", /^runs\.csv:1 \[ambient\]: found no such column/],
    [
      "a level there is not",
      "pace,ambient [degC]\n1,35\n",
      /^runs\.csv:2 \[ambient \[degC\]\]: found "35", expected one of 30 degC, 40 degC$/,
    ],
    ["no number", "pace,ambient [degC]\nfast,30\n", /^runs\.csv:2 \[pace\]: found "fast", expected a number$/],
    ["no runs", "pace,ambient [degC]\n", /^runs\.csv:1: found no runs/],
  ])("a file of runs: %s", async (_name, csv, line) => {
    const lines = linesOf(await read({ design: { kind: "given", file: "runs.csv" } }, { "runs.csv": csv }));
    expect(lines).toHaveLength(1);
    expect(lines[0]).toMatch(line);
  });
});
