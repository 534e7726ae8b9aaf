import type {
  AnyPart,
  Drive,
  Gearbox,
  Inductor,
  Motor,
  PartBase,
  PartKind,
  Resistor,
  Supply,
} from "../machine/catalogue.ts";
import { formatQuantity } from "../units/format-quantity.ts";
import { given } from "./given.ts";
import { COMMUTATIONS, CONSTRUCTIONS, FEEDBACKS, GEARBOX_STYLES } from "./part-choices.ts";
import { choiceOf, choicesOf, listOf, numberOf, optionalTextOf, type Row, textOf } from "./row.ts";

/** What a part needs beside its row. */
interface PartSource {
  readonly maker: string;
  /** Records that an empty cell took a default. */
  readonly noteDefault: (column: string, value: string) => void;
}

type FromRow<Part> = (row: Row, source: PartSource) => Part;

/** A row becomes a part of its kind; placeholders stand where the row has faults, and are never used then. */
export const PART_FROM_ROW: {
  readonly [Kind in PartKind]: FromRow<Extract<AnyPart, { readonly kind: Kind }>>;
} = {
  motor: motorFrom,
  gearbox: gearboxFrom,
  drive: driveFrom,
  supply: supplyFrom,
  resistor: resistorFrom,
  inductor: inductorFrom,
};

function baseFrom(row: Row, { maker }: PartSource): PartBase {
  const { prices, texts } = row;
  return { part: textOf(row, "part"), maker, prices, texts, ...given({ leadTime: row.numbers.get("lead_time") }) };
}

function orDefault(
  row: Row,
  source: PartSource,
  says: { readonly column: string; readonly fallback: number; readonly unit: string },
): number {
  const value = row.numbers.get(says.column);
  if (value !== undefined) return value;
  source.noteDefault(says.column, formatQuantity(says.fallback, says.unit));
  return says.fallback;
}

function motorFrom(row: Row, source: PartSource): Motor {
  return {
    kind: "motor",
    ...baseFrom(row, source),
    frame: textOf(row, "frame"),
    construction: choiceOf(row, "construction", CONSTRUCTIONS) ?? "slotted",
    feedback: choiceOf(row, "feedback", FEEDBACKS) ?? "hall",
    poles: numberOf(row, "poles"),
    ...motorRatings(row),
    frictionTorque: orDefault(row, source, { column: "friction_torque", fallback: 0, unit: "N*m" }),
    windingShare: orDefault(row, source, { column: "winding_share", fallback: 0.4, unit: "1" }),
    windingLimit: orDefault(row, source, { column: "winding_limit", fallback: 130, unit: "degC" }),
    referenceAmbient: orDefault(row, source, { column: "reference_ambient", fallback: 40, unit: "degC" }),
    brakeInertia: row.numbers.get("brake_inertia") ?? 0,
    ...motorOptions(row, source),
  };
}

type MotorRatings = Pick<
  Motor,
  | "stallTorque"
  | "ratedTorque"
  | "ratedSpeed"
  | "peakTorque"
  | "maxSpeed"
  | "torqueConstant"
  | "voltageConstant"
  | "resistance"
  | "inductance"
  | "rotorInertia"
  | "mass"
  | "length"
  | "width"
>;

function motorRatings(row: Row): MotorRatings {
  return {
    stallTorque: numberOf(row, "stall_torque"),
    ratedTorque: numberOf(row, "rated_torque"),
    ratedSpeed: numberOf(row, "rated_speed"),
    peakTorque: numberOf(row, "peak_torque"),
    maxSpeed: numberOf(row, "max_speed"),
    torqueConstant: numberOf(row, "torque_constant"),
    voltageConstant: numberOf(row, "voltage_constant"),
    resistance: numberOf(row, "resistance"),
    inductance: numberOf(row, "inductance"),
    rotorInertia: numberOf(row, "rotor_inertia"),
    mass: numberOf(row, "mass"),
    length: numberOf(row, "length"),
    width: numberOf(row, "width"),
  };
}

type MotorOptions = Pick<
  Motor,
  | "peakCurrent"
  | "peakTime"
  | "peakKneeSpeed"
  | "peakTorqueAtMaxSpeed"
  | "detentTorque"
  | "detents"
  | "windingTime"
  | "housingTime"
  | "brakeTorque"
  | "resolution"
  | "ip"
  | "standstillTorque"
  | "radialLoad"
  | "brakeCloseTime"
>;

