import { describe, expect, test } from "vitest";
import { conferenceMatrix } from "../../../src/study/designs/conference-matrix.ts";
import { type DesignFactor, makeDesign } from "../../../src/study/designs/design.ts";
import { finiteField } from "../../../src/study/designs/finite-field.ts";
import { json } from "./published.ts";
import { continuous, FREE, figure, gram, made, refused, said, scaledIdentity } from "./sample.ts";

test.each([3, 5, 7, 9, 11, 13, 17, 19, 23, 25, 27, 29, 31])(
  "GF(%i): no divisors of zero, and half of what is not 0 is a square",
  (order) => {
    const { multiply, subtract } = finiteField(order) ?? { multiply: () => 0, subtract: () => 0 };
    const elements = Array.from({ length: order }, (_, a) => a);
    for (const a of elements.slice(1)) {
      expect(new Set(elements.map((b) => multiply(a, b))).size).toBe(order);
      expect(new Set(elements.map((b) => subtract(a, b))).size).toBe(order);
      for (const b of elements) expect(multiply(a, subtract(b, 1))).toBe(subtract(multiply(a, b), a));
    }
    expect(new Set(elements.slice(1).map((a) => multiply(a, a))).size).toBe((order - 1) / 2);
  },
);

test("15 and 21 are no orders of fields", () => {
  expect([15, 21].map(finiteField)).toEqual([undefined, undefined]);
});

describe("conference matrices", () => {
  test.each([4, 6, 8, 10, 12, 14, 16, 18, 20, 24, 26, 28, 30, 32])(
    "order %i: 0 on the diagonal, ±1 elsewhere, C'C = (n − 1)·I",
    (order) => {
      const matrix = conferenceMatrix(order);
      expect(matrix.map((row) => row.length)).toEqual(Array.from({ length: order }, () => order));
      matrix.forEach((row, i) => {
        expect(row.map(Math.abs)).toEqual(row.map((_, k) => Number(k !== i)));
      });
      expect(gram(matrix)).toEqual(scaledIdentity(order, order - 1));
    },
  );

  test("order 6 is the published one (Paley), and the published one of order 4 passes the same check", () => {
    const published = json("dsd_conference.json") as { C4_daewr: number[][]; C6_Paley: number[][] };
    expect(conferenceMatrix(6)).toEqual(published.C6_Paley);
    expect(gram(published.C4_daewr)).toEqual(scaledIdentity(4, 3));
  });
});

// Xiao, Lin, Bai (2012): 2·m + 1 runs for even m, 2·m + 3 for odd m; 21 and 22 step over the order 22, which does not exist.
const RUNS = [3, 4, 5, 6, 7, 8, 9, 10, 15, 16, 21, 22, 25, 26, 27, 28, 32].map((factors): [number, number] => {
  const even = factors + (factors % 2);
  return [factors, 2 * (even === 22 ? 24 : even) + 1];
});

test.each(RUNS)(
  "%i factors in %i runs: main effects orthogonal to each other, to squares and to interactions (Jones, Nachtsheim 2011)",
  (factors, runs) => {
    const design = made({ kind: "definitive-screening" }, continuous(factors));
    const { points } = design;
    expect(points.length).toBe(runs);
    expect(new Set(points.map(String)).size).toBe(runs);
    const mains = gram(points);
    const own = mains[0]?.[0] ?? 0;
    expect(mains).toEqual(scaledIdentity(factors, own));
    let looked = 0;
    for (let a = 0; a < factors; a += 1) {
      for (let b = 0; b < factors; b += 1) {
        for (let c = b; c < factors; c += 1) {
          looked += Math.abs(
            points.reduce((sum, point) => sum + (point[a] ?? 0) * (point[b] ?? 0) * (point[c] ?? 0), 0),
          );
        }
      }
    }
    expect(looked).toBe(0);
    // Squares can be told from each other, too.
    expect(figure(design, "D-efficiency, main effects and squares")).toBeGreaterThan(0.1);
  },
);

/** Five continuous factors and some of two levels. */
function mixed(flat: number): DesignFactor[] {
  const brakes = Array.from({ length: flat }, (_, k) => ({ id: `brake ${k}`, levels: 2, isCategorical: true }));
  return [...continuous(5), ...brakes];
}

function ask(factors: readonly DesignFactor[]): string {
  return refused(makeDesign({ kind: "definitive-screening" }, factors, FREE)).refused;
}

describe("factors of two levels", () => {
  test.each([1, 2, 3, 4])(
    "%i of them beside five others: a fold-over with two centre runs, little correlation",
    (flat) => {
      const { points, ...rest } = made({ kind: "definitive-screening" }, mixed(flat));
      const order = 5 + flat + ((5 + flat) % 2);
      expect(points.length).toBe(2 * order + 2);
      for (let k = 5; k < 5 + flat; k += 1) {
        expect(points.filter((point) => point[k] === 1).length).toBe(order + 1);
        expect(points.filter((point) => point[k] === 0).length).toBe(order + 1);
      }
      expect(figure({ points, ...rest }, "largest correlation between factors")).toBeLessThan(0.25);
      expect(figure({ points, ...rest }, "D-efficiency, main effects")).toBeGreaterThan(0.75);
    },
  );

  test("only such factors, too many of them, or levels without a middle are refused", () => {
    const flat = Array.from({ length: 4 }, (_, k) => ({ id: `f${k}`, levels: 2, isCategorical: true }));
    expect(ask(flat)).toMatch(/4 of 4 factors have two levels/);
    expect(ask(mixed(7))).toMatch(/7 of 12/);
    expect(ask([...continuous(3), { id: "frame", levels: 3, isCategorical: true }])).toMatch(/frame has 3 levels/);
    expect(ask([...continuous(3), { id: "poles", levels: 4, isCategorical: false }])).toMatch(/poles has 4 levels/);
    expect(ask(continuous(2))).toMatch(/2 factors/);
    expect(ask(continuous(33))).toMatch(/33 factors/);
  });
});

test("a step over a missing order is said", () => {
  const design = made({ kind: "definitive-screening" }, continuous(22));
  expect(figure(design, "order of the conference matrix")).toBe(24);
  expect(said(design, "spare columns")).toBe("2 dropped");
});
