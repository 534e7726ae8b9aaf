import type { Origin } from "./selection.ts";

/** A plain linear model with 0/1, integer or real variables: what an engine sees. Rows carry their origin. */
export interface LinearModel {
  readonly variables: readonly LinearVariable[];
  readonly rows: readonly LinearRow[];
}

export interface LinearVariable {
  readonly name: string;
  readonly origin: Origin;
  readonly cost: number;
  readonly lower: number;
  /** Infinity: free above. */
  readonly upper: number;
  readonly isInteger: boolean;
}

/** lower ≤ Σ factor·variable ≤ upper; variables by index. */
export interface LinearRow {
  readonly name: string;
  readonly origin: Origin;
  readonly variables: readonly number[];
  readonly factors: readonly number[];
  readonly lower: number;
  readonly upper: number;
}
