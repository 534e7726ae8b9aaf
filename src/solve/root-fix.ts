import type { Picks, SelectionModel } from "../model/selection.ts";
import { ascend } from "./ascent.ts";
import { activeRows, newRelaxation, relax, weightsOf } from "./bound.ts";
import { coreOf } from "./core.ts";
import { fullDomain } from "./domain.ts";
import { narrowed } from "./fixing.ts";
import { keptColumns } from "./leaf.ts";
import { polished, searchLocally } from "./local-search.ts";
import { type Multipliers, multipliersOf, weightsFrom } from "./multipliers.ts";
import { propagate } from "./propagate.ts";
import { refix } from "./refix.ts";

/** How much work the root may take. */
export interface RootFixOptions {
  readonly iterations?: number;
  readonly multipliers?: Multipliers | undefined;
  /** Model cost known to be reached, where nothing is deleted by cost: steps are measured by the way to it. */
  readonly aim?: number | undefined;
  readonly isStopped?: () => boolean;
}

/** What one look at the whole model proves. */
export interface RootFix {
  /** No answer of the model costs less; Infinity: none costs at most `upper`. */
  readonly bound: number;
  /** By group: columns (local indices) whose own bound does not exceed `upper`. */
  readonly survivors: readonly (readonly number[])[];
  readonly multipliers: Multipliers;
  /** Multipliers at which columns were deleted, in order, the last for good measure: `leftBy` proves with them. */
  readonly proof: () => readonly Multipliers[];
  /** Answers the local search found, feasible in the model, cheapest first; not judged. */
  readonly suggestions: readonly { readonly picks: Picks; readonly cost: number }[];
}

/**
 * Bound, fixing and local search over the whole model, without branching: to shrink it before its coefficients are
 * sharpened.
 *
 * @param upper - model cost above which answers are not wanted (ties at it are kept); undefined: nothing is deleted by cost
 */
export function rootFix(model: SelectionModel, upper: number | undefined, options: RootFixOptions = {}): RootFix {
  const core = coreOf(model);
  const domain = fullDomain(core);
  const found = new Map<string, { picks: Picks; cost: number }>();
  const start = options.multipliers === undefined ? undefined : weightsFrom(core, options.multipliers);
  const ascent = ascend(core, domain, start, {
    iterations: options.iterations ?? 300,
    limit: () => upper ?? Infinity,
    keepLimit: () => upper ?? Infinity,
    aim: options.aim,
    isStopped: options.isStopped ?? (() => false),
  });
  if (ascent.bound < Infinity && ascent.bound <= (upper ?? Infinity)) {
    const relaxation = newRelaxation(core);
    relaxation.isActive = activeRows(core, domain);
    relax(core, domain, weightsOf(core, ascent.weights), relaxation);
    const { pick, slack } = relaxation;
    for (const one of [polished, searchLocally]) {
      const { picks, cost, isFeasible } = one(core, narrowed(core, domain, relaxation), pick, slack);
      if (isFeasible) found.set(picks.join(" "), { picks, cost });
    }
  }
  return {
    bound: ascent.bound,
    survivors: keptColumns(core, domain),
    multipliers: multipliersOf(core, ascent.weights),
    proof: () => [...ascent.steps, ascent.weights].map((weights) => multipliersOf(core, weights)),
    suggestions: [...found.values()].toSorted((a, b) => a.cost - b.cost),
  };
}

/** Columns by group that a proof leaves: none where it leaves no answer at or below the limit. */
export function leftBy(model: SelectionModel, proof: readonly Multipliers[], limit: number): number[][] {
  const core = coreOf(model);
  const domain = fullDomain(core);
  const bound = refix(
    core,
    domain,
    proof.map((one) => weightsFrom(core, one)),
    limit,
  );
  return bound === Infinity || bound > limit ? model.groups.map(() => []) : keptColumns(core, domain);
}

/** The lower bound that given multipliers prove for the whole model; -∞ is never better than any valid bound. */
export function boundWith(model: SelectionModel, multipliers: Multipliers): number {
  const core = coreOf(model);
  const domain = fullDomain(core);
  if (!propagate(core, domain)) return Infinity;
  const relaxation = newRelaxation(core);
  relaxation.isActive = activeRows(core, domain);
  return relax(core, domain, weightsFrom(core, multipliers), relaxation);
}
