/**
 * The selection problem as one plain integer model, solved by HiGHS. Nothing of the program's builder, reductions or
 * bounds is used: columns come as data, rows that depend on time are added when an answer breaks them, and an exact
 * judge outside has the last word on every answer.
 */
export interface PlainInput {
  readonly axes: readonly PlainAxis[];
  readonly pools: readonly PlainPool[];
  /** Everything that is counted: part numbers, frames, makers. */
  readonly parts: readonly PlainPart[];
  readonly caps: readonly { readonly members: readonly string[]; readonly most: number }[];
  /** Pairs of axes that take columns of the same key. */
  readonly twins: readonly (readonly [number, number])[];
  /** Mass and cabinet width that some axes (pools) may have together [kg, m]. */
  readonly massCaps: readonly { readonly axes: readonly number[]; readonly most: number }[];
  readonly widthCaps: readonly { readonly pools: readonly number[]; readonly most: number }[];
  /** Price that the parts on some pools may have together, at the unit prices of the whole order [cent]. */
  readonly priceCaps: readonly { readonly pools: readonly number[]; readonly most: number }[];
  /** Cost of a day of the longest lead time [cent/day]. */
  readonly dayCost: number;
  /** Largest difference that rounding each term to cents can make [cent]. */
  readonly rounding: number;
}

export interface PlainAxis {
  readonly pool: number;
  /** Axes that ride on this one, all of them. */
  readonly riders: readonly number[];
  readonly columns: readonly PlainColumn[];
}

/** A pick at one carried mass. */
export interface PlainColumn {
  readonly key: string;
  readonly parts: readonly string[];
  /** Whatever is not charged by count [cent]. */
  readonly cost: number;
  /** Mass that rides on carriers [kg]; mass this column carries [kg]. */
  readonly mass: number;
  readonly carried: number;
  /** Power without fixed losses at instants, as supply rows and as resistor rows count it [W]. */
  readonly instants: { readonly drawn: ArrayLike<number>; readonly given: ArrayLike<number> };
  /** Mean power in each slot: for supply rows, resistor rows, and for the bill [W]. */
  readonly slots: {
    readonly drawn: ArrayLike<number>;
    readonly given: ArrayLike<number>;
    readonly billed: ArrayLike<number>;
  };
}

/** A bus of a machine. */
export interface PlainPool {
  readonly quantity: number;
  readonly options: readonly PlainOption[];
  /** Cost of a watt of mean input over the years [cent/W]. */
  readonly wattCost: number;
  /** Share of the cycle of each slot, and the cycle [s]. */
  readonly slotShares: readonly number[];
  readonly cycle: number;
}

/** A supply with or without resistor; powers already without margin; Infinity where there is no such limit. */
export interface PlainOption {
  readonly parts: readonly string[];
  readonly cost: number;
  readonly feedsBack: boolean;
  readonly peak: number;
  readonly continuous: number;
  readonly backPeak: number;
  readonly backContinuous: number;
  /** Energy that the supply's own capacitors hold, and per farad of the drives [J, J/F]; Infinity: a resistor takes it. */
  readonly room: number;
  readonly roomPerFarad: number;
  /** Capacitance of the drives it can charge [F]. */
  readonly mostFarads: number;
  readonly width: number;
  /** Voltage of the bus while an axis brakes [V]. */
  readonly chopper: number;
  /** Drives of another family cannot hang on it; absent: any can. */
  readonly family?: string | undefined;
}

export interface PlainPart {
  readonly id: string;
  /** Charged once when used at all [cent]. */
  readonly fixed: number;
  /** Unit price by quantity: what the objective counts of it and what price caps count [cent]; empty: free. */
  readonly steps: readonly { readonly from: number; readonly price: number; readonly paid: number }[];
  readonly channels: number;
  /** Per module [W, F]. */
  readonly fixedLoss: number;
  readonly capacitance: number;
  readonly width: number;
  /** Any other cost of a module in one machine [cent]. */
  readonly moduleCost: number;
  /** [day] */
  readonly leadTime: number;
  /** Voltage of the bus that it bears [V]. */
  readonly mostVoltage: number;
  /** Supplies of another family cannot feed it; absent: any can. */
  readonly family?: string | undefined;
}

/** Column of every axis, option of every pool. */
export interface PlainChoice {
  readonly columns: readonly number[];
  readonly options: readonly number[];
}

/** Exact cost [cent], or the axes and pools that together break a limit. */
export type PlainJudgement =
  | { readonly cost: number }
  | { readonly cost: null; readonly axes: readonly number[]; readonly pools: readonly number[] };
