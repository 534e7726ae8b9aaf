import * as fc from "fast-check";
import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { describe, expect, test } from "vitest";
import { remarkWords } from "../../../src/study/analysis/remark.ts";
import { type FactorIndices, type SobolIndices, sobolIndices } from "../../../src/study/analysis/sobol-indices.ts";
import { referenceJson } from "./reference.ts";

interface Analytic {
  readonly mean: number;
  readonly V: number;
  readonly S1: number[];
  readonly ST: number[];
}

const ANALYTIC = referenceJson("sensitivity_analytic.json") as { ishigami: Analytic; sobol_g_8: Analytic };

/** sin x₁ + 7·sin² x₂ + 0.1·x₃⁴·sin x₁ over (−π, π)³, from shares of the ranges. */
function ishigami(shares: readonly number[]): number {
  const [a = 0, b = 0, c = 0] = shares.map((share) => (2 * share - 1) * Math.PI);
  return Math.sin(a) + 7 * Math.sin(b) ** 2 + 0.1 * c ** 4 * Math.sin(a);
}

/** Π (|4·x − 2| + a)/(1 + a), a = 0, 1, 4.5, 9, 99, 99, 99, 99. */
function gFunction(shares: readonly number[]): number {
  const a = [0, 1, 4.5, 9, 99, 99, 99, 99];
  return shares.reduce((product, x, k) => (product * (Math.abs(4 * x - 2) + (a[k] ?? 0))) / (1 + (a[k] ?? 0)), 1);
}

/** Responses of blocks A, B, A with each factor from B, from points of twice as many shares as factors. */
function blocksOf(points: readonly (readonly number[])[], model: (shares: readonly number[]) => number): number[] {
  return points.flatMap((point) => {
    const [a, b] = [point.slice(0, point.length / 2), point.slice(point.length / 2)];
    return [a, b, ...a.map((_, i) => a.with(i, b[i] ?? 0))].map(model);
  });
}

/** Digits of k in a base, turned round the point. */
function radicalInverse(index: number, base: number): number {
  let [value, digit] = [0, 1 / base];
  for (let rest = index; rest > 0; rest = Math.floor(rest / base)) {
    value += (rest % base) * digit;
    digit /= base;
  }
  return value;
}

/** The Halton sequence, from its 21st point. */
function halton(count: number, width: number): number[][] {
  const primes = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53];
  return Array.from({ length: count }, (_, k) => primes.slice(0, width).map((prime) => radicalInverse(k + 21, prime)));
}

function seeded(count: number, width: number, seed: number): number[][] {
  const random = xoroshiro128plus(seed);
  return Array.from({ length: count }, () => Array.from({ length: width }, () => uniformFloat64(random)));
}

function known({ indices }: SobolIndices): readonly FactorIndices[] {
  if ("absent" in indices) throw new Error(indices.absent);
  return indices;
}

const IDS = ["x1", "x2", "x3", "x4", "x5", "x6", "x7", "x8"];

describe("analytic indices (Ishigami and Homma 1990; Saltelli and Sobol 1995)", () => {
  test("Ishigami: within 0.01 on 4096 points of a Halton sequence, and inside the intervals", () => {
    const response = blocksOf(halton(4096, 6), ishigami);
    const found = sobolIndices({ factors: IDS.slice(0, 3), response, seed: 1, resamples: 300 });
    expect(Math.abs(Number(found.mean) - ANALYTIC.ishigami.mean)).toBeLessThan(0.01);
    expect(Math.abs(Number(found.variance) - ANALYTIC.ishigami.V)).toBeLessThan(0.1);
    known(found).forEach(({ first, total }, k) => {
      for (const [index, exact] of [
        [first, ANALYTIC.ishigami.S1[k]],
        [total, ANALYTIC.ishigami.ST[k]],
      ] as const) {
        expect(Math.abs(index.value - (exact ?? 0))).toBeLessThan(0.01);
        expect(index.low).toBeLessThanOrEqual(exact ?? 0);
        expect(index.high).toBeGreaterThanOrEqual(exact ?? 0);
        expect(index.high - index.low).toBeLessThan(0.12);
      }
    });
  });

  test("G function of eight factors: inside intervals of 99.9 % on 4096 random points", () => {
    const response = blocksOf(seeded(4096, 16, 7), gFunction);
    const found = known(sobolIndices({ factors: IDS, response, seed: 2, resamples: 400, confidence: 0.999 }));
    expect(found).toHaveLength(8);
    found.forEach(({ first, total }, k) => {
      for (const [index, exact] of [
        [first, ANALYTIC.sobol_g_8.S1[k]],
        [total, ANALYTIC.sobol_g_8.ST[k]],
      ] as const) {
        expect(index.low).toBeLessThanOrEqual(exact ?? 0);
        expect(index.high).toBeGreaterThanOrEqual(exact ?? 0);
        expect(Math.abs(index.value - (exact ?? 0))).toBeLessThan(0.04);
      }
    });
  });

  test("intervals of 90 % hold the exact index about nine times in ten", () => {
    let [held, asked] = [0, 0];
    for (let seed = 1; seed <= 40; seed++) {
      const response = blocksOf(seeded(200, 6, seed), ishigami);
      const found = known(sobolIndices({ factors: IDS.slice(0, 3), response, seed, resamples: 200, confidence: 0.9 }));
      found.forEach(({ first, total }, k) => {
        const [one, all] = [ANALYTIC.ishigami.S1[k] ?? 0, ANALYTIC.ishigami.ST[k] ?? 0];
        held += Number(first.low <= one && one <= first.high) + Number(total.low <= all && all <= total.high);
        asked += 2;
      });
    }
    expect(asked).toBe(240);
    expect(held / asked).toBeGreaterThan(0.83);
    expect(held / asked).toBeLessThan(0.97);
  });
});

