import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type DesignFactor, type DesignPoint, makeDesign } from "../../../src/study/designs/design.ts";
import { latinRows } from "../../../src/study/designs/latin-hypercube.ts";
import { seeded } from "../../../src/study/designs/random.ts";
import { smallestDistance } from "../../../src/study/designs/spread.ts";
import { json } from "./published.ts";
import { continuous, FREE, figure, longer, made, refused, said } from "./sample.ts";

/** Cells of a factor that points take, the range cut into so many; on a border, the upper one. */
function cells(points: readonly DesignPoint[], factor: number, count: number): number[] {
  return points.map((point) => Math.floor((((point[factor] ?? 0) + 1) / 2) * count + 1e-9)).toSorted((a, b) => a - b);
}

const range = (count: number): number[] => Array.from({ length: count }, (_, k) => k);

const factor: fc.Arbitrary<DesignFactor> = fc.oneof(
  fc.constant({ id: "c", isCategorical: false }),
  fc.record({ id: fc.constant("l"), levels: fc.integer({ min: 2, max: 7 }), isCategorical: fc.boolean() }),
);

test("each cell of a continuous factor is taken once, and each level as often as the others, up to one", () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 25 }),
      fc.array(factor, { minLength: 1, maxLength: 5 }),
      fc.nat(1000),
      (runs, kinds, seed) => {
        const factors = kinds.map((kind, k) => ({ ...kind, id: `${kind.id}${k}` }));
        const { points } = made({ kind: "latin-hypercube", runs }, factors, { ...FREE, seed });
        expect(points.length).toBe(runs);
        factors.forEach(({ levels }, k) => {
          // A continuous factor has as many cells as runs, a listed one as many as levels.
          const taken = levels === undefined ? cells(points, k, runs) : points.map((point) => point[k] ?? 0);
          const counts = range(levels ?? runs).map((cell) => taken.filter((x) => x === cell).length);
          expect(counts.reduce((sum, count) => sum + count, 0)).toBe(runs);
          expect(Math.max(...counts) - Math.min(...counts)).toBeLessThanOrEqual(levels === undefined ? 0 : 1);
        });
      },
    ),
    { seed: 9, numRuns: 25 },
  );
});

describe("maximin", () => {
  test("six runs of two factors are as far apart as the better published sample of that size", () => {
    const { points, phi_p15_and_mindist: published } = json("discrepancy_checks.json") as {
      points: Record<string, number[][]>;
      phi_p15_and_mindist: Record<string, [number, number]>;
    };
    expect(points["space_1"]?.length).toBe(6);
    const design = made({ kind: "latin-hypercube", runs: 6 }, continuous(2));
    expect(figure(design, "smallest distance in the unit cube")).toBeGreaterThanOrEqual(
      (published["space_1"]?.[1] ?? 1) - 1e-12,
    );
  });

  test("no Latin hypercube of seven runs and two factors is farther apart (all 7! looked at)", () => {
    let best = 0;
    let looked = 0;
    const place = (rest: readonly number[], chosen: readonly number[]): void => {
      if (rest.length === 0) {
        looked += 1;
        best = Math.max(best, smallestDistance(chosen.map((y, x) => [(x + 0.5) / 7, (y + 0.5) / 7])));
      }
      for (const y of rest)
        place(
          rest.filter((other) => other !== y),
          [...chosen, y],
        );
    };
    place(range(7), []);
    expect(looked).toBe(5040);
    const design = made({ kind: "latin-hypercube", runs: 7 }, continuous(2));
    expect(figure(design, "smallest distance in the unit cube")).toBeCloseTo(best, 12);
  });

  test("the search spreads better than chance: than the best of 200 Latin hypercubes at random", () => {
    const found = figure(
      made({ kind: "latin-hypercube", runs: 20 }, continuous(4)),
      "smallest distance in the unit cube",
    );
    const chance = range(200).map((seed) => {
      const rows = latinRows(20, continuous(4), seeded(seed));
      return smallestDistance(rows.map((row) => row.map((x) => (x + 1) / 2)));
    });
    expect(found).toBeGreaterThan(1.2 * Math.max(...chance));
  });
});

describe("constraints", () => {
  const settings = { seed: 4, isAllowed: ([x = 0, y = 0]: DesignPoint) => x + y <= 0 };

  test("all points keep to them, no cell is taken twice, and those left out are counted", () => {
    const design = made({ kind: "latin-hypercube", runs: 30 }, continuous(3), settings);
    expect(design.points.length).toBe(30);
    expect(design.points.filter((point) => !settings.isAllowed(point))).toEqual([]);
    const left = figure(design, "points left out for constraints");
    expect(left).toBeGreaterThan(10);
    expect(said(design, "Latin hypercube")).toMatch(/^no: 30 of \d+ cells a factor/);
    for (const k of [0, 1, 2]) expect(new Set(cells(design.points, k, 30 + left)).size).toBe(30);
  });

  test("too narrow ones are refused", () => {
    const never = { seed: 1, isAllowed: () => false };
    expect(refused(makeDesign({ kind: "latin-hypercube", runs: 5 }, continuous(2), never)).refused).toMatch(
      /fewer than one/,
    );
  });

  test("a longer design keeps to them", () => {
    const request = { kind: "latin-hypercube", runs: 10 } as const;
    const grown = longer(made(request, continuous(2), settings), request, continuous(2), { more: 15, settings });
    expect(grown.points.length).toBe(25);
    expect(grown.points.filter((point) => !settings.isAllowed(point))).toEqual([]);
  });
});

describe("a longer design", () => {
  const request = { kind: "latin-hypercube", runs: 12 } as const;
  const factors = [...continuous(3), { id: "frame", levels: 4, isCategorical: true }];

  test("of twice the runs is a Latin hypercube again", () => {
    const grown = longer(made(request, factors), request, factors, { more: 12 });
    expect(said(grown, "Latin hypercube")).toBe("yes");
    for (const k of [0, 1, 2]) expect(cells(grown.points, k, 24)).toEqual(range(24));
    for (const level of range(4)) expect(grown.points.filter((point) => point[3] === level).length).toBe(6);
  });

  test("of other runs says truly whether each cell is still taken once; levels stay even", () => {
    const words = [5, 5, 1].reduce<{ design: ReturnType<typeof made>; words: string[] }>(
      (so, more) => {
        const design = longer(so.design, request, factors, { more });
        const runs = design.points.length;
        const torn = [0, 1, 2].filter((k) => new Set(cells(design.points, k, runs)).size < runs);
        const counts = range(4).map((level) => design.points.filter((point) => point[3] === level).length);
        expect(Math.max(...counts) - Math.min(...counts)).toBeLessThanOrEqual(1);
        const ids = torn.map((k) => "ABC"[k]).join(", ");
        expect(said(design, "Latin hypercube")).toBe(
          torn.length === 0 ? "yes" : `no longer strict: cells without a point for ${ids}`,
        );
        return { design, words: [...so.words, said(design, "Latin hypercube")] };
      },
      { design: made(request, factors), words: [] },
    ).words;
    expect(words.some((text) => text === "yes")).toBe(true);
    expect(words.some((text) => text !== "yes")).toBe(true);
  });

  test("grows from any other design", () => {
    const box = made({ kind: "box-behnken" }, continuous(3));
    const grown = longer(box, request, continuous(3), { more: 7 });
    expect(grown.points.slice(0, 13)).toEqual(box.points);
    expect(new Set(grown.points.map(String)).size).toBe(20);
  });
});
