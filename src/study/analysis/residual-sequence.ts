import { fitModel, type ModelRequest } from "./fit-model.ts";
import type { Figure } from "./remark.ts";
import { MEAN, type Term } from "./term.ts";
import type { TwoLevelEffects } from "./two-level-effects.ts";

/** A model and how far its runs lie from it. */
export interface ResidualStep {
  /** Term that came in last. */
  readonly term: Term;
  readonly residualSd: Figure;
}

/**
 * Residual standard deviations of models that take in one effect after the other, largest first: the fall shows which
 * effects a model needs.
 *
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 5.6.1.
 */
export function residualSequence(
  request: Omit<ModelRequest, "terms">,
  { effects }: Pick<TwoLevelEffects, "effects">,
): ResidualStep[] {
  const falling = effects.toSorted((a, b) => Math.abs(b.value) - Math.abs(a.value)).map(({ term }) => term);
  return [MEAN, ...falling].map((term, k, all) => ({
    term,
    residualSd: fitModel({ ...request, terms: all.slice(0, k + 1) }).residualSd,
  }));
}
