import type { PartKind } from "./catalogue.ts";
import type { LimitId, Unchecked } from "./limit.ts";
import type { DefaultUsed, InputFile } from "./problem.ts";

/** The result document: plain JSON, table units (rpm, mm …) with the unit beside each varying kind; money in currency. */
export interface ResultDocument {
  readonly format: "fewframe-result/1";
  readonly fewframe: string;
  readonly title: string;
  readonly currency: string;
  readonly status: Status;
  readonly objective: Objective | null;
  /** No answer can cost less than this; null when infeasible, or when stopped before any was known (`unknown` only). */
  readonly bound: number | null;
  /** (total − bound) / total, 0 when proven. */
  readonly gap: number | null;
  readonly machines: readonly MachineResult[];
  /** Caps and other limits of the whole order. */
  readonly limits: readonly LimitResult[];
  readonly parts: readonly PartLine[];
  readonly distinct: Distinct;
  readonly rejections: readonly Rejection[];
  readonly infeasible: readonly InfeasibleAxis[];
  readonly unknowns: readonly Unknown[];
  readonly cautions: readonly Caution[];
  readonly defaults: readonly DefaultUsed[];
  readonly inputs: {
    readonly problem: InputFile;
    readonly catalogs: readonly InputFile[];
    /** Absent where the problem names no table. */
    readonly tables?: readonly InputFile[];
  };
  readonly certificate: { readonly file: string; readonly sha256: string } | null;
  readonly engine: string;
  /** Seconds; the only member that differs between two runs of the same input. */
  readonly timing: Readonly<Record<string, number>>;
}

/** `unknown`: stopped with no answer. */
export type Status = "optimal" | "feasible" | "infeasible" | "unknown";

export interface Objective {
  readonly total: number;
  readonly terms: ObjectiveTerms;
}
export interface ObjectiveTerms {
  readonly purchase: number;
  readonly energy: number;
  readonly variety: number;
  readonly mass: number;
  readonly cabinet_width: number;
  readonly lead_time: number;
}

export interface MachineResult {
  readonly id: string;
  readonly quantity: number;
  readonly totals: {
    readonly price: number;
    readonly mass: number;
    readonly cabinet_width: number;
    /** kWh a year and machine. */
    readonly energy: number;
  };
  readonly buses: readonly BusResult[];
  readonly modules: readonly ModuleResult[];
  readonly axes: readonly AxisResult[];
  readonly limits: readonly LimitResult[];
}

export interface BusResult {
  readonly id: string;
  readonly supply: string | null;
  readonly supply_maker: string | null;
  readonly resistor: string | null;
  readonly resistor_maker: string | null;
  readonly price: number;
  readonly limits: readonly LimitResult[];
  readonly not_checked: readonly { readonly id: LimitId; readonly missing: string }[];
  /** What becomes of the bus when the mains fail; null where nothing hangs on it, or nothing feeds it. */
  readonly ride_down: RideDownResult | null;
  readonly binding: Binding | null;
  /** The cheapest supply of another part number, its total for the order. */
  readonly next_part: { readonly supply: string; readonly resistor: string | null; readonly total: number } | null;
}

/**
 * The mains of a bus fail at the worst instant of any run: all axes stop, what hangs is held until its brakes grip, and only
 * capacitors and braking feed the drives. Shown, not enforced. Times in s since the mains failed, voltages in V.
 */
export interface RideDownResult {
  /** In which the hanging axes stop, the longest; assumed where the machine gives no emergency stop. */
  readonly ramp: { readonly value: number; readonly assumed: boolean };
  /** What hangs on the bus. */
  readonly axes: readonly { readonly id: string; readonly brake: boolean }[];
  /** When the last brake grips, told to once the axes are at rest; null: not known, or nothing has a brake. */
  readonly brakes_grip: number | null;
  /** Highest of the drives that give it. */
  readonly bus_min: number | null;
  /** Catalogue values nobody gives. */
  readonly unknown: readonly { readonly part: string; readonly missing: string }[];
  /** The lowest bus voltage. */
  readonly start_voltage: number;
  /** Until the last brake grips, as if the drives went on below what they need; null: nothing ends the emptying. */
  readonly lowest_voltage: number | null;
  readonly lowest_after: number | null;
  /** The soonest that there is less than `bus_min` (0 where no drive gives it); null: never. */
  readonly lost_after: number | null;
  /** Machine time of the failure with that lowest voltage, without one of the soonest loss, and its mode. */
  readonly time: number;
  readonly mode?: string;
  /** The drives hold until the last brake grips; null: not known. */
  readonly carries: boolean | null;
}

export interface ModuleResult {
  readonly drive: string;
  readonly drive_maker: string;
  readonly bus: string;
  readonly axes: readonly string[];
}

