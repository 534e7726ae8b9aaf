import type { Result } from "../faults/fault.ts";
import type { LimitId } from "./limit.ts";
import type { MechanismKind } from "./mechanism.ts";
import type { InputFile } from "./problem.ts";
import type { Caution, LimitResult } from "./result.ts";

/** What the gear ratio of one axis trades: plain JSON, table units with the unit beside each varying kind, money in currency. */
export interface RatiosDocument {
  readonly format: "fewframe-ratios/1";
  readonly fewframe: string;
  readonly title: string;
  readonly currency: string;
  readonly machine: string;
  /** Machines that are built. */
  readonly quantity: number;
  readonly axis: string;
  readonly mechanism: MechanismKind;
  readonly carried: CarriedMass;
  /** Ratios that the problem allows on the axis; windows do not heed it, the gearboxes do. */
  readonly allowed_ratios: readonly [number, number] | null;
  /** Over which energy is paid for; 0: the problem gives no price of energy, and energy is 0 throughout. */
  readonly energy_years: number;
  /** true: the motors were asked for; false: they are the cheapest that work. */
  readonly asked: boolean;
  /** The motors looked at closely. */
  readonly motors: readonly MotorRatios[];
  /** Every other motor of the catalogues that can stand on the axis; not looked for where motors were asked for. */
  readonly others: readonly OtherMotor[];
  /** Motors that cannot stand on the axis, by why. */
  readonly unfit: readonly { readonly reason: string; readonly motors: number }[];
  readonly cautions: readonly Caution[];
  readonly inputs: {
    readonly problem: InputFile;
    readonly catalogs: readonly InputFile[];
    readonly tables?: readonly InputFile[];
    /** Absent unless one was named. */
    readonly result?: InputFile;
  };
}

/** What rides on the axis. */
export interface CarriedMass {
  /** Motors and gearboxes of the axes that ride [kg]. */
  readonly mass: number;
  /** `result`: as the solved result has it; `lightest`: the least that any riders that pass their own axes weigh. */
  readonly from: "nothing" | "result" | "lightest";
  readonly riders: readonly string[];
}

/** One motor over all ratios. */
export interface MotorRatios {
  readonly motor: string;
  readonly maker: string;
  readonly frame: string;
  readonly brake: boolean;
  readonly price: number;
  /** What the curves take between the catalogue's ratios. */
  readonly assumed: AssumedGearbox;
  /** The drive of the curves: that of the cheapest real gearbox that passes, else of the one that fails least. */
  readonly drive: string;
  readonly drive_maker: string;
  readonly inductor: string | null;
  readonly inductor_maker: string | null;
  /** From 1 to the largest that is looked at; null: even without reduction the motor would turn too fast. */
  readonly range: RatioRange | null;
  /** Where every limit of the curves passes, ascending; several where a limit fails in between. */
  readonly windows: readonly RatioWindow[];
  /** Without a window: the limits that leave none, or that leave no ratio in common. */
  readonly fails: readonly LimitId[];
  /** √(inertia of the load / inertia on the motor's side); null: no inertia known. */
  readonly inertia_matched: number | null;
  /** Where the continuous torque is used least, whatever other limits say; null: it goes on falling. */
  readonly least_heat: { readonly ratio: number; readonly utilisation: number | null } | null;
  readonly curve: RatioCurve;
  /** Limits of the curves that an empty catalogue cell keeps from being checked. */
  readonly not_checked: readonly { readonly id: LimitId; readonly missing: string }[];
  /** Real gearboxes that carry the motor, and none where the axis may go without, each judged in full; by ratio, then price. */
  readonly gearboxes: readonly RatioPick[];
}

/** Medians over the real gearboxes that carry the motor. */
export interface AssumedGearbox {
  /** `axis`: of those the axis allows; `catalogue`: it allows none, so of all; `none`: there is none, so an ideal one. */
  readonly from: "axis" | "catalogue" | "none";
  readonly gearboxes: number;
  readonly efficiency: number;
  readonly back_efficiency: number;
  /** [kg*m^2] */
  readonly inertia: number;
  /** [N*m] */
  readonly drag_torque: number;
}

export interface RatioRange {
  readonly from: number;
  readonly to: number;
  /** What ends it: the motor's speed, or, where that is no limit, the largest ratio of the catalogues. */
  readonly ends_by: "motor.speed" | "catalogue";
}

export interface RatioWindow {
  readonly from: WindowEnd;
  readonly to: WindowEnd;
}

export interface WindowEnd {
  readonly ratio: number;
  /** What fails beyond it; empty: the range ends. */
  readonly limits: readonly LimitId[];
}

/** Curves for plotting: one line for each limit over the same ratios; 1 is what is allowed. */
export interface RatioCurve {
  /** Ascending, every end of a window among them. */
  readonly ratio: readonly number[];
  readonly limits: readonly CurveLine[];
}

export interface CurveLine {
  readonly id: LimitId;
  /** The worst of all modes at each ratio; null: nothing is allowed, or an unknown fails. */
  readonly utilisation: readonly (number | null)[];
  /** Ratios between which this limit passes. */
  readonly passes: readonly (readonly [number, number])[];
}

/** The motor with a real gearbox (or none) and the cheapest drive that passes, else the one that fails least. */
export interface RatioPick {
  readonly gearbox: string | null;
  readonly gearbox_maker: string | null;
  readonly ratio: number;
  readonly drive: string;
  readonly drive_maker: string;
  readonly inductor: string | null;
  readonly inductor_maker: string | null;
  readonly passes: boolean;
  readonly failed: readonly LimitId[];
  /** By utilisation, highest first. */
  readonly limits: readonly LimitResult[];
  readonly not_checked: readonly { readonly id: LimitId; readonly missing: string }[];
  /** Motor, gearbox, inductor and the axis's share of a drive module, each. */
  readonly price: number;
  /** kWh a year, the axis as if alone on a bus that does not feed back, with its share of a drive module's fixed loss. */
  readonly energy: number;
  /** Over the years of the weights. */
  readonly energy_cost: number;
  /** It is the pick of the result that was named. */
  readonly picked: boolean;
}

/** `works`: with a real gearbox, by the judging that an order begins with, which may let through what fails by a hair; `between`: only at ratios that no real gearbox has or stands; `fails`: at none. */
export type MotorStanding = "works" | "between" | "fails";

export interface OtherMotor {
  readonly motor: string;
  readonly maker: string;
  readonly price: number;
  readonly standing: MotorStanding;
  /** Of a motor that fails: the first limit found that leaves no ratio, or the limits that leave none in common. */
  readonly fails: readonly LimitId[];
}

/** How the ratios of an axis are to be looked at. */
export interface RatiosOptions {
  /** Part numbers of the motors to look at; empty: the cheapest that work. */
  readonly motors: readonly string[];
  /** A result document whose riders and picks are taken. */
  readonly result?: string;
}

/**
 * The gear ratio trade-off of one axis.
 *
 * @param axis - its id, or `machine/axis`
 */
export type RatiosFile = (path: string, axis: string, options: RatiosOptions) => Promise<Result<RatiosDocument>>;
