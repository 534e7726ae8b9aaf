import type { Factor, Level } from "../../../src/study/analysis/factor.ts";
import { type Fit, fitModel } from "../../../src/study/analysis/fit-model.ts";
import type { Coefficient } from "../../../src/study/analysis/fit-quality.ts";
import { MEAN, productTerms, type Term, termOf } from "../../../src/study/analysis/term.ts";
import { type EffectsRequest, twoLevelEffects } from "../../../src/study/analysis/two-level-effects.ts";
import { referenceColumns, referenceJson } from "./reference.ts";

/** Columns that are numeric factors, as they stand: −1 and 1 map to themselves. */
export function asCoded(ids: readonly string[]): Factor[] {
  return ids.map((id) => ({ id, kind: "continuous", low: -1, high: 1 }));
}

/** Rows of columns. */
export function runsOf(columns: Readonly<Record<string, readonly Level[]>>, ids: readonly string[]): Level[][] {
  return (columns[ids[0] ?? ""] ?? []).map((_, k) => ids.map((id) => columns[id]?.[k] ?? Number.NaN));
}

/** A fit of a CSV file whose columns but the response are coded numeric factors. */
export function fitOf(file: string, terms: readonly (readonly string[])[], response = "y"): Fit {
  const columns = referenceColumns(file);
  const ids = Object.keys(columns).filter((id) => id !== response);
  return fitModel({
    factors: asCoded(ids),
    terms: terms.map(termOf),
    runs: runsOf(columns, ids),
    response: (columns[response] ?? []).map(Number),
  });
}

/** Value of a coefficient of a fit by its name. */
export function coefficient(fit: Fit, name: string, of: keyof Coefficient = "value"): unknown {
  return fit.coefficients.find((one) => one.name === name)?.[of];
}

/** Design of two levels with all products asked for. */
export function twoLevel(file: string): EffectsRequest {
  const columns = referenceColumns(file);
  const ids = Object.keys(columns).filter((id) => id !== "y");
  return {
    factors: asCoded(ids),
    runs: runsOf(columns, ids),
    response: (columns["y"] ?? []).map(Number),
    depth: ids.length,
  };
}

/** Effects of a published design by the joined ids of their factors, as published. */
export function effectsOf(file: string): Record<string, number> {
  const { effects } = twoLevelEffects(twoLevel(file));
  return Object.fromEntries(effects.map(({ term, value }) => [term.of.join(""), value]));
}

/** The published half fraction E = ABCD of the reactor, as a design of five factors. */
export function reactorHalf(): EffectsRequest {
  const { y_std_order_ABCD: response } = referenceJson("factorial/bhh_reactor_2^(5-1).json") as {
    y_std_order_ABCD: number[];
  };
  const runs = response.map((_, k) => {
    const four = [0, 1, 2, 3].map((bit) => ((k >> bit) % 2 === 1 ? 1 : -1));
    return [...four, four.reduce<number>((product, sign) => product * sign, 1)];
  });
  return { factors: asCoded(["A", "B", "C", "D", "E"]), runs, response, depth: 2 };
}

/** Mean, factor, … up to a power of x. */
export function polynomial(degree: number): string[][] {
  return Array.from({ length: degree + 1 }, (_, k) => Array.from({ length: k }, () => "x"));
}

/** Second-order terms in the order of published analyses: factors, products, squares. */
export function secondOrder(ids: readonly string[]): Term[] {
  const products = productTerms(asCoded(ids), 2);
  return [...products, ...ids.map((id) => termOf([id, id]))].filter((term) => term !== MEAN);
}
