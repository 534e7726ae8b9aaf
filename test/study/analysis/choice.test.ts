import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { associationOf, associationsOf, pickShares, pickSharesByLevel } from "../../../src/study/analysis/choice.ts";
import { flipMap } from "../../../src/study/analysis/flip-map.ts";
import { mapFigure } from "../../../src/study/analysis/remark.ts";

/** Runs and picks that make up a table of counts. */
function fromTable(table: readonly (readonly number[])[]): { runs: string[][]; picks: string[] } {
  const cells = table.flatMap((row, i) =>
    row.flatMap((count, j) => Array.from({ length: count }, () => ({ level: `l${i}`, pick: `p${j}` }))),
  );
  return { runs: cells.map(({ level }) => [level]), picks: cells.map(({ pick }) => pick) };
}

/** Of how often each text occurs. [bit] */
function entropy(keys: readonly string[]): number {
  return -pickShares(keys).reduce((sum, { share }) => sum + share * Math.log2(share), 0);
}

function rounded(value: number): number {
  return Number(value.toFixed(6));
}

describe("association", () => {
  test("hair and eyes of 592 students: V = 0.279 (R. D. Snee, Am. Statistician 28 (1974) 9; χ² 138.29; from memory)", () => {
    const table = [
      [68, 20, 15, 5],
      [119, 84, 54, 29],
      [26, 17, 14, 14],
      [7, 94, 10, 16],
    ];
    // Less what chance adds to φ² by the correction of W. Bergsma, J. Korean Stat. Soc. 42 (2013) 323: 9/591 in a 4 × 4 table.
    const corrected = Number(associationOf(fromTable(table), 0).cramersV);
    const phiSquared = corrected ** 2 * (4 - 9 / 591 - 1) + 9 / 591;
    expect(Math.sqrt(phiSquared / 3)).toBeCloseTo(0.279, 3);
    expect(592 * phiSquared).toBeCloseTo(138.29, 2);
  });

  test("levels that decide, and levels that do not", () => {
    const decides = fromTable([
      [4, 0],
      [0, 4],
    ]);
    expect(associationOf(decides, 0)).toMatchObject({ cramersV: 1, mutualInformation: 1 });
    const idle = fromTable([
      [2, 4],
      [3, 6],
    ]);
    expect(associationOf(idle, 0).cramersV).toBeCloseTo(0, 12);
    expect(associationOf(idle, 0).mutualInformation).toBeCloseTo(0, 12);
    expect(
      associationOf(
        fromTable([
          [3, 0],
          [5, 0],
        ]),
        0,
      ),
    ).toMatchObject({ cramersV: { absent: "constant" } });
    expect(associationOf({ runs: [["a"]], picks: [null] }, 0)).toEqual({
      cramersV: { absent: "no-runs" },
      mutualInformation: { absent: "no-runs" },
      flipShare: { absent: "no-pairs" },
    });
  });

  test("a factor that the choice does not hang on gets near 0, however many values it takes", () => {
    // Each of 64 runs has values of its own in both factors; the first alone decides.
    const runs = Array.from({ length: 64 }, (_, k) => [k / 64, ((k * 29) % 64) / 64]);
    const picks = runs.map(([a = 0]) => (a < 0.5 ? "small" : "large"));
    expect(Number(associationOf({ runs, picks }, 0).cramersV)).toBeGreaterThan(0.95);
    expect(Number(associationOf({ runs, picks }, 1).cramersV)).toBeLessThan(0.1);
    // By chance alone: the mean of many random choices is near 0 too.
    const sample = fc.sample(fc.array(fc.constantFrom("a", "b", "c"), { minLength: 24, maxLength: 24 }), {
      seed: 5,
      numRuns: 200,
    });
    const levels = Array.from({ length: 24 }, (_, k) => [k]);
    const squares = sample.map((chosen) => Number(associationOf({ runs: levels, picks: chosen }, 0).cramersV) ** 2);
    expect(squares.reduce((sum, one) => sum + one, 0) / squares.length).toBeLessThan(0.05);
    // Names are not put together: with one run for each there is nothing to say.
    expect(associationOf({ runs: [["a"], ["b"], ["c"]], picks: ["x", "y", "x"] }, 0).cramersV).toEqual({
      absent: "no-freedom",
    });
  });

  test("information is that of entropies, and neither way round nor names matter", () => {
    const cell = fc.integer({ min: 0, max: 6 });
    fc.assert(
      fc.property(fc.array(fc.tuple(cell, cell, cell), { minLength: 2, maxLength: 4 }), (table) => {
        const choices = fromTable(table);
        fc.pre(choices.picks.length > 0);
        const levels = choices.runs.map(([level = ""]) => level);
        const pairs = levels.map((level, k) => `${level} ${choices.picks[k]}`);
        const { mutualInformation, cramersV } = associationOf(choices, 0);
        expect(mutualInformation).toBeCloseTo(entropy(levels) + entropy(choices.picks) - entropy(pairs), 9);
        const turned = associationOf({ runs: choices.picks.map((pick) => [pick]), picks: levels }, 0);
        expect(turned.mutualInformation).toBeCloseTo(Number(mutualInformation), 9);
        const strengths = [turned.cramersV, cramersV].map((figure) => JSON.stringify(mapFigure(figure, rounded)));
        expect(strengths[0]).toBe(strengths[1]);
      }),
      { seed: 71, numRuns: 100 },
    );
  });

  test("flips are counted between neighbours that differ in one factor alone", () => {
    // Pick changes between 2 and 3 of the first factor, whatever the second.
    const runs = [1, 2, 3].flatMap((a) => ["x", "y"].map((b) => [a, b]));
    const picks: (string | null)[] = runs.map(([a]) => (Number(a) < 3 ? "small" : "large"));
    expect(associationOf({ runs, picks }, 0).flipShare).toBe(0.5);
    expect(associationOf({ runs, picks }, 1).flipShare).toBe(0);
    expect(associationsOf({ runs, picks }, ["length", "brake"]).map(({ factor }) => factor)).toEqual([
      "length",
      "brake",
    ]);
    const turned = runs.map(([a = 0, b = 0]) => [b, a]);
    expect(associationsOf({ runs: turned, picks }, ["brake", "length"]).map(({ factor }) => factor)).toEqual([
      "length",
      "brake",
    ]);
    expect(associationOf({ runs, picks: picks.with(5, null) }, 0).flipShare).toBeCloseTo(1 / 3, 12);
    expect(
      associationOf(
        {
          runs: [
            [1, "x"],
            [2, "y"],
          ],
          picks: ["a", "b"],
        },
        0,
      ).flipShare,
    ).toEqual({ absent: "no-pairs" });
    const texts = { runs: [["a"], ["b"], ["c"]], picks: ["p", "p", "q"] };
    expect(associationOf(texts, 0).flipShare).toBeCloseTo(2 / 3, 12);
  });

  test("shares are of the runs that chose, most frequent first", () => {
    expect(pickShares(["b", null, "a", "a", "c"])).toEqual([
      { pick: "a", count: 2, share: 0.5 },
      { pick: "b", count: 1, share: 0.25 },
      { pick: "c", count: 1, share: 0.25 },
    ]);
    const byLevel = pickSharesByLevel({ runs: [[2], [1], [2]], picks: ["a", "b", "a"] }, 0);
    expect(byLevel.map(({ level, shares }) => [level, shares[0]?.pick, shares[0]?.share])).toEqual([
      [1, "b", 1],
      [2, "a", 1],
    ]);
    expect(pickShares([null])).toEqual([]);
  });
});

