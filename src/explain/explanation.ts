import type { LimitId, Unchecked } from "../machine/limit.ts";
import type { PickNames } from "../machine/result.ts";

/** Why the answer is what it is: found by solving again with limits lifted. Money in cents, limits in SI. */
export interface Explanation {
  /** By machine and axis. */
  readonly axes: readonly (readonly BindingFound[])[];
  /** By machine and bus. */
  readonly buses: readonly (readonly BusFound[])[];
  readonly caps: readonly CapFound[];
}

/**
 * Which limits keep an axis or a bus from a cheaper answer.
 *
 * `held`: lifting these saves `price`. `cheapest`: lifting every limit would save nothing. `not-searched`: stopped, or not
 * asked for.
 */
export type BindingFound =
  | {
      readonly kind: "held";
      readonly limits: readonly LimitId[];
      readonly price: number;
      readonly unlimited: PickNames;
      readonly nextStep: StepFound | undefined;
      /** true: no set of so few limits saves more, by proof. */
      readonly isProved: boolean;
    }
  | { readonly kind: "cheapest" }
  | { readonly kind: "not-searched" };

/** The smallest relief that changes the answer. */
export interface StepFound {
  /** Utilisation allowed beyond 1. */
  readonly share: number;
  readonly relief: readonly { readonly id: LimitId; readonly demand: number; readonly allowed: number }[];
  /** What comes in: the motor of an axis's new pick, or the supply with its resistor. */
  readonly part: string;
  /** The new pick, where an axis changes. */
  readonly pick?: PickNames;
  /** Total of the order then [cent]. */
  readonly total: number;
  /** true: no smaller relief changes the answer, by proof. */
  readonly isLeast: boolean;
}

/** A bus: the same, without the parts of an axis. */
export type BusFound =
  | {
      readonly kind: "held";
      readonly limits: readonly LimitId[];
      readonly price: number;
      readonly nextStep: StepFound | undefined;
      /** true: no set of so few limits saves more, by proof. */
      readonly isProved: boolean;
    }
  | { readonly kind: "cheapest" }
  | { readonly kind: "not-searched" };

/** A cap of the order or of every machine, or dual source: what the order would save without it, and the smallest relief that saves. */
export interface CapFound {
  readonly id: LimitId;
  readonly price: number;
  readonly nextStep: StepFound | undefined;
}

/** An axis without candidates (or, machine and axis −1, a conflict of the order): what stands in the way. */
export interface Obstacle {
  readonly machine: number;
  readonly axis: number;
  /** The fewest limits to relax, with the least relief. Empty like `unknown`: no part fits at all, `note` says why. */
  readonly limits: readonly { readonly id: LimitId; readonly demand: number; readonly allowed: number }[];
  /** Limits that fail beside them because a catalogue value is missing that the problem asks for. */
  readonly unknown: readonly Unchecked[];
  readonly nearest: readonly {
    readonly names: PickNames;
    readonly fails: readonly { readonly id: LimitId; readonly demand: number; readonly allowed: number }[];
    readonly unknown: readonly Unchecked[];
  }[];
  readonly note: string;
}
