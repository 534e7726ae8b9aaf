import { expect, test } from "vitest";
import { interactionTable, levelMeans } from "../../../src/study/analysis/level-means.ts";
import { oneWay } from "../../../src/study/analysis/one-way.ts";

const runs = [
  [10, "a"],
  [2, "a"],
  [10, "b"],
  [2, "b"],
  [2, "b"],
];
const response = [1, 2, 3, null, 6];

test("means by level, numbers rising, with runs and lost ones", () => {
  expect(levelMeans({ runs, response }, 0)).toEqual([
    { level: 2, runs: 3, lost: 1, mean: 4 },
    { level: 10, runs: 2, lost: 0, mean: 2 },
  ]);
  expect(levelMeans({ runs: [[1]], response: [null] }, 0)).toEqual([
    { level: 1, runs: 1, lost: 1, mean: { absent: "no-runs" } },
  ]);
});

test("means of pairs of levels; a pair without a run has none", () => {
  const table = interactionTable({ runs: runs.slice(0, 4), response: response.slice(0, 4) }, 1, 0);
  expect(table.rows).toEqual(["a", "b"]);
  expect(table.columns).toEqual([2, 10]);
  expect(table.cells.map((row) => row.map(({ mean }) => mean))).toEqual([
    [2, 1],
    [{ absent: "no-runs" }, 3],
  ]);
});

test("one-way analysis explains what it cannot say, and an offset changes nothing", () => {
  const groups = ["a", "a", "b", "b"];
  const [plain, moved] = [0, 2 ** 40].map((offset) =>
    oneWay(
      groups,
      [1.5, 2, 3, 4.25].map((y) => y + offset),
    ),
  );
  expect(moved?.between).toEqual(plain?.between);
  expect(moved?.within).toEqual(plain?.within);
  expect(plain?.groups.map(({ mean }) => mean)).toEqual([1.75, 3.625]);
  expect(oneWay(["a", "b"], [1, 2]).between.f).toEqual({ absent: "no-error-freedom" });
  expect(oneWay(["a", "a", "b"], [1, 1, 2]).between.f).toEqual({ absent: "no-error" });
  expect(oneWay(["a", "a"], [1, 2]).between.f).toEqual({ absent: "no-freedom" });
  expect(oneWay(["a", "a"], [1, 1]).r2).toEqual({ absent: "constant" });
  expect(oneWay([], []).r2).toEqual({ absent: "no-runs" });
});
