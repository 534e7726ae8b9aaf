import type { DesignKind, DesignRequest } from "./request.ts";

/** What a design must know of a factor. */
export interface DesignFactor {
  readonly id: string;
  /** Number of listed levels (integer, listed numeric, or categorical factor); absent: continuous. */
  readonly levels?: number;
  /** true: the levels have no order. */
  readonly isCategorical: boolean;
}

/**
 * One point: for a continuous factor a coded value, −1 at the low and +1 at the high end of its range (a star point may
 * lie beyond); for a factor with listed levels the index of its level, 0 … levels−1.
 */
export type DesignPoint = readonly number[];

/** Something a reader of a design wants to know of it. */
export interface DesignProperty {
  readonly name: string;
  readonly value: string;
  /** The value, where it is a number. */
  readonly figure?: number;
}

/** Points to run, in order, and what can be said of them. */
export interface Design {
  readonly kind: DesignKind;
  readonly points: readonly DesignPoint[];
  readonly properties: readonly DesignProperty[];
}

/** Why a wish cannot be met, and what can. */
export interface DesignRefusal {
  readonly refused: string;
  readonly possible: readonly string[];
}

/** What a design hangs on besides its request and factors. */
export interface DesignSettings {
  readonly seed: number;
  /** false: the point breaks a constraint between factors. */
  readonly isAllowed: (point: DesignPoint) => boolean;
}

/** Factors and settings a design is made on. */
export interface Ground {
  readonly factors: readonly DesignFactor[];
  readonly settings: DesignSettings;
}

/** A design to go on from, and how many runs are to be added. */
export interface Extension {
  readonly design: Design;
  /** Looked at by families that let one choose; the others take their own next step. */
  readonly more: number;
}

/** A family of designs: how one is made, and how one is made larger with its points kept. */
export interface Family<K extends DesignKind> {
  readonly make: (request: DesignRequest<K>, ground: Ground) => Design | DesignRefusal;
  readonly extend: (request: DesignRequest<K>, ground: Ground, extension: Extension) => Design | DesignRefusal;
}

/** Whether something came of a wish, or a refusal. */
export function isRefused(made: object): made is DesignRefusal {
  return "refused" in made;
}

/** Whether a wish was refused. */
export function isRefusal(d: Design | DesignRefusal): d is DesignRefusal {
  return isRefused(d);
}

/** A wish refused. */
export function refusal(refused: string, possible: readonly string[]): DesignRefusal {
  return { refused, possible };
}

/** What can always be done with a design that has no next step of its own. */
export const ADD_BY_EXCHANGE: readonly string[] = [
  "a request of kind d-optimal: new runs placed by exchange, the old ones kept",
  "a request of kind latin-hypercube: new runs that fill the gaps, the old ones kept",
];
