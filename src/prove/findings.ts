import type { Strain } from "../decide/finder.ts";
import type { NamedAnswer } from "../decide/named-answer.ts";
import type { Multipliers } from "../solve/multipliers.ts";
import type { Certificate } from "../solve/outcome.ts";

/**
 * What deciding found, in the order in which it asked: with it every step can be worked out again without looking for
 * anything. JSON but for infinities.
 */
export interface Findings {
  /** How often it had asked whether to stop when it was told to; null: it was never told. */
  readonly stopped: number | null;
  readonly steps: readonly Step[];
}

export type Step = Pricing | Answering | Narrowing | Searching;

/** Multipliers at which all candidates are priced, to drop those that no answer as cheap as the best known can contain. */
export interface Pricing {
  readonly kind: "pricing";
  readonly multipliers: Multipliers;
}

/** A look for a good answer: its cost is the limit above which candidates are dropped. */
export interface Answering {
  readonly kind: "answer";
  /** Absent: none was found. */
  readonly found?: NamedAnswer;
  /** Masses at which what is carried is told apart from now on. */
  readonly strained?: readonly Strain[];
}

/** One look at a model that holds all candidates that are left. */
export interface Narrowing {
  readonly kind: "narrowing";
  readonly proof: readonly Multipliers[];
  /** By group: columns that stay. */
  readonly kept: readonly (readonly number[])[];
  readonly found?: NamedAnswer;
}

/** The search of a model. */
export interface Searching extends Certificate {
  readonly kind: "search";
  /** Columns of each group of the model. */
  readonly columns: readonly number[];
}
