import type { Picks, SelectionModel } from "../model/selection.ts";
import type { Multipliers } from "../solve/multipliers.ts";
import type { Outcome } from "../solve/outcome.ts";
import type { Standing } from "./court.ts";
import type { JudgedAxes } from "./field.ts";
import type { Survivors } from "./narrow.ts";
import type { Round, TakenSpans } from "./round.ts";
import type { Setup } from "./setup.ts";

/**
 * Everything that deciding looks for in place of working it out: multipliers, good answers, the search itself. A proof
 * needs what was found, not how, so that another finder can hand it out again from a certificate.
 */
export interface Finder {
  readonly isStopped: () => boolean;
  /** A good answer made of what answered questions much like this one; undefined where none of it stands. */
  readonly guess: (setup: Setup, judged: JudgedAxes) => Promise<Standing | undefined>;
  /** Raises the bound of a model from multipliers that were good for one much like it, towards a cost known to be reached [cent]. */
  readonly raise: (model: SelectionModel, from: Multipliers | undefined, known: number) => Raised;
  /** The best of some answers, where one stands; and under which loads they fail as they are. */
  readonly best: (
    round: Round,
    suggestions: readonly Picks[],
  ) => { readonly found: Standing | undefined; readonly strained: readonly Strain[] };
  /** A good answer below a cost [cent] among a selection of candidates, by some searching. */
  readonly roughAnswer: (selection: Selection, upTo: number) => Promise<Standing | undefined>;
  /** A first answer by solving a selection of candidates, where no quick one stands. */
  readonly firstAnswer: (selection: Selection) => Promise<Standing | undefined>;
  /** What the bound, raised from multipliers that were good for more candidates, leaves at or below the cost of an answer known [cent]. */
  readonly narrow: (round: Round, known: number, from: Multipliers) => Narrowing;
  /** Solves a round, from multipliers that were good for one much like it; with a cutoff [cent], only for cheaper answers. */
  readonly solve: (round: Round, cutoff: number | undefined, from: Multipliers | undefined) => Promise<Solved>;
}

/** Some of the candidates. */
export interface Selection {
  readonly setup: Setup;
  readonly columns: Round["columns"];
  readonly taken: TakenSpans;
}

/** A bound raised: its multipliers, and answers that were met. */
export interface Raised {
  readonly multipliers: Multipliers;
  readonly suggestions: readonly Picks[];
}

/** A carrier that fails with what rides on it. */
export interface Strain {
  readonly machine: number;
  readonly axis: number;
  /** [kg] */
  readonly mass: number;
}

/** What one look at a round leaves. */
export interface Narrowing {
  /** A good answer met on the way. */
  readonly found: Standing | undefined;
  readonly survivors: Survivors;
  /** Where the bound was highest: a start for what is left. */
  readonly multipliers: Multipliers;
  /** Multipliers at which columns went, in order. */
  readonly proof: () => readonly Multipliers[];
}

/** What solving a round brought. */
export type Solved = Pick<Outcome, "status" | "bound" | "certificate" | "model" | "stats" | "picks">;
