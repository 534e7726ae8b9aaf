/** Every limit a pick, a bus or the order can be held by, in the order of the documentation (ties follow it). */
export const LIMIT_IDS = [
  "motor.continuous_torque",
  "motor.peak_torque",
  "motor.torque_at_speed",
  "motor.speed",
  "motor.voltage",
  "motor.winding_temperature",
  "motor.inertia_ratio",
  "motor.detent",
  "motor.speed_ripple",
  "motor.brake",
  "motor.resolution",
  "gearbox.peak_torque",
  "gearbox.mean_torque",
  "gearbox.emergency_torque",
  "gearbox.max_speed",
  "gearbox.mean_speed",
  "gearbox.backlash",
  "drive.continuous_current",
  "drive.peak_current",
  "drive.overload",
  "supply.overload",
  "drive.ripple_current",
  "drive.frequency",
  "drive.bus_voltage",
  "supply.peak_power",
  "supply.continuous_power",
  "resistor.peak_power",
  "resistor.continuous_power",
  "resistor.stop_energy",
  "motor.standstill_torque",
  "motor.shaft_load",
  "gearbox.shaft_load",
  "inductor.continuous_current",
  "axis.resonance",
  "axis.critical_speed",
  "axis.torque_ripple",
  "supply.capacitance",
  "supply.regeneration",
  "machine.cabinet_width",
  "machine.mass",
  "machine.price",
  "machine.lead_time",
  "caps.motors",
  "caps.frames",
  "caps.gearboxes",
  "caps.drives",
  "caps.makers",
  "caps.parts",
  "order.dual_source",
] as const;

export type LimitId = (typeof LIMIT_IDS)[number];

/** SI unit of a limit's two numbers. `count` and `1` are dimensionless; money is in cents, lead time in days. */
export type LimitUnit =
  | "N*m"
  | "N"
  | "rad/s"
  | "V"
  | "1"
  | "m"
  | "rad"
  | "A"
  | "Hz"
  | "s"
  | "degC"
  | "W"
  | "J"
  | "F"
  | "kg"
  | "cent"
  | "day"
  | "count";

/** One constraint with its demand and what is allowed. All numbers SI. */
export interface Limit {
  readonly id: LimitId;
  readonly demand: number;
  readonly allowed: number;
  readonly unit: LimitUnit;
  /** demand / allowed; passes at 1 or below. 0/0 is 0; anything else over 0 is null and fails. */
  readonly utilisation: number | null;
  /** Machine time of the demand's peak, the earliest [s]; absent for whole-cycle quantities. */
  readonly time?: number;
  /** The machine's mode in which it is nearest to failing; absent: the normal cycle. */
  readonly mode?: string;
  /** A second figure worth showing beside the demand, such as the peak-to-peak ripple current. */
  readonly beside?: { readonly name: string; readonly value: number; readonly unit: LimitUnit };
}

/** A limit that could not be judged because a catalogue value is missing. */
export interface Unchecked {
  readonly id: LimitId;
  /** The empty catalogue column. */
  readonly missing: string;
}

/** A limit checked, or not checked for want of a value. */
export type Judgement =
  | { readonly kind: "checked"; readonly limit: Limit }
  | ({ readonly kind: "not-checked" } & Unchecked);
