import type { Wish } from "../synthetic/wish.ts";

/** What solves: ours, or an engine on the plain lowered model. */
export const SOLVERS = ["own", "highs", "simplex"] as const;

export type Solver = (typeof SOLVERS)[number];

/** How the tables call them. */
export const SOLVER_NAMES: Readonly<Record<Solver, string>> = {
  own: "own solver",
  highs: "HiGHS, plain model",
  simplex: "javascript-lp-solver, plain model",
};

/** One measurement, done by a process of its own. */
export interface Task {
  readonly solver: Solver;
  /** For the whole task, loading of the program left out [s]. */
  readonly seconds: number;
  readonly work: ModelWork | OrderWork;
}

/** An invented selection model of `model-rows.ts`, by size and variant. */
export interface ModelWork {
  readonly kind: "model";
  readonly size: string;
  readonly variant: string;
}

/** An invented order with its catalogues, written into a folder that goes again. */
export interface OrderWork {
  readonly kind: "order";
  readonly wish: Wish;
}

/** What a task says while it runs, a line of JSON each, so that a killed one has said how far it came. */
export type Message =
  | { readonly kind: "begin"; readonly step: string }
  | { readonly kind: "end"; readonly step: string; readonly seconds: Seconds }
  | { readonly kind: "count"; readonly name: string; readonly count: number }
  | { readonly kind: "found"; readonly found: Found };

/** How long a step took [s]: by the clock, and of processor time, which other work on the machine spoils less. */
export interface Seconds {
  readonly clock: number;
  readonly processor: number;
}

/** What a solver claims. */
export interface Found {
  readonly status: string;
  /** [cent] */
  readonly cost?: number;
  /** [cent] */
  readonly bound?: number;
  /** Most memory the process held [MiB]. */
  readonly mebibytes: number;
}
