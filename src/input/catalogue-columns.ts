import type { PartKind } from "../machine/catalogue.ts";
import type { Quantity } from "../units/quantity.ts";
import type { Range } from "./values.ts";

/** One column of a catalogue file, as documented. */
export interface Column {
  /** A dimension (the header names the unit), "number" without one, or "text". */
  readonly holds: Quantity | "number" | "text";
  readonly range: Range;
  readonly isRequired: boolean;
}

const amount = (holds: Column["holds"], range: Range = "positive"): Column => ({ holds, range, isRequired: true });
const maybe = (holds: Column["holds"], range: Range = "positive"): Column => ({ holds, range, isRequired: false });
const TEXT = amount("text");

const LEAD_TIME = maybe("lead-time", "not-negative");

/** Every documented column of each file but the prices, which are read by their own rule. */
export const CATALOGUE_COLUMNS: Readonly<Record<PartKind, Readonly<Record<string, Column>>>> = {
  motor: {
    part: TEXT,
    frame: TEXT,
    construction: TEXT,
    feedback: TEXT,
    poles: amount("number"),
    stall_torque: amount("torque"),
    rated_torque: amount("torque"),
    rated_speed: amount("angular-speed"),
    peak_torque: amount("torque"),
    peak_current: maybe("current"),
    peak_time: maybe("time"),
    max_speed: amount("angular-speed"),
    peak_knee_speed: maybe("angular-speed", "not-negative"),
    peak_torque_at_max_speed: maybe("torque", "not-negative"),
    torque_constant: amount("torque-constant"),
    voltage_constant: amount("voltage-constant"),
    resistance: amount("resistance"),
    inductance: amount("inductance"),
    rotor_inertia: amount("inertia"),
    detent_torque: maybe("torque", "not-negative"),
    detents: maybe("number"),
    friction_torque: maybe("torque", "not-negative"),
    winding_time: maybe("time"),
    housing_time: maybe("time"),
    winding_share: maybe("number", "not-negative"),
    winding_limit: maybe("temperature", "any"),
    reference_ambient: maybe("temperature", "any"),
    mass: amount("mass"),
    length: amount("length"),
    width: amount("length"),
    brake_torque: maybe("torque"),
    brake_inertia: maybe("inertia", "not-negative"),
    resolution: maybe("number"),
    ip: maybe("text"),
    standstill_torque: maybe("torque"),
    radial_load: maybe("force"),
    brake_close_time: maybe("time", "not-negative"),
    lead_time: LEAD_TIME,
  },
  gearbox: {
    part: TEXT,
    frame: TEXT,
    motor_frames: TEXT,
    kind: TEXT,
    ratio: amount("number"),
    efficiency: amount("number"),
    back_efficiency: maybe("number", "any"),
    inertia: amount("inertia", "not-negative"),
    rated_torque: amount("torque"),
    acceleration_torque: amount("torque"),
    emergency_torque: maybe("torque"),
    rated_input_speed: amount("angular-speed"),
    max_input_speed: amount("angular-speed"),
    backlash: amount("angle", "not-negative"),
    stiffness: maybe("angular-stiffness"),
    drag_torque: maybe("torque", "not-negative"),
    mass: amount("mass"),
    length: maybe("length"),
    radial_load: maybe("force"),
    lead_time: LEAD_TIME,
  },
  drive: {
    part: TEXT,
    channels: amount("number"),
    continuous_current: amount("current"),
    peak_current: amount("current"),
    peak_time: amount("time"),
    bus_max: amount("voltage"),
    bus_min: maybe("voltage", "not-negative"),
    bus_family: maybe("text"),
    feedback: TEXT,
    commutation: TEXT,
    switching_frequency: amount("frequency"),
    max_frequency: maybe("frequency"),
    fixed_loss: amount("power", "not-negative"),
    loss_per_amp: amount("loss-per-current", "not-negative"),
    capacitance: amount("capacitance", "not-negative"),
    width: amount("length"),
    lead_time: LEAD_TIME,
  },
  supply: {
    part: TEXT,
    mains: amount("voltage"),
    mains_max: maybe("voltage"),
    phases: amount("number"),
    bus_voltage: maybe("voltage"),
    continuous_power: amount("power"),
    peak_power: amount("power"),
    peak_time: maybe("time"),
    capacitance: amount("capacitance", "not-negative"),
    chopper_voltage: maybe("voltage"),
    min_resistance: maybe("resistance"),
    max_capacitance: maybe("capacitance"),
    internal_resistor_peak: maybe("power"),
    internal_resistor_continuous: maybe("power"),
    bus_family: maybe("text"),
    feeds_back: TEXT,
    width: amount("length"),
    lead_time: LEAD_TIME,
  },
  resistor: {
    part: TEXT,
    resistance: amount("resistance"),
    continuous_power: amount("power"),
    peak_power: amount("power"),
    pulse_energy: maybe("energy"),
    lead_time: LEAD_TIME,
  },
  inductor: {
    part: TEXT,
    inductance: amount("inductance"),
    continuous_current: amount("current"),
    lead_time: LEAD_TIME,
  },
};

/** Name of the file, without its ending, that holds the parts of a kind. */
export const CATALOGUE_FILES: Readonly<Record<PartKind, string>> = {
  motor: "motors",
  gearbox: "gearboxes",
  drive: "drives",
  supply: "supplies",
  resistor: "resistors",
  inductor: "inductors",
};
