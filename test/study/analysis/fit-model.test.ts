import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { contrastsOf, type Factor, type Level } from "../../../src/study/analysis/factor.ts";
import { type Fit, fitModel } from "../../../src/study/analysis/fit-model.ts";
import { modelMatrix } from "../../../src/study/analysis/model-matrix.ts";
import { remarkWords } from "../../../src/study/analysis/remark.ts";
import { MEAN, productTerms, termOf, termsOf } from "../../../src/study/analysis/term.ts";
import { numbersIn } from "./numbers-in.ts";
import { asCoded } from "./published-fits.ts";

describe("terms", () => {
  const number: Factor = { id: "A", kind: "continuous", low: 0, high: 10 };
  const colour: Factor = { id: "C", kind: "categorical", levels: ["red", "green", "blue"] };
  const factors: Factor[] = [number, { id: "B", kind: "listed", levels: [5, 7] }, colour];

  test("orders add products and then squares of what has more than two values", () => {
    const names = (order: "linear" | "interactions" | "quadratic"): string[] =>
      termsOf(factors, order).map(({ name }) => name);
    expect(names("linear")).toEqual(["mean", "A", "B", "C"]);
    expect(names("interactions")).toEqual(["mean", "A", "B", "C", "A × B", "A × C", "B × C"]);
    expect(names("quadratic")).toEqual(["mean", "A", "B", "C", "A × B", "A × C", "B × C", "A²"]);
    expect(productTerms(factors, 3)).toHaveLength(8);
    expect(termOf(["A", "B", "A", "A"]).name).toBe("A³ × B");
  });

  test("columns are coded, and sum to zero over the levels of a categorical factor", () => {
    const runs: Level[][] = [
      [0, 5, "red"],
      [10, 7, "green"],
      [5, 7, "blue"],
    ];
    const columns = modelMatrix(factors, termsOf(factors, "quadratic"), runs);
    expect(columns.map(({ name, values }) => [name, ...values])).toEqual([
      ["mean", 1, 1, 1],
      ["A", -1, 1, 0],
      ["B", -1, 1, 1],
      ["C [red]", 1, 0, -1],
      ["C [green]", 0, 1, -1],
      ["A × B", 1, 1, 0],
      ["A × C [red]", -1, 0, -0],
      ["A × C [green]", -0, 1, -0],
      ["B × C [red]", -1, 0, -1],
      ["B × C [green]", -0, 1, -1],
      ["A²", 1, 1, 0],
    ]);
  });

  test("a level that is not the factor's, or a factor that is not there, is our own mistake", () => {
    expect(() => contrastsOf(colour)[0]?.of("pink")).toThrow("C has no level pink");
    expect(() => contrastsOf(number)[0]?.of("pink")).toThrow("A is a number");
    expect(() => contrastsOf(number)[0]?.of(Number.NaN)).toThrow("A is a number");
    expect(() => modelMatrix(factors, [termOf(["D"])], [])).toThrow("no factor D");
    expect(() => modelMatrix(factors, [termOf(["A"])], [[]])).toThrow("A is a number");
    const terms = termsOf([number], "linear");
    expect(() => fitModel({ factors: [number], terms, runs: [[1]], response: [Number.NaN] })).toThrow(
      "response is NaN",
    );
  });
});

test("survival under three poisons and four treatments: Box, Hunter, Hunter, table 8.2 (data and figures from memory)", () => {
  const hours = [
    [0.31, 0.45, 0.46, 0.43, 0.82, 1.1, 0.88, 0.72, 0.43, 0.45, 0.63, 0.76, 0.45, 0.71, 0.66, 0.62],
    [0.36, 0.29, 0.4, 0.23, 0.92, 0.61, 0.49, 1.24, 0.44, 0.35, 0.31, 0.4, 0.56, 1.02, 0.71, 0.38],
    [0.22, 0.21, 0.18, 0.23, 0.3, 0.37, 0.38, 0.29, 0.23, 0.25, 0.24, 0.22, 0.3, 0.36, 0.31, 0.33],
  ];
  const factors: Factor[] = [
    { id: "poison", kind: "categorical", levels: ["I", "II", "III"] },
    { id: "treatment", kind: "categorical", levels: ["A", "B", "C", "D"] },
  ];
  const runs = hours.flatMap((row, k) =>
    row.map((_, j) => [["I", "II", "III"][k] ?? "", "ABCD"[Math.floor(j / 4)] ?? ""]),
  );
  const { terms, residual, pureError } = fitModel({
    factors,
    terms: productTerms(factors, 2),
    runs,
    response: hours.flat(),
  }).anova;
  const table = terms.map(({ term, sequential }) => [
    term.name,
    sequential.freedom,
    sequential.sumOfSquares.toFixed(4),
    Number(sequential.f).toFixed(4),
  ]);
  expect(table).toEqual([
    ["poison", 2, "1.0330", "23.2217"],
    ["treatment", 3, "0.9212", "13.8056"],
    ["poison × treatment", 6, "0.2501", "1.8743"],
  ]);
  expect(Number(terms[2]?.sequential.p)).toBeCloseTo(0.1123, 4);
  expect(residual.sumOfSquares).toBeCloseTo(0.8007, 4);
  // In a balanced design the order of terms does not matter, and a full model leaves pure error alone.
  for (const { sequential, partial } of terms) expect(partial.sumOfSquares).toBeCloseTo(sequential.sumOfSquares, 12);
  expect("absent" in pureError ? 0 : pureError.sumOfSquares).toBeCloseTo(residual.sumOfSquares, 12);
});