describe("what must not change", () => {
  const points = seeded(64, 6, 3);
  const response = blocksOf(points, ishigami);
  const factors = IDS.slice(0, 3);
  const options = { seed: 5, resamples: 50 };

  test("a constant or a factor on the response, or the order of blocks, changes no index", () => {
    const plain = known(sobolIndices({ factors, response, ...options }));
    const shuffled = blocksOf(points.toReversed(), ishigami);
    fc.assert(
      fc.property(fc.integer({ min: -1e6, max: 1e6 }), fc.constantFrom(-4, 0.5, 1000), (plus, times) => {
        for (const other of [response.map((y) => times * y + plus), shuffled]) {
          known(sobolIndices({ factors, response: other, ...options })).forEach(({ first, total }, k) => {
            expect(first.value).toBeCloseTo(plain[k]?.first.value ?? 0, 6);
            expect(total.value).toBeCloseTo(plain[k]?.total.value ?? 0, 6);
          });
        }
      }),
      { seed: 61, numRuns: 20 },
    );
  });

  test("the same seed draws the same intervals, another one others", () => {
    const once = sobolIndices({ factors, response, ...options });
    expect(sobolIndices({ factors, response, ...options })).toEqual(once);
    expect(sobolIndices({ factors, response, ...options, seed: 6 })).not.toEqual(once);
  });

  test("blocks with a lost run are left out, as if they had not been asked for, and counted", () => {
    const lost = response.map((y, k) => (k === 7 || k === 9 || k === 300 ? null : y));
    const without = response.filter((_, k) => Math.floor(k / 5) !== 1 && Math.floor(k / 5) !== 60);
    const [found, plain] = [lost, without].map((list) => sobolIndices({ factors, response: list, ...options }));
    expect(found?.indices).toEqual(plain?.indices);
    expect(found?.blocks).toBe(62);
    expect(found?.remarks.map(remarkWords)).toEqual([
      "2 of 64 blocks hold a run without a value (infeasible) and are left out",
    ]);
  });
});

test("a factor that does nothing has indices of zero exactly", () => {
  const response = blocksOf(seeded(50, 4, 9), ([a = 0]) => a * a);
  const [, idle] = known(sobolIndices({ factors: ["x1", "x2"], response, seed: 1, resamples: 50 }));
  expect(idle).toEqual({ factor: "x2", first: { value: 0, low: 0, high: 0 }, total: { value: 0, low: 0, high: 0 } });
});

test("constant responses and none at all are explained; broken blocks are our own mistake", () => {
  const constant = sobolIndices({ factors: ["x"], response: [4, 4, 4, 4, 4, 4], seed: 1 });
  expect(constant).toMatchObject({ indices: { absent: "constant" }, blocks: 2, mean: 4 });
  expect(constant.remarks.map(remarkWords)).toEqual(["the response is 4 in every run: no factor moves it"]);
  const none = sobolIndices({ factors: ["x"], response: [4, null, 4], seed: 1 });
  expect(none).toMatchObject({ indices: { absent: "no-runs" }, blocks: 0, mean: { absent: "no-runs" } });
  expect(none.remarks.map(({ kind }) => kind)).toEqual(["lost-blocks", "no-runs"]);
  expect(() => sobolIndices({ factors: ["x"], response: [1, 2], seed: 1 })).toThrow("no blocks of 3");
});
