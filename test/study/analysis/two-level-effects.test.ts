import * as fc from "fast-check";
import { expect, test } from "vitest";
import { halfNormalPoints } from "../../../src/study/analysis/half-normal.ts";
import { lenth } from "../../../src/study/analysis/lenth.ts";
import { levelMeans } from "../../../src/study/analysis/level-means.ts";
import { residualSequence } from "../../../src/study/analysis/residual-sequence.ts";
import { twoLevelEffects } from "../../../src/study/analysis/two-level-effects.ts";
import { asCoded, reactorHalf, twoLevel } from "./published-fits.ts";

/** The full design of three factors in standard order. */
const CUBE = Array.from({ length: 8 }, (_, k) => [0, 1, 2].map((bit) => ((k >> bit) % 2 === 1 ? 1 : -1)));
const eight = fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 8, maxLength: 8 });

test("effects are mean at the high less mean at the low level, products likewise", () => {
  fc.assert(
    fc.property(eight, (response) => {
      const { effects, mean } = twoLevelEffects({ factors: asCoded(["0", "1", "2"]), runs: CUBE, response, depth: 3 });
      expect(effects).toHaveLength(7);
      expect(mean).toBeCloseTo(response.reduce((sum, y) => sum + y, 0) / 8, 9);
      for (const { term, value } of effects) {
        const sign = (k: number): number => term.of.reduce((product, id) => product * (CUBE[k]?.[Number(id)] ?? 0), 1);
        expect(value).toBeCloseTo(
          response.reduce((sum, y, k) => sum + (sign(k) * y) / 4, 0),
          9,
        );
      }
      const [low, high] = levelMeans({ runs: CUBE, response }, 1);
      expect(effects[1]?.value).toBeCloseTo(Number(high?.mean) - Number(low?.mean), 9);
    }),
    { seed: 41, numRuns: 100 },
  );
});

test("a half fraction says what it cannot tell apart, beside the notes of the design", () => {
  const { effects, remarks } = twoLevelEffects({ ...reactorHalf(), depth: 4, aliases: { B: ["block 2"] } });
  expect(effects).toHaveLength(15);
  const aliases = Object.fromEntries(effects.map(({ name, aliases: others }) => [name, others]));
  expect(aliases["B"]).toEqual(["block 2", "A × C × D × E"]);
  expect(aliases["D × E"]).toEqual(["A × B × C"]);
  expect(remarks.every(({ kind }) => kind === "aliased")).toBe(true);
});

test("a fraction of the other sign names its aliases with a minus", () => {
  const runs = CUBE.filter(([a = 0, b = 0, c = 0]) => a * b * c < 0);
  const { effects } = twoLevelEffects({ factors: asCoded(["A", "B", "C"]), runs, response: [1, 5, 2, 4], depth: 2 });
  expect(effects.map(({ name, aliases }) => [name, ...aliases])).toEqual([
    ["A", "−B × C"],
    ["B", "−A × C"],
    ["C", "−A × B"],
  ]);
});

test("in Plackett and Burman's design of 12 runs each product adds a third of itself to the other factors", () => {
  const first = [1, 1, -1, 1, 1, 1, -1, -1, -1, 1, -1];
  const turned = first.map((_, k) => first.map((_level, j) => first[(j - k + 11) % 11] ?? 0));
  const ids = first.map((_, k) => `${k + 1}`);
  const { effects } = twoLevelEffects({
    factors: asCoded(ids),
    runs: [...turned, first.map(() => -1)],
    response: ids.map(Number).concat(3),
    depth: 2,
  });
  expect(effects).toHaveLength(11);
  for (const { name, aliases } of effects) {
    // Every product of two other factors, by a third of it: R. L. Plackett, J. P. Burman, Biometrika 33 (1946) 305.
    expect(aliases).toHaveLength(45);
    for (const alias of aliases) expect(alias).toMatch(/^−?0\.3333 × \d+ × \d+$/u);
    expect(aliases.every((alias) => !alias.split(" × ").includes(name))).toBe(true);
  }
});

test("filtration rate: A, AC, AD and D stand out of the rest for sure, C likely (Montgomery, example 6.2)", () => {
  const found = lenth(twoLevelEffects(twoLevel("factorial/montgomery_filtration_2^4.csv")).effects);
  expect(found).toMatchObject({
    likely: ["A", "C", "D", "A × C", "A × D"],
    active: ["A", "D", "A × C", "A × D"],
    freedom: 5,
  });
});

test("margins scale with the effects and say why there are none", () => {
  const effects = [1, -4, 2, 0.5, 3].map((value, k) => ({ name: String(k), value }));
  const [one, ten] = [lenth(effects), lenth(effects.map(({ name, value }) => ({ name, value: -10 * value })))];
  if ("absent" in one || "absent" in ten) throw new Error("absent");
  expect(ten.marginOfError).toBeCloseTo(10 * one.marginOfError, 9);
  expect(one.simultaneousMargin).toBeGreaterThan(one.marginOfError);
  expect(lenth(effects.slice(1, 2))).toEqual({ absent: "too-few-effects" });
  expect(lenth([0, 0, 0, 5].map((value) => ({ name: "", value })))).toEqual({ absent: "all-zero-effects" });
});

test("half-normal scores are quantiles of a half-normal variable (normal table, three decimals)", () => {
  const points = halfNormalPoints(
    Array.from({ length: 15 }, (_, k) => ({ name: `${k}`, value: k % 2 === 0 ? -k : k })),
  );
  expect(points.map(({ size }) => size)).toEqual(Array.from({ length: 15 }, (_, k) => k));
  // Φ(0.0418) = 0.5167, Φ(0.674) = 0.75, Φ(2.128) = 0.9833
  expect(points[0]?.score).toBeCloseTo(0.0418, 4);
  expect(points[7]?.score).toBeCloseTo(0.674, 3);
  expect(points[14]?.score).toBeCloseTo(2.128, 3);
});

test("residual deviations fall to none as effects come in, largest first", () => {
  const request = { factors: asCoded(["A", "B", "C"]), runs: CUBE, response: [1, 9, 4, 4, 2, 8, 6, 3] };
  const steps = residualSequence(request, twoLevelEffects({ ...request, depth: 3 }));
  expect(steps).toHaveLength(8);
  expect(steps.at(-1)?.residualSd).toEqual({ absent: "no-error-freedom" });
  expect(Number(steps[1]?.residualSd)).toBeLessThan(Number(steps[0]?.residualSd));
});
