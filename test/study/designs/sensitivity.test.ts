import { describe, expect, test } from "vitest";
import { type DesignPoint, extendDesign, makeDesign } from "../../../src/study/designs/design.ts";
import { sobolPoint } from "../../../src/study/designs/sobol-points.ts";
import { json } from "./published.ts";
import { continuous, FREE, figure, longer, made, refused, said } from "./sample.ts";

/** The groups of a design: A, B, and A with one factor from B. */
function groups(points: readonly DesignPoint[], factors: number): DesignPoint[][] {
  return Array.from({ length: points.length / (factors + 2) }, (_, k) =>
    points.slice(k * (factors + 2), (k + 1) * (factors + 2)),
  );
}

test("groups of A, B, and A with each factor in turn from B; A and B side by side are Sobol points without the first", () => {
  const { points } = made({ kind: "sensitivity", base: 16 }, continuous(3));
  expect(points.length).toBe(16 * 5);
  groups(points, 3).forEach(([a = [], b = [], ...mixed], k) => {
    expect([...a, ...b].map((x) => (x + 1) / 2)).toEqual(sobolPoint(k + 1, 6));
    expect(mixed.length).toBe(3);
    mixed.forEach((point, j) => {
      expect(point).toEqual(a.map((x, factor) => (factor === j ? b[factor] : x)));
    });
  });
});

describe("indices of the Ishigami function come out (closed form)", () => {
  const { ishigami } = json("sensitivity_analytic.json") as {
    ishigami: { a: number; b: number; S1: number[]; ST: number[] };
  };
  const answer = (point: DesignPoint): number => {
    const [x = 0, y = 0, z = 0] = point.map((u) => u * Math.PI);
    return Math.sin(x) + ishigami.a * Math.sin(y) ** 2 + ishigami.b * z ** 4 * Math.sin(x);
  };

  // Estimators of Saltelli et al. (2010), table 2: first order (b), total (f, Jansen).
  test("base 4096: within 0.01", () => {
    const { points } = made({ kind: "sensitivity", base: 4096 }, continuous(3));
    const answers = groups(points, 3).map((group) => group.map(answer));
    const all = answers.flatMap(([a = 0, b = 0]) => [a, b]);
    const mean = all.reduce((sum, y) => sum + y, 0) / all.length;
    const variance = all.reduce((sum, y) => sum + (y - mean) ** 2, 0) / all.length;
    [0, 1, 2].forEach((j) => {
      const first =
        answers.reduce((sum, row) => sum + (row[1] ?? 0) * ((row[2 + j] ?? 0) - (row[0] ?? 0)), 0) /
        answers.length /
        variance;
      const total =
        answers.reduce((sum, row) => sum + ((row[0] ?? 0) - (row[2 + j] ?? 0)) ** 2, 0) /
        (2 * answers.length) /
        variance;
      expect(Math.abs(first - (ishigami.S1[j] ?? 9))).toBeLessThan(0.01);
      expect(Math.abs(total - (ishigami.ST[j] ?? 9))).toBeLessThan(0.01);
    });
  });
});

test("with more than eight factors the rows are those of a Latin hypercube of all columns of A and B", () => {
  const design = made({ kind: "sensitivity", base: 20 }, continuous(9));
  expect(said(design, "sampled from")).toMatch(/Latin hypercube/);
  const rows = groups(design.points, 9).map(([a = [], b = []]) => [...a, ...b]);
  for (let k = 0; k < 18; k += 1) {
    const taken = rows.map((row) => Math.floor((((row[k] ?? 0) + 1) / 2) * 20)).toSorted((x, y) => x - y);
    expect(taken).toEqual(Array.from({ length: 20 }, (_, cell) => cell));
  }
});

test.each([3, 9])("%i factors: a longer design has a larger base and the old points first", (count) => {
  const factors = continuous(count);
  const request = { kind: "sensitivity", base: 8 } as const;
  const first = made(request, factors);
  const grown = longer(first, request, factors, { more: count + 3 });
  expect(figure(grown, "base")).toBe(10);
  expect(grown.points.slice(0, first.points.length)).toEqual(first.points);
  const again = longer(grown, request, factors, { more: 1 });
  expect(again.points.slice(0, grown.points.length)).toEqual(grown.points);
});

test("the Sobol sequence goes on: no other points than those of the larger base", () => {
  const request = { kind: "sensitivity", base: 8 } as const;
  const grown = longer(made(request, continuous(3)), request, continuous(3), { more: 10 });
  expect(grown.points).toEqual(made({ ...request, base: 10 }, continuous(3)).points);
});

test("points of another design cannot go on", () => {
  const other = made({ kind: "sobol", runs: 40 }, continuous(3));
  expect(refused(extendDesign(other, { kind: "sensitivity", base: 8 }, continuous(3), FREE, 5)).refused).toMatch(
    /not those of this request/,
  );
});

test("listed levels have equal shares", () => {
  const { points } = made({ kind: "sensitivity", base: 64 }, [
    { id: "frame", levels: 4, isCategorical: true },
    ...continuous(2),
  ]);
  const levels = groups(points, 3).map(([a = []]) => a[0]);
  for (const level of [0, 1, 2, 3])
    expect(Math.abs(levels.filter((x) => x === level).length - 16)).toBeLessThanOrEqual(1);
});

test("constraints between factors are refused, as indices take factors as independent", () => {
  const settings = { seed: 1, isAllowed: ([x = 0, y = 0]: DesignPoint) => x + y <= 1 };
  const { refused: why } = refused(makeDesign({ kind: "sensitivity", base: 64 }, continuous(2), settings));
  expect(why).toMatch(/^\d+ of 256 points break a constraint/);
});
