import type { InputFile } from "../../machine/problem.ts";
import type { ModelOrder } from "../analysis/term.ts";
import type { DesignKind, DesignPoint, DesignRequest } from "../designs/design.ts";
import type { Factor } from "./factor.ts";
import type { Path } from "./places.ts";

/** A study as read: what is varied, where it is looked at, and what is asked of the results. */
export interface Study {
  readonly title: string;
  readonly file: InputFile;
  readonly problem: { readonly path: string; readonly content: unknown };
  readonly seed: number;
  readonly factors: readonly Factor[];
  readonly constraints: readonly Constraint[];
  readonly design: DesignChoice;
  /** Runs to extend the design by; 0: none. */
  readonly moreRuns: number;
  /** Factors nobody sets in practice; each point is looked at under all of their runs. */
  readonly noise: readonly Factor[];
  readonly noiseDesign: DesignChoice;
  readonly responses: readonly Response[];
  readonly solve: RunSettings;
  readonly model: ModelOrder | undefined;
}

/** A design to be made, or runs that a file gives. */
export type DesignChoice =
  | DesignRequest<Exclude<DesignKind, "given">>
  | { readonly kind: "given"; readonly points: readonly DesignPoint[] };

/** A sum of factor values that must not exceed a bound. */
export interface Constraint {
  readonly terms: readonly Term[];
  readonly atMost: number;
  /** As it reads in a message. */
  readonly text: string;
}

/** A factor by its index, and what its number counts by. */
export interface Term {
  readonly factor: number;
  readonly weight: number;
}

/** What is read from each result. */
export interface Response {
  readonly id: string;
  readonly at: Path;
  readonly want: "less" | "more" | undefined;
}

/** How a run is solved. */
export interface RunSettings {
  readonly engine: "simplex" | "highs";
  /** [s]; Infinity: as long as it takes */
  readonly timeLimit: number;
}
