import { type Fit, fitModel, type ModelRequest } from "./fit-model.ts";
import type { Remark } from "./remark.ts";
import { productTerms, type Term } from "./term.ts";

/** What going from the low to the high level does to the response. */
export interface Effect {
  readonly name: string;
  readonly term: Term;
  /** Twice the coefficient; in a balanced design mean at the high less mean at the low level. */
  readonly value: number;
  /** Effects that the design cannot tell from this one. */
  readonly aliases: readonly string[];
}

/** Effects of a design of two levels. */
export interface TwoLevelEffects {
  readonly mean: number | null;
  readonly effects: readonly Effect[];
  readonly remarks: readonly Remark[];
}

/** What is asked of a design of two levels. */
export interface EffectsRequest extends Omit<ModelRequest, "terms"> {
  /** Most factors in a product. */
  readonly depth: number;
  /** Alias notes from the design, by effect; others come from the runs themselves. */
  readonly aliases?: Readonly<Record<string, readonly string[]>>;
}

/**
 * Main effects and interactions of factors of two levels. Of effects that the runs cannot tell apart the one of fewest
 * factors stands for all.
 *
 * Source: G. E. P. Box, J. S. Hunter, W. G. Hunter, Statistics for Experimenters, 2nd ed., chapters 5 and 6.
 */
export function twoLevelEffects({ depth, aliases, ...request }: EffectsRequest): TwoLevelEffects {
  const fit = fitModel({ ...request, terms: productTerms(request.factors, depth) });
  const known = aliasesOf(fit);
  const effects = fit.coefficients
    .filter(({ term }) => term.of.length > 0)
    .map(({ name, term, value }) => ({
      name,
      term,
      value: 2 * value,
      aliases: [...new Set([...(aliases?.[name] ?? []), ...(known[name] ?? [])])],
    }));
  const mean = fit.coefficients.find(({ term }) => term.of.length === 0)?.value ?? null;
  return { mean, effects, remarks: fit.remarks.filter(({ kind }) => kind !== "saturated" && kind !== "exact-fit") };
}

/** Columns left out, by each column that they add to, with their shares: "A × B", "−A × B", "0.3333 × A × B". */
function aliasesOf({ remarks }: Fit): Record<string, string[]> {
  const found: Record<string, string[]> = {};
  for (const remark of remarks) {
    if (remark.kind !== "aliased") continue;
    for (const { column, share } of remark.of) {
      (found[column] ??= []).push(shareWords(share, remark.column));
    }
  }
  return found;
}

function shareWords(share: number, column: string): string {
  const size = Math.abs(share);
  return `${share < 0 ? "−" : ""}${size === 1 ? "" : `${Number(size.toPrecision(4))} × `}${column}`;
}