export interface AxisResult {
  readonly id: string;
  readonly bus: string;
  readonly motor: string;
  readonly motor_maker: string;
  readonly motor_frame: string;
  readonly construction: string;
  /** The picked motor has a holding brake. */
  readonly brake: boolean;
  readonly gearbox: string | null;
  readonly gearbox_maker: string | null;
  readonly ratio: number;
  readonly drive: string;
  readonly drive_maker: string;
  readonly inductor: string | null;
  readonly inductor_maker: string | null;
  /** Unit prices of motor, gearbox, inductor and the axis's share of its drive module. */
  readonly price: number;
  readonly carried_mass: number;
  /** Sorted by utilisation, highest first. */
  readonly limits: readonly LimitResult[];
  readonly not_checked: readonly { readonly id: LimitId; readonly missing: string }[];
  readonly settings: { readonly current_limit: number };
  /** Longest way of an emergency stop, where the machine asks for one [m], rotary [rad]. */
  readonly stopping_distance?: { readonly value: number; readonly unit: string };
  /** What motor and drive reach when motoring at the lowest bus voltage, without margins: speed [rpm], torques [N*m]. */
  readonly region: {
    readonly speed: readonly number[];
    readonly peak: readonly number[];
    readonly continuous: readonly number[];
  };
  /** How far it falls until its brake grips; null where it cannot fall or has no brake. */
  readonly drop: DropResult | null;
  /** Starts per hour of the axis. */
  readonly starts_per_hour: number;
  readonly binding: Binding;
  /** Candidates of the axis: judged, and left as columns of the model. */
  readonly candidates: { readonly judged: number; readonly passed: number };
}

export interface LimitResult {
  readonly id: LimitId;
  readonly demand: number;
  readonly allowed: number;
  readonly unit: string;
  readonly utilisation: number | null;
  readonly time?: number;
  /** The mode in which it is nearest to failing; absent: the normal cycle. */
  readonly mode?: string;
  readonly beside?: { readonly name: string; readonly value: number; readonly unit: string };
  /** What the optimum would save if this limit went away. */
  readonly price?: number;
  readonly next_step?: NextStep;
}

/** Drop of an axis while its brake closes, free of friction; null: the catalogue does not give the brake's time. */
export interface DropResult {
  /** [s] */
  readonly brake_close_time: number | null;
  readonly from_standstill: number | null;
  /** From the largest downward speed of the cycle. */
  readonly from_motion: number | null;
  /** Of the two distances: m or rad. */
  readonly unit: string;
}

/** Which limits keep an axis (or the order) from a cheaper answer. */
export interface Binding {
  /** Empty with `reason` when lifting every limit of the axis would save nothing. */
  readonly limits: readonly LimitId[];
  readonly reason?: "cheapest" | "not-searched";
  readonly price: number;
  readonly next_step: NextStep | null;
  /** true: a quick look, stopped by time: more may be saved; absent: proved that no set of so few limits saves more. */
  readonly quick?: true;
  /** What would be picked here if those limits went away. */
  readonly unlimited?: PickNames;
}

/** The parts of a pick by their bare part numbers; gearless: gearbox null and ratio 1. */
export interface PickNames {
  readonly motor: string;
  readonly gearbox: string | null;
  readonly ratio: number;
  readonly drive: string;
}

export interface NextStep {
  /** Relief as a share of what is allowed. */
  readonly share: number;
  /** Relief of each binding limit in its unit: demand − allowed of the new pick. */
  readonly relief: readonly {
    readonly id: LimitId;
    readonly demand: number;
    readonly allowed: number;
    readonly relief: number;
    readonly unit: string;
  }[];
  /** The part that comes in: the motor of an axis's new pick, or the next part of a bus. */
  readonly part: string;
  /** The new pick, where an axis changes. */
  readonly pick?: PickNames;
  /** Total of the order then. */
  readonly total: number;
  /** true: proved that no smaller relief changes the answer; absent: a smaller one may. */
  readonly least?: true;
}

export interface PartLine {
  readonly kind: PartKind;
  readonly id: string;
  readonly maker: string;
  readonly quantity: number;
  readonly unit_price: number;
  readonly used_by: readonly string[];
  /** What could take its place everywhere; null: not demanded of its kind. Absent: the problem demands no dual source. */
  readonly substitute?: { readonly id: string; readonly maker: string } | null;
}

export interface Distinct {
  readonly motors: number;
  readonly frames: number;
  readonly gearboxes: number;
  readonly drives: number;
  readonly makers: number;
  readonly parts: number;
}

/** Candidates of an axis turned down, counted by the first limit that failed and by the worst one. */
export interface Rejection {
  readonly machine: string;
  readonly axis: string;
  readonly judged: number;
  readonly passed: number;
  /** Left out before judging, by reason: frame, feedback, allow, match, bus … */
  readonly unfit: Readonly<Record<string, number>>;
  readonly first: Readonly<Partial<Record<LimitId, number>>>;
  readonly worst: Readonly<Partial<Record<LimitId, number>>>;
}

/** An axis without a candidate (or, with axis null, a conflict of the whole order). */
export interface InfeasibleAxis {
  readonly machine: string | null;
  readonly axis: string | null;
  /** The fewest limits to relax. */
  readonly limits: readonly LimitId[];
  /** Least relief of those limits that lets a candidate through. */
  readonly relief: readonly {
    readonly id: LimitId;
    readonly demand: number;
    readonly allowed: number;
    readonly relief: number;
    readonly share: number | null;
    readonly unit: string;
  }[];
  /** Those of the limits that fail because the catalogue lacks a value which the problem asks for: no relief helps. */
  readonly not_checked: readonly Unchecked[];
  /** Nearest candidates, what they fail, and what they fail for want of a value. */
  readonly nearest: readonly (PickNames & {
    readonly fails: readonly LimitResult[];
    readonly not_checked: readonly Unchecked[];
  })[];
  readonly note: string;
}

export interface Unknown {
  readonly part: string;
  readonly maker: string;
  readonly missing: string;
  readonly limits: readonly LimitId[];
  readonly used_by: readonly string[];
}

export interface Caution {
  /** Stable short name, such as `falling-axis`. */
  readonly code: string;
  /** Axis, bus, part or `order` it applies to. */
  readonly at: string;
  readonly text: string;
}