const A: Factor = { id: "A", kind: "continuous", low: -3, high: 5 };
const B: Factor = { id: "B", kind: "categorical", levels: ["x", "y", "z"] };
const C: Factor = { id: "C", kind: "listed", levels: [1, 2, 5] };
const MIXED: Factor[] = [A, B, C];

const anyRun = fc.tuple(
  fc.integer({ min: -3, max: 5 }),
  fc.constantFrom("x", "y", "z"),
  fc.constantFrom(1, 2, 5),
  fc.integer({ min: -500, max: 500 }),
);
const anyRuns = fc.array(anyRun, { minLength: 22, maxLength: 30 });

type Rows = readonly (readonly [number, string, number, number])[];

function fitRows(rows: Rows, options: { factors?: Factor[]; times?: number; plus?: number } = {}): Fit {
  const { factors = MIXED, times = 1, plus = 0 } = options;
  return fitModel({
    factors,
    terms: termsOf(factors, "quadratic"),
    runs: rows.map(([a, b, c]) => [a, b, c]),
    response: rows.map((row) => times * row[3] + plus),
  });
}

/** How far a figure lies from another, as a share of a whole; absent alike: 0. */
function distance(found: unknown, expected: unknown, whole: number): number {
  if (typeof found !== "number" || typeof expected !== "number") {
    return JSON.stringify(found) === JSON.stringify(expected) ? 0 : Number.POSITIVE_INFINITY;
  }
  return Math.abs(found - expected) / Math.max(whole, 1e-300);
}

const CLOSE = 1e-8;

describe("what must not change", () => {
  test("a constant on the response moves the mean alone; a factor scales coefficients; tests stay", () => {
    fc.assert(
      fc.property(anyRuns, (rows) => {
        const [plain, moved, scaled] = [fitRows(rows), fitRows(rows, { plus: 1e5 }), fitRows(rows, { times: -8 })];
        const size = Math.max(...plain.coefficients.map(({ value }) => Math.abs(value)));
        plain.coefficients.forEach(({ value, t, p, name }, k) => {
          expect(distance(moved.coefficients[k]?.value, value + (name === "mean" ? 1e5 : 0), 1e3 * size)).toBeLessThan(
            CLOSE,
          );
          expect(distance(scaled.coefficients[k]?.value, -8 * value, size)).toBeLessThan(CLOSE);
          expect(distance(scaled.coefficients[k]?.p, p, 1)).toBeLessThan(CLOSE);
          expect(distance(scaled.coefficients[k]?.t, typeof t === "number" ? -t : t, 1e3)).toBeLessThan(CLOSE);
        });
        expect(distance(moved.r2, plain.r2, 1)).toBeLessThan(CLOSE);
        expect(distance(scaled.r2, plain.r2, 1)).toBeLessThan(CLOSE);
        expect(distance(moved.predictedR2, plain.predictedR2, 1e3)).toBeLessThan(CLOSE);
      }),
      { seed: 31, numRuns: 30 },
    );
  });

  test("the order of the runs, of the levels, and the range of a factor do not change fit and squares", () => {
    fc.assert(
      fc.property(anyRuns, (rows) => {
        const plain = fitRows(rows);
        const others = [
          fitRows(rows.toReversed()),
          fitRows(rows, { factors: [A, { id: "B", kind: "categorical", levels: ["z", "x", "y"] }, C] }),
          fitRows(rows, { factors: [{ id: "A", kind: "continuous", low: -30, high: 7 }, B, C] }),
        ];
        const total = plain.anova.total.sumOfSquares;
        others.forEach((other, k) => {
          expect(distance(other.anova.residual.sumOfSquares, plain.anova.residual.sumOfSquares, total)).toBeLessThan(
            CLOSE,
          );
          expect(distance(other.r2, plain.r2, 1)).toBeLessThan(CLOSE);
          const fitted = k === 0 ? other.fitted.toReversed() : other.fitted;
          plain.fitted.forEach((value, i) => expect(distance(fitted[i], value, 1e3)).toBeLessThan(CLOSE));
        });
      }),
      { seed: 32, numRuns: 30 },
    );
  });
});

