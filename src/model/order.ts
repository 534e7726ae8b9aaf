import type { AnyPart, Drive, Gearbox, Inductor, Motor, Resistor, Supply } from "../machine/catalogue.ts";
import type { Axis, Machine, Problem } from "../machine/problem.ts";

/** What the constraint builder reads: the columns of every axis and bus, numbers only. */
export interface OrderColumns {
  readonly problem: Problem;
  /** Share of the cycle over which the columns count power: 1, or less where energy given back is lost. */
  readonly takenShare: number;
  readonly machines: readonly MachineColumns[];
}

export interface MachineColumns {
  readonly machine: Machine;
  /** Share of the time of each of its runs, the normal cycle first. */
  readonly shares: readonly number[];
  readonly axes: readonly AxisInput[];
  readonly buses: readonly BusInput[];
}

export interface AxisInput {
  readonly axis: Axis;
  /** Index of its bus. */
  readonly bus: number;
  /** Indices of the axes that ride on it. */
  readonly riders: readonly number[];
  readonly columns: readonly ColumnInput[];
  readonly powers: ColumnPowers;
}

/** Power of each column without the drive's fixed loss, summed over the counted share of the cycle and divided by the cycle [W]. */
export interface ColumnPowers {
  /** By run of the machine. */
  readonly runs: readonly Float64Array[];
  /** Weighted by their shares. */
  readonly mean: Float64Array;
}

export interface ColumnInput {
  readonly motor: Motor;
  readonly gearbox: Gearbox | undefined;
  readonly drive: Drive;
  readonly inductor: Inductor | undefined;
  /** Motor and gearbox [kg]. */
  readonly mass: number;
  /** Heaviest load of its case of carried mass [kg]. */
  readonly capacity: number;
  /** Lightest load of that case [kg]. */
  readonly lightest: number;
}

export interface BusInput {
  readonly options: readonly { readonly supply: Supply | undefined; readonly resistor: Resistor | undefined }[];
}

/** What a group of the model stands for: axes that share a pick, or a bus. */
export type GroupPlace =
  | {
      readonly kind: "axes";
      readonly machine: number;
      readonly axes: readonly number[];
      /** By model column: the column of each of those axes. */
      readonly columns: readonly (readonly number[])[];
    }
  | { readonly kind: "bus"; readonly machine: number; readonly bus: number };

/** Parts that a pick buys. */
export function partsOfPick(
  pick: Pick<ColumnInput, "motor" | "gearbox" | "drive" | "inductor"> | undefined,
): AnyPart[] {
  return [pick?.motor, pick?.gearbox, pick?.drive, pick?.inductor].filter((part) => part !== undefined);
}

/** Parts that a way of feeding a bus buys. */
export function partsOfSupply(option: BusInput["options"][number] | undefined): AnyPart[] {
  return [option?.supply, option?.resistor].filter((part) => part !== undefined);
}
