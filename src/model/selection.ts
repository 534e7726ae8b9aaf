/**
 * The selection model: what the constraint builder hands to the solver. Engine-neutral and free of engineering:
 * groups of columns of which exactly one each is chosen, parts that are charged by how many are used, caps on
 * distinct parts, shared rows, and lower envelopes of convex terms. Money is in the model's own unit.
 *
 * minimise  Σ_g cost[g, pick_g] + Σ_p charge_p(uses of p) + Σ_e envelope_e
 */
export interface SelectionModel {
  readonly groups: readonly Group[];
  readonly parts: readonly ModelPart[];
  readonly pools: readonly Pool[];
  readonly caps: readonly CountCap[];
  readonly rows: readonly SharedRow[];
  readonly envelopes: readonly Envelope[];
  /** Smallest difference between the exact cost of two answers (1 cent; 0 where costs are real numbers). */
  readonly unit: number;
  /** Largest difference between an answer's exact, rounded cost and its cost in this model, either way. */
  readonly rounding: number;
}

/** Why a column, row or part exists: what the solver's object stands for in the user's words. */
export type Origin =
  | { readonly kind: "axis"; readonly machine: string; readonly axes: readonly string[] }
  | { readonly kind: "bus"; readonly machine: string; readonly bus: string }
  | {
      readonly kind: "part";
      readonly part: "motor" | "gearbox" | "drive" | "supply" | "resistor" | "inductor";
      readonly id: string;
    }
  | { readonly kind: "frame" | "maker"; readonly id: string }
  | { readonly kind: "cap"; readonly what: string }
  | {
      readonly kind: "limit";
      readonly id: string;
      readonly machine: string;
      readonly bus?: string;
      readonly axis?: string;
      readonly time?: number;
      /** Absent: in the normal cycle. */
      readonly mode?: string;
    }
  | {
      readonly kind: "cost";
      readonly what: string;
      readonly machine?: string;
      readonly bus?: string;
      /** Absent: in the normal cycle. */
      readonly mode?: string;
    }
  | { readonly kind: "carry"; readonly machine: string; readonly axis: string }
  | { readonly kind: "cut"; readonly why: string }
  | { readonly kind: "test"; readonly id: string };

/** One choice: exactly one column is picked. An axis (or several that share their pick), or a bus with its supply. */
export interface Group {
  readonly id: string;
  readonly origin: Origin;
  /** The pool in which each use by this group counts; one entry per axis the group stands for. */
  readonly pools: readonly number[];
  readonly columns: readonly Column[];
  /** true: branch on this group first (supplies: a handful of columns that everything else hangs on). */
  readonly decideFirst: boolean;
}

export interface Column {
  /** Cost of this column alone, all machines of the order together. */
  readonly cost: number;
  /** Indices into `parts`, ascending, each once. Part numbers, frames and makers alike. */
  readonly parts: readonly number[];
  /** What breaks ties between answers of equal cost: mass (all machines together) and then the text, in code-point order. */
  readonly tie: { readonly mass: number; readonly text: string };
}

/** Where uses are counted together: one bus of one machine. `quantity` machines are built. */
export interface Pool {
  readonly id: string;
  readonly quantity: number;
}

/**
 * Anything charged by use.
 *
 * modules(pool) = ceil(uses in pool / channels); units = Σ_pool quantity · modules;
 * charge = fixed · [units > 0] + units · price of the highest step ≤ units.
 */
export interface ModelPart {
  readonly id: string;
  readonly origin: Origin;
  /** Variety: charged once when the part is used at all. ≥ 0 */
  readonly fixed: number;
  /** Price per unit by total units, ascending from 1. Empty: the price is already in the columns. */
  readonly steps: readonly { readonly from: number; readonly price: number }[];
  /** Uses one unit can serve within a pool: 1 for all but multi-channel drives. */
  readonly channels: number;
  /** Counts towards "fewest distinct parts" in the tie rule (true for part numbers, false for frames and makers). */
  readonly isPartNumber: boolean;
}

/** At most `max` of `members` used. */
export interface CountCap {
  readonly id: string;
  readonly origin: Origin;
  readonly members: readonly number[];
  readonly max: number;
}

/** Linear expression over picks, modules and parts used: Σ_g factors[g][pick_g] + Σ modules·factor + Σ [used]·factor + constant. */
export interface Expression {
  /** By group index; a missing entry is 0 for the whole group. */
  readonly factors: ReadonlyMap<number, Float64Array>;
  /** Per module of a part (channels > 1) in a pool; single-channel parts are folded into the columns. */
  readonly modules: readonly { readonly part: number; readonly pool: number; readonly factor: number }[];
  /** Once for each part that is used at all; parts with a fixed charge only, factors below 0 in implied rows only. */
  readonly used?: readonly { readonly part: number; readonly factor: number }[];
  readonly constant: number;
}

/** Holds only where every named group has picked one of the named columns; empty: always. */
export type Condition = readonly { readonly group: number; readonly columns: ReadonlySet<number> }[];

/** expression ≤ max, under a condition. */
export interface SharedRow {
  readonly id: string;
  readonly origin: Origin;
  readonly expression: Expression;
  readonly max: number;
  readonly when: Condition;
  /** true: no answer breaks it; it only tightens the relaxation. */
  readonly isImplied?: boolean;
}

/** A convex cost term from below: term ≥ 0 and, for each row whose condition holds, term ≥ row. Charged as `cost · term`. */
export interface Envelope {
  readonly id: string;
  readonly origin: Origin;
  readonly cost: number;
  readonly rows: readonly { readonly id: string; readonly expression: Expression; readonly when: Condition }[];
}

/** The picked column of every group, by group index. */
export type Picks = readonly number[];

/** What the judge outside the model says of an answer: accepted at its exact cost, or rejected by rows that cut it off. */
export interface Verdict {
  /** Exact cost after rounding; absent: the answer does not hold. */
  readonly cost?: number;
  /** Rows the model lacked; at least one of them (or of `envelopeRows`) cuts off or prices up a wrong answer. */
  readonly rows: readonly SharedRow[];
  readonly envelopeRows: readonly { readonly envelope: number; readonly row: Envelope["rows"][number] }[];
}
