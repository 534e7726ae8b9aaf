import type { Result } from "../faults/fault.ts";
import type { Distinct, Objective, PartLine, PickNames, ResultDocument, Status } from "./result.ts";
import type { SolveFileOptions } from "./run.ts";

/** What a frontier counts: distinct motors, frames, gearboxes, drives, makers, or part numbers in all. */
export const FRONTIER_KINDS = ["motors", "frames", "gearboxes", "drives", "makers", "parts"] as const;
export type FrontierKind = (typeof FRONTIER_KINDS)[number];

/** How a frontier is to be worked out. */
export interface FrontierOptions
  extends Pick<SolveFileOptions, "engine" | "timeLimit" | "now" | "aborted" | "progress"> {
  readonly by: FrontierKind;
  /** A second count: every pair of the two. */
  readonly and?: FrontierKind;
  /** true: nothing is charged for variety, so that the sweep begins at the order that is cheapest without. */
  readonly withoutVariety: boolean;
}

/** The least cost of the whole order against how many distinct things it may hold: plain JSON, money in currency. */
export interface FrontierDocument {
  readonly format: "fewframe-frontier/1";
  readonly fewframe: string;
  readonly title: string;
  readonly currency: string;
  /** What is ordered. */
  readonly machines: readonly { readonly id: string; readonly quantity: number }[];
  readonly by: FrontierKind;
  readonly and: FrontierKind | null;
  /** false: the variety weights of the problem were taken as 0. */
  readonly variety: boolean;
  /** What the problem charges for a further one, and for a further frame or maker; money, also where it was not counted. */
  readonly charges: VarietyCharges;
  /** true: every point is proved, and no count is left open. */
  readonly complete: boolean;
  /** From the order without a cap downward; of two counts, row by row. */
  readonly points: readonly FrontierPoint[];
  readonly inputs: ResultDocument["inputs"];
  readonly engine: string;
  /** Seconds; the only member that differs between two runs of the same input. */
  readonly timing: ResultDocument["timing"];
}

export type VarietyCharges = Readonly<
  Record<"motor" | "frame" | "gearbox" | "drive" | "maker" | "supply" | "resistor" | "inductor", number>
>;

/** The cheapest order under a cap (or two). It is that of every cap down to what it holds, too. */
export interface FrontierPoint {
  /** Most that may be held of `by`; null: no cap but those of the problem. */
  readonly cap: number | null;
  /** The same of `and`; absent where there is none. */
  readonly and_cap?: number | null;
  readonly status: Status;
  /** Why there is no order; null where there is one, or where it is not known. */
  readonly reason: string | null;
  readonly objective: Objective | null;
  /** No order under this cap costs less. */
  readonly bound: number | null;
  readonly gap: number | null;
  readonly distinct: Distinct | null;
  readonly parts: readonly PartLine[];
  /** null: nothing to compare with. */
  readonly changes: FrontierChanges | null;
}

/** What is different from the order under the next looser cap. */
export interface FrontierChanges {
  /** The caps of the point compared with. */
  readonly from: { readonly cap: number | null; readonly and_cap?: number | null };
  /** Part numbers that go, with where they were used. */
  readonly goes: readonly PartLine[];
  /** Part numbers that come, with where they are used. */
  readonly comes: readonly PartLine[];
  readonly axes: readonly AxisChange[];
  readonly buses: readonly BusChange[];
}

export interface AxisChange {
  readonly machine: string;
  readonly axis: string;
  readonly from: FrontierPick;
  readonly to: FrontierPick;
}

export interface FrontierPick extends PickNames {
  readonly inductor: string | null;
}

export interface BusChange {
  readonly machine: string;
  readonly bus: string;
  readonly from: SupplyNames;
  readonly to: SupplyNames;
}

export interface SupplyNames {
  readonly supply: string | null;
  readonly resistor: string | null;
}

/** A problem file becomes its frontier, or every fault in the input. */
export type FrontierFile = (path: string, options: FrontierOptions) => Promise<Result<FrontierDocument>>;
