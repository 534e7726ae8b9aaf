import type { Envelope, Picks, SelectionModel, SharedRow, Verdict } from "../model/selection.ts";
import type { EngineName } from "./engine.ts";
import type { Engines } from "./engines/engines.ts";
import type { Multipliers } from "./multipliers.ts";

/** How to solve; nothing here changes what the optimum is. */
export interface SolveOptions {
  /** For small cores; the other engine takes over where it fails. */
  readonly engine: EngineName;
  /** Time left [s]; at 0 the best answer so far is returned with its bound. */
  readonly secondsLeft: () => number;
  /** Says what an answer of the model is worth outside it. Absent: the model's own cost is the truth. */
  readonly judge?: (picks: Picks) => Verdict;
  /** Partial answers looked at before an engine is asked about a leaf; 0: engines come first. */
  readonly patience?: number;
  /** Most nodes to look at; then as at the deadline. */
  readonly nodes?: number;
  readonly progress?: (state: Progress) => void;
  /** true: stop as at the deadline. */
  readonly aborted?: () => boolean;
  /** Only answers strictly cheaper are wanted; without one the status is infeasible. */
  readonly cutoff?: number;
  /** An answer to begin with; wrong ones are passed over. */
  readonly start?: Picks;
  /** Multipliers to begin with. */
  readonly multipliers?: Multipliers;
  /** false: any optimal answer will do, the tie rule is not applied. Default true. */
  readonly ties?: boolean;
  /** Loaded engines to use again; default fresh ones. */
  readonly engines?: Engines;
}

/** What the search knows so far. */
export interface Progress {
  readonly bound: number;
  readonly cost?: number;
  readonly nodes: number;
  readonly columns: number;
}

/**
 * `optimal`: proved, no answer is cheaper by a unit. `feasible`: stopped with an answer. `infeasible`: proved, none (or
 * none below the cutoff). `unknown`: stopped without an answer.
 */
export type OutcomeStatus = "optimal" | "feasible" | "infeasible" | "unknown";

/** The answer with its proof. */
export interface Outcome {
  readonly status: OutcomeStatus;
  readonly picks?: Picks;
  /** Exact cost by the judge. */
  readonly cost?: number;
  /** No answer costs less. Infinity when there is none. */
  readonly bound: number;
  /** cost - bound where above one unit; 0 when optimal; absent without an answer. */
  readonly gap?: number;
  /** The model with every row added on the way. */
  readonly model: SelectionModel;
  readonly added: {
    readonly rows: readonly SharedRow[];
    readonly envelopeRows: readonly { readonly envelope: number; readonly row: Envelope["rows"][number] }[];
  };
  readonly certificate: Certificate;
  /** By group: columns (local indices) not proved worse than the optimum; ties are kept. */
  readonly survivors: readonly (readonly number[])[];
  /** Multipliers of the root: a warm start for the same model with small changes. */
  readonly multipliers: Multipliers;
  /** The engine that closed some part of the search; absent: own proof throughout. */
  readonly engine?: EngineName;
  readonly stats: SolveStats;
  /** Whether the tie rule was carried through: false when it ran out of time or was not asked for. */
  readonly tiesSettled: boolean;
}

/** Counts that are the same on every machine. */
export interface SolveStats {
  readonly nodes: number;
  readonly judged: number;
  readonly engineCalls: number;
  readonly engineFailures: number;
  /** Columns left after the root. */
  readonly rootColumns: number;
}

/** One decision of the search. */
export type Decision =
  | { readonly kind: "column"; readonly group: number; readonly columns: readonly number[] }
  | { readonly kind: "part"; readonly part: number; readonly isUsed: boolean }
  | { readonly kind: "link"; readonly group: number; readonly part: number; readonly isUsed: boolean }
  /** So many units of the part are bought, or more; else fewer. */
  | { readonly kind: "units"; readonly part: number; readonly units: number; readonly isUsed: boolean };

/** One node of the search tree, in the order of the search; parents come first. */
export interface CertificateBranch {
  /** Index of the parent; -1 for the root. */
  readonly parent: number;
  /** What distinguishes it from its parent; absent for the root. */
  readonly fixed?: Decision;
  /** Multipliers at which columns were deleted, in order. */
  readonly steps: readonly Multipliers[];
  /** Multipliers of its bound. */
  readonly multipliers: Multipliers;
  /** Infinity: nothing is left at or below the limit. */
  readonly bound: number;
  /** How it ended; `open`: not at all, the search stopped before. */
  readonly closedBy: "bound" | "enumeration" | "engine" | "split" | "open";
}

/** Everything a reader needs to prove the bound again. */
export interface Certificate {
  /** Answers at or below this cost of the model are excluded but for those judged. */
  readonly limit: number;
  readonly branches: readonly CertificateBranch[];
  /** Picks judged on the way with their exact cost (absent: rejected). */
  readonly judged: readonly { readonly picks: Picks; readonly cost?: number }[];
}