/** Name of the border after a cell, in its row or below it. */
function border(row: number, column: number, down: boolean): string {
  return `${row} ${column} ${down}`;
}

describe("flip map", () => {
  test("regions and borders of a small grid", () => {
    const map = flipMap({
      rows: [1, 2],
      columns: [1, 2, 3],
      picks: [
        ["a", "a", null],
        ["b", "a", "a"],
      ],
    });
    expect(map.regions.map(({ pick, cells }) => [pick, cells.length])).toEqual([
      ["a", 4],
      [null, 1],
      ["b", 1],
    ]);
    expect(map.regionOf).toEqual([
      [0, 0, 1],
      [2, 0, 0],
    ]);
    expect(map.flips).toEqual([
      { from: { row: 0, column: 1 }, to: { row: 0, column: 2 }, before: "a", after: null },
      { from: { row: 1, column: 0 }, to: { row: 1, column: 1 }, before: "b", after: "a" },
      { from: { row: 0, column: 0 }, to: { row: 1, column: 0 }, before: "a", after: "b" },
      { from: { row: 0, column: 2 }, to: { row: 1, column: 2 }, before: null, after: "a" },
    ]);
  });

  test("two patches of one pick that do not touch are two regions", () => {
    const map = flipMap({ rows: [1], columns: [1, 2, 3], picks: [["a", "b", "a"]] });
    expect(map.regions.map(({ pick }) => pick)).toEqual(["a", "b", "a"]);
  });

  test("every cell lies in one region of its pick; neighbours share one exactly where nothing flips", () => {
    const pick = fc.constantFrom("a", "b", null);
    fc.assert(
      fc.property(fc.array(fc.array(pick, { minLength: 4, maxLength: 4 }), { minLength: 1, maxLength: 5 }), (picks) => {
        const { regions, regionOf, flips } = flipMap({ rows: picks.map((_, k) => k), columns: [0, 1, 2, 3], picks });
        expect(regions.reduce((sum, { cells }) => sum + cells.length, 0)).toBe(4 * picks.length);
        regions.forEach((region, k) => {
          for (const { row, column } of region.cells) {
            expect(picks[row]?.[column]).toBe(region.pick);
            expect(regionOf[row]?.[column]).toBe(k);
          }
        });
        const flipped = new Set(flips.map(({ from, to }) => border(from.row, from.column, to.row > from.row)));
        picks.forEach((list, row) => {
          list.forEach((_, column) => {
            const here = regionOf[row]?.[column];
            const [right, below] = [regionOf[row]?.[column + 1], regionOf[row + 1]?.[column]];
            expect(flipped.has(border(row, column, false))).toBe(right !== undefined && right !== here);
            expect(flipped.has(border(row, column, true))).toBe(below !== undefined && below !== here);
          });
        });
      }),
      { seed: 72, numRuns: 100 },
    );
  });
});
