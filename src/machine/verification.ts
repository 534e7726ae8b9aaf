import type { Result } from "../faults/fault.ts";
import type { LimitId } from "./limit.ts";
import type { InputFile } from "./problem.ts";
import type { ResultDocument } from "./result.ts";

/** What a simulation in time steps says of a result: plain JSON, in the units of the result. */
export interface VerificationDocument {
  readonly format: "fewframe-verification/1";
  readonly fewframe: string;
  readonly title: string;
  /** true: every figure agrees, every limit passes in the simulation, every stated bound holds, the proof is not refuted. */
  readonly agrees: boolean;
  readonly tolerance: { readonly of_demand: number; readonly of_allowed: number };
  readonly inputs: { readonly result: InputFile; readonly problem: InputFile };
  /** Input files that are no longer those of the result; more than none only where that was allowed. */
  readonly changed: readonly string[];
  readonly compared: number;
  /** The figure that differs most. */
  readonly largest: { readonly at: string; readonly id: ComparedId; readonly difference: number } | null;
  readonly machines: readonly MachineVerification[];
  /** Caps and costs of the whole order. */
  readonly order: Verified;
  readonly proof: ProofCheck;
}

/**
 * `proved`: what the result says of the best order follows from problem and certificate. `unproved`: nothing speaks against
 * it, but it was too much to see through. `not-given`: there is no certificate. `not-checked`: it is of other inputs or of
 * another version.
 */
export type ProofStatus = "proved" | "refuted" | "unproved" | "not-given" | "not-checked";

/** The certificate gone through again, without searching and without an engine. */
export interface ProofCheck {
  readonly status: ProofStatus;
  /** What is to be proved: the status of the result. */
  readonly claim: ResultDocument["status"];
  /** Branches of the certificate's searches. */
  readonly branches: number;
  /** Branches that were seen through answer by answer. */
  readonly enumerated: number;
  /** No order costs less, by the proof; null: there is none, or nothing was proved. */
  readonly bound: number | null;
  /** Of the bound: the currency. */
  readonly unit: string;
  /** What does not hold, or keeps it from being proved, with its place: file and pointer. */
  readonly failed: readonly { readonly at: string; readonly why: string }[];
}

export interface MachineVerification {
  readonly id: string;
  readonly axes: readonly AxisVerification[];
  readonly buses: readonly BusVerification[];
  /** Caps and totals of the machine. */
  readonly own: Verified;
}

/** A set of figures compared. */
export interface Verified {
  readonly compared: readonly Compared[];
  /** Limits that neither side could check for want of a catalogue value. */
  readonly not_checked: readonly LimitId[];
  /** What is wrong with the parts themselves, such as a motor that does not fit its gearbox. */
  readonly unfit: readonly string[];
  readonly bounds: readonly BoundCheck[];
}

export interface AxisVerification extends Verified {
  readonly id: string;
  readonly parts: readonly string[];
}

export interface BusVerification extends Verified {
  readonly id: string;
  readonly parts: readonly string[];
}

/** Figures of a result that are no limits. */
export type FigureId =
  | "ratio"
  | "carried_mass"
  | "current_limit"
  | "ride_down.lowest_voltage"
  | "ride_down.lost_after"
  | "price"
  | "mass"
  | "cabinet_width"
  | "energy"
  | "total"
  | "purchase"
  | "variety"
  | "lead_time";

export type ComparedId = LimitId | FigureId;

/** `missing`: one side has no such figure. `fails`: both agree, and the limit is exceeded. */
export type Verdict = "agrees" | "differs" | "missing" | "fails";

/** One figure of the result beside that of the simulation. */
export interface Compared {
  readonly id: ComparedId;
  readonly unit: string;
  /** The mode in which the result says that the limit is nearest to failing; absent: the normal cycle, or no limit. */
  readonly mode?: string;
  /** Of the result; null: it does not have this figure. */
  readonly demand: number | null;
  readonly allowed: number | null;
  /** Of the simulation; null: it does not have this figure. */
  readonly simulated: number | null;
  readonly simulated_allowed: number | null;
  /** Larger difference of the two numbers, as a share of max(demand, 1 % of allowed); null where a side is missing. */
  readonly difference: number | null;
  readonly verdict: Verdict;
}

/** A demand that the result states on the safe side, beside what a closer simulation sees. */
export interface BoundCheck {
  readonly id: LimitId;
  readonly unit: string;
  readonly stated: number;
  /** The largest of all runs. */
  readonly simulated: number;
  /** The mode it is from; absent: the normal cycle. */
  readonly mode?: string;
  /** (stated − simulated)/stated; 0 where nothing is stated. */
  readonly room: number;
  readonly holds: boolean;
  /** What the closer simulation takes into account: the depth of modulation, or the bus capacitors. */
  readonly because: "modulation" | "capacitors";
}

/** Curves over time of one axis or bus in one run of its machine, a column each. */
export interface Series {
  /** Machine, axis or bus, and mode where it is not the normal cycle, for the name of a file. */
  readonly name: string;
  readonly columns: readonly { readonly header: string; readonly values: Float64Array }[];
}

/** How a result is to be verified. */
export interface VerifyOptions {
  /** Problem file to use in place of the one the result names. */
  readonly problem?: string;
  /** Go on where the problem or a catalogue is no longer that of the result. */
  readonly allowChanged: boolean;
  /** true: hand back the curves. */
  readonly series: boolean;
}

export interface VerifyOutcome {
  readonly document: VerificationDocument;
  /** Empty unless asked for. */
  readonly series: readonly Series[];
}

/** Verifies a result file: the comparison, or every fault that keeps it from being made. */
export type VerifyResult = (path: string, options: VerifyOptions) => Promise<Result<VerifyOutcome>>;