function motorOptions(row: Row, source: PartSource): MotorOptions {
  const { numbers } = row;
  const isSlotless = textOf(row, "construction") === "slotless";
  return given({
    peakCurrent: numbers.get("peak_current"),
    peakTime: numbers.get("peak_time"),
    peakKneeSpeed: numbers.get("peak_knee_speed"),
    peakTorqueAtMaxSpeed: numbers.get("peak_torque_at_max_speed"),
    detentTorque: isSlotless
      ? orDefault(row, source, { column: "detent_torque", fallback: 0, unit: "N*m" })
      : numbers.get("detent_torque"),
    detents: numbers.get("detents"),
    windingTime: numbers.get("winding_time"),
    housingTime: numbers.get("housing_time"),
    brakeTorque: numbers.get("brake_torque"),
    resolution: numbers.get("resolution"),
    ip: optionalTextOf(row, "ip"),
    standstillTorque: numbers.get("standstill_torque"),
    radialLoad: numbers.get("radial_load"),
    brakeCloseTime: numbers.get("brake_close_time"),
  });
}

function gearboxFrom(row: Row, source: PartSource): Gearbox {
  const { numbers } = row;
  const efficiency = numberOf(row, "efficiency");
  if (!numbers.has("back_efficiency")) source.noteDefault("back_efficiency", "efficiency of the row");
  return {
    kind: "gearbox",
    ...baseFrom(row, source),
    frame: textOf(row, "frame"),
    motorFrames: listOf(row, "motor_frames"),
    style: choiceOf(row, "kind", GEARBOX_STYLES) ?? "inline",
    ratio: numberOf(row, "ratio"),
    efficiency,
    backEfficiency: numbers.get("back_efficiency") ?? efficiency,
    inertia: numberOf(row, "inertia"),
    ratedTorque: numberOf(row, "rated_torque"),
    accelerationTorque: numberOf(row, "acceleration_torque"),
    ratedInputSpeed: numberOf(row, "rated_input_speed"),
    maxInputSpeed: numberOf(row, "max_input_speed"),
    backlash: numberOf(row, "backlash"),
    dragTorque: orDefault(row, source, { column: "drag_torque", fallback: 0, unit: "N*m" }),
    mass: numberOf(row, "mass"),
    ...given({
      emergencyTorque: numbers.get("emergency_torque"),
      stiffness: numbers.get("stiffness"),
      length: numbers.get("length"),
      radialLoad: numbers.get("radial_load"),
    }),
  };
}

function driveFrom(row: Row, source: PartSource): Drive {
  const { numbers } = row;
  return {
    kind: "drive",
    ...baseFrom(row, source),
    channels: numberOf(row, "channels"),
    continuousCurrent: numberOf(row, "continuous_current"),
    peakCurrent: numberOf(row, "peak_current"),
    peakTime: numberOf(row, "peak_time"),
    busMax: numberOf(row, "bus_max"),
    feedback: choicesOf(row, "feedback", FEEDBACKS),
    commutation: choiceOf(row, "commutation", COMMUTATIONS) ?? "sinusoidal",
    switchingFrequency: numberOf(row, "switching_frequency"),
    fixedLoss: numberOf(row, "fixed_loss"),
    lossPerAmp: numberOf(row, "loss_per_amp"),
    capacitance: numberOf(row, "capacitance"),
    width: numberOf(row, "width"),
    ...given({
      busMin: numbers.get("bus_min"),
      busFamily: optionalTextOf(row, "bus_family"),
      maxFrequency: numbers.get("max_frequency"),
    }),
  };
}

function supplyFrom(row: Row, source: PartSource): Supply {
  const { numbers } = row;
  const mains = numberOf(row, "mains");
  if (!numbers.has("mains_max")) source.noteDefault("mains_max", "mains of the row");
  return {
    kind: "supply",
    ...baseFrom(row, source),
    mains,
    mainsMax: numbers.get("mains_max") ?? mains,
    phases: numberOf(row, "phases"),
    continuousPower: numberOf(row, "continuous_power"),
    peakPower: numberOf(row, "peak_power"),
    capacitance: numberOf(row, "capacitance"),
    feedsBack: choiceOf(row, "feeds_back", ["yes", "no"]) === "yes",
    width: numberOf(row, "width"),
    ...given({
      busVoltage: numbers.get("bus_voltage"),
      peakTime: numbers.get("peak_time"),
      chopperVoltage: numbers.get("chopper_voltage"),
      minResistance: numbers.get("min_resistance"),
      maxCapacitance: numbers.get("max_capacitance"),
      internalResistorPeak: numbers.get("internal_resistor_peak"),
      internalResistorContinuous: numbers.get("internal_resistor_continuous"),
      busFamily: optionalTextOf(row, "bus_family"),
    }),
  };
}

function resistorFrom(row: Row, source: PartSource): Resistor {
  return {
    kind: "resistor",
    ...baseFrom(row, source),
    resistance: numberOf(row, "resistance"),
    continuousPower: numberOf(row, "continuous_power"),
    peakPower: numberOf(row, "peak_power"),
    ...given({ pulseEnergy: row.numbers.get("pulse_energy") }),
  };
}

function inductorFrom(row: Row, source: PartSource): Inductor {
  return {
    kind: "inductor",
    ...baseFrom(row, source),
    inductance: numberOf(row, "inductance"),
    continuousCurrent: numberOf(row, "continuous_current"),
  };
}
