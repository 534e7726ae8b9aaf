/** A physical dimension by the name the input uses, with the unit its numbers are kept in. */
export interface QuantityKind {
  /** Unit of the number inside the program: SI, but degC for temperatures and day for lead times. */
  readonly unit: string;
  /** As it reads in a message: "a mass". */
  readonly noun: string;
  /** A value as a user writes it. */
  readonly example: string;
}

export type Quantity =
  | "length"
  | "angle"
  | "time"
  | "lead-time"
  | "mass"
  | "inertia"
  | "imbalance"
  | "density"
  | "force"
  | "torque"
  | "speed"
  | "angular-speed"
  | "acceleration"
  | "angular-acceleration"
  | "jerk"
  | "angular-jerk"
  | "damping"
  | "angular-damping"
  | "stiffness"
  | "angular-stiffness"
  | "voltage"
  | "current"
  | "resistance"
  | "inductance"
  | "capacitance"
  | "frequency"
  | "power"
  | "energy"
  | "torque-constant"
  | "voltage-constant"
  | "loss-per-current"
  | "temperature";

/** Every dimension the input knows. Angle is a dimension of its own, so that "300 Hz" is not a speed of rotation. */
export const QUANTITIES: Readonly<Record<Quantity, QuantityKind>> = {
  length: { unit: "m", noun: "a length", example: "300 mm" },
  angle: { unit: "rad", noun: "an angle", example: "90 deg" },
  time: { unit: "s", noun: "a time", example: "0.45 s" },
  "lead-time": { unit: "day", noun: "a time in days", example: "15 day" },
  mass: { unit: "kg", noun: "a mass", example: "14 kg" },
  inertia: { unit: "kg*m^2", noun: "a moment of inertia", example: "0.002 kg*m^2" },
  imbalance: { unit: "kg*m", noun: "a mass times its radius", example: "0.3 kg*m" },
  density: { unit: "kg/m^3", noun: "a density", example: "900 kg/m^3" },
  force: { unit: "N", noun: "a force", example: "25 N" },
  torque: { unit: "N*m", noun: "a torque", example: "2.5 N*m" },
  speed: { unit: "m/s", noun: "a speed", example: "1.2 m/s" },
  "angular-speed": { unit: "rad/s", noun: "a speed of rotation", example: "300 rpm" },
  acceleration: { unit: "m/s^2", noun: "an acceleration", example: "6 m/s^2" },
  "angular-acceleration": { unit: "rad/s^2", noun: "an angular acceleration", example: "40 rad/s^2" },
  jerk: { unit: "m/s^3", noun: "a jerk", example: "80 m/s^3" },
  "angular-jerk": { unit: "rad/s^3", noun: "an angular jerk", example: "600 rad/s^3" },
  damping: { unit: "N*s/m", noun: "a friction force per speed", example: "12 N*s/m" },
  "angular-damping": { unit: "N*m*s/rad", noun: "a friction torque per speed", example: "0.02 N*m*s/rad" },
  stiffness: { unit: "N/m", noun: "a stiffness", example: "40 N/um" },
  "angular-stiffness": { unit: "N*m/rad", noun: "a torsional stiffness", example: "3 N*m/arcmin" },
  voltage: { unit: "V", noun: "a voltage", example: "400 V" },
  current: { unit: "A", noun: "a current", example: "9.5 A" },
  resistance: { unit: "ohm", noun: "a resistance", example: "33 ohm" },
  inductance: { unit: "H", noun: "an inductance", example: "4 mH" },
  capacitance: { unit: "F", noun: "a capacitance", example: "470 uF" },
  frequency: { unit: "Hz", noun: "a frequency", example: "30 Hz" },
  power: { unit: "W", noun: "a power", example: "1.5 kW" },
  energy: { unit: "J", noun: "an energy", example: "250 J" },
  "torque-constant": { unit: "N*m/A", noun: "a torque per current", example: "0.8 N*m/A" },
  "voltage-constant": { unit: "V*s/rad", noun: "a voltage per speed of rotation", example: "48 V/krpm" },
  "loss-per-current": { unit: "W/A", noun: "a loss per current", example: "4 W/A" },
  temperature: { unit: "degC", noun: "a temperature", example: "35 degC" },
};

/** "a mass with its unit, such as "14 kg"". */
export function describeQuantity(quantity: Quantity): string {
  const { noun, example } = QUANTITIES[quantity];
  return `${noun} with its unit, such as "${example}"`;
}
