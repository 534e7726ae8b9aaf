import { describe, expect, test } from "vitest";
import { makeDesign } from "../../../src/study/designs/design.ts";
import { SCREENING_RUNS } from "../../../src/study/designs/hadamard.ts";
import { wordLengthPattern } from "../../../src/study/designs/word-length.ts";
import { json, numbers } from "./published.ts";
import { continuous, FREE, figure, gram, longer, made, refused, said, scaledIdentity } from "./sample.ts";

test.each(SCREENING_RUNS)("%i runs: balanced and orthogonal in all columns", (runs) => {
  const { points } = made({ kind: "plackett-burman", runs }, continuous(runs - 1));
  expect(points.length).toBe(runs);
  expect(points[0]?.length).toBe(runs - 1);
  expect(gram(points)).toEqual(scaledIdentity(runs - 1, runs));
  expect(gram(points.map((point) => [1, ...point]))).toEqual(scaledIdentity(runs, runs));
});

/** A point as a row of signs. */
function signs(point: readonly number[] = []): string {
  return point.map((x) => (x > 0 ? "+" : "-")).join("");
}

const { generating_rows: rows } = json("plackett_burman.json") as { generating_rows: Record<string, string> };

test.each(Object.entries(rows))(
  "%s runs begin with the published row and end with minus signs (Plackett, Burman 1946)",
  (runs, row) => {
    const { points } = made({ kind: "plackett-burman", runs: Number(runs) }, continuous(Number(runs) - 1));
    expect(signs(points[0])).toBe(row);
    expect(signs(points.at(-1))).toBe("-".repeat(row.length));
    const shifts = row.split("").map((_, k) => row.slice(k) + row.slice(0, k));
    expect(points.slice(0, -1).map(signs).toSorted()).toEqual(shifts.toSorted());
  },
);

test("12 runs: the word-length pattern is that of the array L12 (all Hadamard matrices of order 12 are one up to order and sign)", () => {
  const array = numbers("L12.2.11.csv").map((row) => row.map((x) => 2 * x - 3));
  expect(array.length).toBe(12);
  const { points } = made({ kind: "plackett-burman" }, continuous(11));
  expect(wordLengthPattern(points)).toEqual(wordLengthPattern(array));
});

describe("aliasing", () => {
  const CORRELATION = "largest correlation of a main effect with an interaction of two others";

  test("12 runs: main effects lean on interactions of two others by a third (Myers, Montgomery, Anderson-Cook, chapter 4)", () => {
    const design = made({ kind: "plackett-burman" }, continuous(11));
    expect(figure(design, CORRELATION)).toBeCloseTo(1 / 3, 12);
    expect(said(design, "aliasing")).toMatch(/^complex/);
  });

  test("8 runs are a regular fraction: aliases are full and named", () => {
    const design = made({ kind: "plackett-burman" }, continuous(7));
    expect(figure(design, CORRELATION)).toBe(1);
    expect(said(design, "main effect of A").split(",").length).toBe(3);
  });

  test.each([{ fold_over: true }, {}])(
    "folded over, at once or as the next step, main effects are clear: %j",
    (wish) => {
      const request = { kind: "plackett-burman", ...wish } as const;
      const factors = continuous(11);
      const first = made(request, factors);
      const design = "fold_over" in wish ? first : longer(first, request, factors);
      expect(design.points.length).toBe(24);
      expect(said(design, "resolution")).toBe("IV");
      expect(figure(design, CORRELATION)).toBe(0);
      expect(gram(design.points)).toEqual(scaledIdentity(11, 24));
    },
  );
});

test("the fewest runs that hold the factors are taken, and other numbers refused", () => {
  expect(made({ kind: "plackett-burman" }, continuous(8)).points.length).toBe(12);
  expect(made({ kind: "plackett-burman", runs: 20 }, continuous(8)).points.length).toBe(20);
  for (const runs of [8, 14]) {
    const { possible } = refused(makeDesign({ kind: "plackett-burman", runs }, continuous(8), FREE));
    expect(possible).toEqual(["runs: 12, 16, 20, 24, 28, 32, 36, 40, 44, 48"]);
  }
  expect(refused(makeDesign({ kind: "plackett-burman" }, continuous(83), FREE)).refused).toMatch(/83 factors/);
});
