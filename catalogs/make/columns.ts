import type { Column } from "./sheet.ts";

const PRICES: readonly Column[] = [
  { name: "price", unit: "EUR", money: true },
  { name: "price_10", unit: "EUR", money: true },
  { name: "price_50", unit: "EUR", money: true },
  { name: "lead_time", unit: "day" },
];

/** Columns of motors.csv; `slots` and `winding_for` are text of our own beside them. */
export const MOTOR_COLUMNS: readonly Column[] = [
  { name: "part" },
  { name: "frame" },
  { name: "construction" },
  { name: "feedback" },
  { name: "winding_for" },
  { name: "slots" },
  { name: "poles" },
  { name: "stall_torque", unit: "N*m" },
  { name: "rated_torque", unit: "N*m" },
  { name: "rated_speed", unit: "rpm" },
  { name: "peak_torque", unit: "N*m" },
  { name: "peak_current", unit: "A", digits: 3 },
  { name: "peak_time", unit: "s" },
  { name: "max_speed", unit: "rpm" },
  { name: "peak_knee_speed", unit: "rpm" },
  { name: "peak_torque_at_max_speed", unit: "N*m", digits: 3 },
  { name: "torque_constant", unit: "N*m/A" },
  { name: "voltage_constant", unit: "V/krpm" },
  { name: "resistance", unit: "ohm" },
  { name: "inductance", unit: "mH", digits: 3 },
  { name: "rotor_inertia", unit: "kg*m^2", digits: 3 },
  { name: "detent_torque", unit: "N*m", digits: 2 },
  { name: "detents" },
  { name: "friction_torque", unit: "N*m", digits: 2 },
  { name: "winding_time", unit: "s" },
  { name: "housing_time", unit: "s" },
  { name: "winding_share" },
  { name: "winding_limit", unit: "degC" },
  { name: "reference_ambient", unit: "degC" },
  { name: "mass", unit: "kg", digits: 3 },
  { name: "length", unit: "mm" },
  { name: "width", unit: "mm" },
  { name: "brake_torque", unit: "N*m", digits: 2 },
  { name: "brake_inertia", unit: "kg*m^2", digits: 2 },
  { name: "brake_close_time", unit: "ms" },
  { name: "resolution" },
  { name: "ip" },
  { name: "radial_load", unit: "N", digits: 2 },
  ...PRICES,
];

/** Columns of gearboxes.csv; `stages` and `grade` are text of our own beside them. */
export const GEARBOX_COLUMNS: readonly Column[] = [
  { name: "part" },
  { name: "frame" },
  { name: "motor_frames" },
  { name: "kind" },
  { name: "stages" },
  { name: "grade" },
  { name: "ratio" },
  { name: "efficiency" },
  { name: "back_efficiency" },
  { name: "inertia", unit: "kg*m^2", digits: 3 },
  { name: "rated_torque", unit: "N*m" },
  { name: "acceleration_torque", unit: "N*m" },
  { name: "emergency_torque", unit: "N*m" },
  { name: "rated_input_speed", unit: "rpm" },
  { name: "max_input_speed", unit: "rpm" },
  { name: "backlash", unit: "arcmin" },
  { name: "stiffness", unit: "N*m/arcmin" },
  { name: "drag_torque", unit: "N*m" },
  { name: "mass", unit: "kg" },
  { name: "length", unit: "mm" },
  { name: "radial_load", unit: "N", digits: 2 },
  ...PRICES,
];

/** Columns of drives.csv; `fieldbus` and `safe_torque_off` are text of our own beside them. */
export const DRIVE_COLUMNS: readonly Column[] = [
  { name: "part" },
  { name: "channels" },
  { name: "continuous_current", unit: "A" },
  { name: "peak_current", unit: "A" },
  { name: "peak_time", unit: "s" },
  { name: "bus_max", unit: "V" },
  { name: "bus_min", unit: "V" },
  { name: "bus_family" },
  { name: "feedback" },
  { name: "commutation" },
  { name: "switching_frequency", unit: "kHz" },
  { name: "max_frequency", unit: "Hz" },
  { name: "fixed_loss", unit: "W" },
  { name: "loss_per_amp", unit: "W/A" },
  { name: "capacitance", unit: "uF" },
  { name: "width", unit: "mm" },
  { name: "fieldbus" },
  { name: "safe_torque_off" },
  ...PRICES,
];

export const SUPPLY_COLUMNS: readonly Column[] = [
  { name: "part" },
  { name: "mains", unit: "V" },
  { name: "mains_max", unit: "V" },
  { name: "phases" },
  { name: "bus_voltage", unit: "V" },
  { name: "continuous_power", unit: "W" },
  { name: "peak_power", unit: "W" },
  { name: "peak_time", unit: "s" },
  { name: "capacitance", unit: "uF" },
  { name: "chopper_voltage", unit: "V" },
  { name: "min_resistance", unit: "ohm" },
  { name: "max_capacitance", unit: "uF" },
  { name: "internal_resistor_peak", unit: "W" },
  { name: "internal_resistor_continuous", unit: "W" },
  { name: "bus_family" },
  { name: "feeds_back" },
  { name: "width", unit: "mm" },
  ...PRICES,
];

export const RESISTOR_COLUMNS: readonly Column[] = [
  { name: "part" },
  { name: "resistance", unit: "ohm" },
  { name: "continuous_power", unit: "W" },
  { name: "peak_power", unit: "W" },
  { name: "pulse_energy", unit: "J" },
  ...PRICES,
];

export const INDUCTOR_COLUMNS: readonly Column[] = [
  { name: "part" },
  { name: "inductance", unit: "mH" },
  { name: "continuous_current", unit: "A" },
  ...PRICES,
];

/** The same columns with another unit or a header of the maker's own for some of them. */
export function reworded(
  columns: readonly Column[],
  changes: Readonly<Record<string, Partial<Column>>>,
): readonly Column[] {
  return columns.map((column) => ({ ...column, ...changes[column.name] }));
}
