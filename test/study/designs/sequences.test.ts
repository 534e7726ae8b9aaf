import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { extendDesign, makeDesign } from "../../../src/study/designs/design.ts";
import { radicalInverse } from "../../../src/study/designs/halton-points.ts";
import { SOBOL_DIMENSIONS, sobolPoint } from "../../../src/study/designs/sobol-points.ts";
import { centredDiscrepancy, smallestDistance } from "../../../src/study/designs/spread.ts";
import { json, numbers, table } from "./published.ts";
import { continuous, FREE, figure, longer, made, refused } from "./sample.ts";

const KINDS = ["sobol", "halton"] as const;

test.each(KINDS)("%s: the first 32 points of six dimensions (SciPy 1.10.1, unscrambled)", (kind) => {
  const published = numbers(`${kind}_d6_n32.csv`);
  expect(published.length).toBe(32);
  const { points } = made({ kind, runs: 32 }, continuous(6));
  points.forEach((point, i) => {
    point.forEach((x, k) => {
      expect((x + 1) / 2).toBeCloseTo(published[i]?.[k] ?? Number.NaN, 13);
    });
  });
});

test("Sobol: points far on in 16 dimensions, to the last bit (SciPy 1.17.1)", () => {
  const rows = table("sobol_d16.csv");
  expect(rows.length).toBe(12);
  for (const { index, ...coordinates } of rows) {
    expect(sobolPoint(Number(index), 16)).toEqual(Object.values(coordinates).map(Number));
  }
});

test("the direction numbers are those of Joe and Kuo: each first coordinate of a dimension's first points", () => {
  const rows = table("joe_kuo_first16.csv");
  expect(rows.length).toBe(SOBOL_DIMENSIONS);
  for (const { d, m_i: m = "" } of rows.slice(1)) {
    // Point 2^k less the last of the block before differs by direction number k: m/2^(k+1).
    m.split(" ").forEach((odd, k) => {
      const gray = 2 ** (k + 1) - 1;
      const corner = sobolPoint(gray, Number(d))[Number(d) - 1];
      expect(corner).toBe(Number(odd) / 2 ** (k + 1));
    });
  }
});

test("Halton: 1, 2, 3 … in base 2 and 3 (Halton 1960; printed fractions)", () => {
  expect([1, 2, 3, 4, 5, 6, 7].map((i) => radicalInverse(i, 2))).toEqual([
    1 / 2,
    1 / 4,
    3 / 4,
    1 / 8,
    5 / 8,
    3 / 8,
    7 / 8,
  ]);
  expect([1, 2, 3, 4, 5, 6, 7].map((i) => radicalInverse(i, 3))).toEqual([
    1 / 3,
    2 / 3,
    1 / 9,
    4 / 9,
    7 / 9,
    2 / 9,
    5 / 9,
  ]);
});

test("2^k Sobol points from a multiple of 2^k on put one into each interval of every factor", () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 8 }), fc.nat(20), fc.integer({ min: 1, max: 16 }), (k, block, factors) => {
      const runs = 2 ** k;
      const { points } = made({ kind: "sobol", runs, skip: block * runs }, continuous(factors));
      for (let factor = 0; factor < factors; factor += 1) {
        expect(new Set(points.map((point) => Math.floor((((point[factor] ?? 0) + 1) / 2) * runs))).size).toBe(runs);
      }
    }),
    { seed: 3, numRuns: 50 },
  );
});

describe("spread of points", () => {
  const checks = json("discrepancy_checks.json") as {
    points: Record<string, number[][]>;
    scipy_values: Record<string, { CD: number }>;
    phi_p15_and_mindist: Record<string, [number, number]>;
  };

  test.each(Object.keys(checks.points))(
    "centred discrepancy of %s (SciPy's published checks, after Fang et al. 2006)",
    (name) => {
      expect(centredDiscrepancy(checks.points[name] ?? [])).toBeCloseTo(
        checks.scipy_values[name]?.CD ?? Number.NaN,
        13,
      );
    },
  );

  test.each(Object.entries(checks.phi_p15_and_mindist))("smallest distance of %s", (name, [, distance]) => {
    expect(smallestDistance(checks.points[name] ?? [])).toBeCloseTo(distance, 14);
  });

  // qmc.discrepancy(method="CD") of SciPy 1.17.1 on its own unscrambled sequences.
  test.each([
    ["sobol", 0.0057875420590378646],
    ["halton", 0.013645845508126753],
  ] as const)("64 points of %s in six dimensions have discrepancy %f (SciPy 1.17.1)", (kind, expected) => {
    expect(figure(made({ kind, runs: 64 }, continuous(6)), "centred L2 discrepancy, squared")).toBeCloseTo(
      expected,
      13,
    );
  });
});

describe.each(KINDS)("%s", (kind) => {
  test("a longer design goes on with the sequence, skip or none", () => {
    for (const skip of [0, 17]) {
      const request = { kind, runs: 20, skip } as const;
      const grown = longer(made(request, continuous(4)), request, continuous(4), { more: 13 });
      expect(grown.points).toEqual(made({ ...request, runs: 33 }, continuous(4)).points);
    }
    const other = made({ kind: "sobol", runs: 20, skip: 5 }, continuous(4));
    expect(refused(extendDesign(other, { kind, runs: 20 }, continuous(4), FREE, 5)).refused).toMatch(/not the start/);
  });

  test("points that break a constraint are passed over, and counted", () => {
    const settings = { seed: 1, isAllowed: ([x = 0, y = 0]: readonly number[]) => x + y <= 0 };
    const design = made({ kind, runs: 40 }, continuous(2), settings);
    const all = made({ kind, runs: 200 }, continuous(2)).points;
    expect(design.points).toEqual(all.filter(settings.isAllowed).slice(0, 40));
    const last = all.findIndex((point) => point === undefined || String(point) === String(design.points.at(-1)));
    expect(figure(design, "points passed over for constraints")).toBe(last + 1 - 40);
    expect(figure(design, "next position in the sequence")).toBe(last + 1);
    const never = { seed: 1, isAllowed: () => false };
    expect(refused(makeDesign({ kind, runs: 4 }, continuous(2), never)).refused).toMatch(/only 0 of 4000/);
  });
});

test("listed levels get equal shares of a power of two", () => {
  const { points } = made({ kind: "sobol", runs: 64 }, [
    { id: "poles", levels: 4, isCategorical: false },
    ...continuous(2),
  ]);
  for (const level of [0, 1, 2, 3]) expect(points.filter(([x]) => x === level).length).toBe(16);
});

test("more than 16 factors are refused by Sobol, with what is possible", () => {
  const { possible } = refused(makeDesign({ kind: "sobol", runs: 8 }, continuous(17), FREE));
  expect(possible).toEqual(["at most 16 factors", "kind latin-hypercube", "kind halton"]);
  expect(made({ kind: "halton", runs: 8 }, continuous(17)).points.length).toBe(8);
});