describe("the analysis of variance", () => {
  test("sequential squares add up to the model's, and what a term adds last is what the model loses without it", () => {
    fc.assert(
      fc.property(anyRuns, (rows) => {
        const fit = fitRows(rows);
        const { terms, model, residual, total } = fit.anova;
        const all = terms.reduce((sum, { sequential }) => sum + sequential.sumOfSquares, 0);
        expect(distance(all, model.sumOfSquares, total.sumOfSquares)).toBeLessThan(CLOSE);
        expect(
          distance(model.sumOfSquares + residual.sumOfSquares, total.sumOfSquares, total.sumOfSquares),
        ).toBeLessThan(CLOSE);
        if (fit.remarks.length > 0) return;
        for (const { term, partial } of terms) {
          const without = fitModel({
            factors: MIXED,
            terms: [MEAN, ...terms.map((other) => other.term).filter((other) => other !== term)],
            runs: rows.map(([a, b, c]) => [a, b, c]),
            response: rows.map((row) => row[3]),
          });
          const lost = without.anova.residual.sumOfSquares - residual.sumOfSquares;
          expect(distance(partial.sumOfSquares, lost, total.sumOfSquares)).toBeLessThan(CLOSE);
          expect(without.anova.residual.freedom - residual.freedom).toBe(partial.freedom);
        }
      }),
      { seed: 33, numRuns: 30 },
    );
  });

  test("predicted R² is that of leaving out each run in turn", () => {
    const factors = asCoded(["x"]);
    const terms = termsOf(factors, "quadratic");
    const x = [-1, -0.7, -0.1, 0, 0.3, 0.4, 0.9, 1];
    const y = [3, 5, 2, 8, 7, 7, 1, 0];
    const press = x.reduce((sum, left, k) => {
      const runs = x.toSpliced(k, 1).map((value) => [value]);
      const { coefficients } = fitModel({ factors, terms, runs, response: y.toSpliced(k, 1) });
      const [a = 0, b = 0, c = 0] = coefficients.map(({ value }) => value);
      return sum + ((y[k] ?? 0) - (a + b * left + c * left * left)) ** 2;
    }, 0);
    const { predictedR2, anova } = fitModel({ factors, terms, runs: x.map((value) => [value]), response: y });
    expect(predictedR2).toBeCloseTo(1 - press / anova.total.sumOfSquares, 12);
  });
});

describe("what cannot be said is explained", () => {
  const factors = asCoded(["A", "B", "C"]);
  const half = [
    [-1, -1, 1],
    [1, -1, -1],
    [-1, 1, -1],
    [1, 1, 1],
  ];

  test("a saturated model has no error, and says which products it cannot tell from factors", () => {
    const fit = fitModel({ factors, terms: termsOf(factors, "interactions"), runs: half, response: [1, 2, 4, 9] });
    expect(fit.coefficients.map(({ name }) => name)).toEqual(["mean", "A", "B", "C"]);
    expect(fit.coefficients[1]).toMatchObject({
      standardError: { absent: "no-error-freedom" },
      t: { absent: "no-error-freedom" },
      p: { absent: "no-error-freedom" },
    });
    expect(fit.residualSd).toEqual({ absent: "no-error-freedom" });
    expect(fit.r2).toBe(1);
    expect(fit.adjustedR2).toEqual({ absent: "no-error-freedom" });
    expect(fit.predictedR2).toEqual({ absent: "full-leverage" });
    expect(fit.anova.model.f).toEqual({ absent: "no-error-freedom" });
    expect(fit.anova.terms[3]?.partial).toMatchObject({ freedom: 0, sumOfSquares: 0, f: { absent: "no-freedom" } });
    expect(fit.remarks.map(remarkWords)).toEqual([
      "A × B is left out: in these runs it equals C",
      "A × C is left out: in these runs it equals B",
      "B × C is left out: in these runs it equals A",
      "4 coefficients take as many runs: no degrees of freedom for error, no standard errors",
    ]);
  });

  test("a factor that never changed is aliased with the mean, one that stays at its centre is zero", () => {
    const runs = [-1, 1, -1, 1, 0].map((a) => [a, 1, 0]);
    const fit = fitModel({ factors, terms: termsOf(factors, "linear"), runs, response: [1, 2, 2, 3, 4] });
    expect(fit.remarks.map(remarkWords)).toEqual([
      "B is left out: in these runs it equals mean",
      "C is left out: it is zero in every run",
    ]);
  });

  test("a constant response has coefficients of zero and no R²", () => {
    const fit = fitModel({
      factors,
      terms: termsOf(factors, "linear"),
      runs: [...half, [0, 0, 0]],
      response: [7, 7, 7, 7, 7],
    });
    expect(fit.coefficients.map(({ value }) => value + 0)).toEqual([7, 0, 0, 0]);
    expect([fit.r2, fit.adjustedR2, fit.predictedR2]).toEqual([1, 2, 3].map(() => ({ absent: "constant" })));
    expect(fit.remarks.map(remarkWords)).toEqual(["the response is 7 in every run: no factor moves it"]);
  });

  test("an exact fit has errors of zero and tests nothing", () => {
    const runs = [-1, -0.5, 0, 0.1, 1].map((a) => [a]);
    const one = asCoded(["A"]);
    const response = runs.map(([a = 0]) => 0.1 + 0.3 * a);
    const fit = fitModel({ factors: one, terms: termsOf(one, "linear"), runs, response });
    expect(fit.residualSd).toBe(0);
    expect(fit.coefficients[1]).toMatchObject({
      standardError: 0,
      t: { absent: "no-error" },
      p: { absent: "no-error" },
    });
    expect(fit.remarks).toEqual([{ kind: "exact-fit" }]);
  });

  test("infeasible runs are left out and counted; without any run left nothing is said", () => {
    const terms = termsOf(factors, "linear");
    const some = fitModel({ factors, terms, runs: [...half, [0, 0, 0]], response: [1, null, 4, 9, 2] });
    expect(some.used).toEqual([0, 2, 3, 4]);
    expect(some.remarks.map(remarkWords)[0]).toBe("1 of 5 runs gave no value (infeasible) and are left out");
    const none = fitModel({ factors, terms, runs: half, response: [null, null, null, null] });
    expect(none.coefficients).toEqual([]);
    expect([none.r2, none.residualSd]).toEqual([{ absent: "no-runs" }, { absent: "no-runs" }]);
    expect(none.remarks.map(remarkWords).at(-1)).toBe("no run gave a value");
    expect(numbersIn(none).every(Number.isFinite)).toBe(true);
  });

  test("lack of fit needs repeats, repeats that differ, and settings to spare", () => {
    const one = asCoded(["A"]);
    const lackOf = (a: readonly number[], response: readonly number[]): unknown =>
      fitModel({ factors: one, terms: termsOf(one, "linear"), runs: a.map((value) => [value]), response }).anova
        .lackOfFit;
    expect(lackOf([-1, 0, 1], [1, 2, 4])).toEqual({ absent: "no-replicates" });
    expect(lackOf([-1, -1, 1, 1], [1, 2, 4, 5])).toEqual({ absent: "no-lack-of-fit-freedom" });
    expect(lackOf([-1, 0, -0, 1], [1, 2, 2, 4])).toMatchObject({ f: { absent: "no-pure-error" } });
    expect(lackOf([-1, 0, 0, 1], [1, 2, 3, 4])).toMatchObject({ freedom: 1 });
  });

  test("no figure of any fit is NaN or infinite", () => {
    fc.assert(
      fc.property(
        fc.array(anyRun, { maxLength: 12 }),
        fc.array(fc.boolean(), { minLength: 12, maxLength: 12 }),
        fc.constantFrom("linear" as const, "interactions" as const, "quadratic" as const),
        (rows, lost, order) => {
          const fit = fitModel({
            factors: MIXED,
            terms: termsOf(MIXED, order),
            runs: rows.map(([a, b, c]) => [a, b, c]),
            response: rows.map((row, k) => (lost[k] ? null : row[3])),
          });
          expect(numbersIn(fit).length).toBeGreaterThan(10);
          expect(numbersIn(fit).filter((value) => !Number.isFinite(value))).toEqual([]);
        },
      ),
      { seed: 34, numRuns: 120 },
    );
  });
});
