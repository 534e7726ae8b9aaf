/** How a motor's stator is built. Closed-slot: tooth tips bridged, often skewed. */
export type Construction = "slotted" | "slotless" | "closed-slot";

/** What a motor tells its drive about the rotor's position. */
export type Feedback =
  | "hall"
  | "encoder-incremental"
  | "encoder-hall"
  | "encoder-absolute"
  | "encoder-multiturn"
  | "resolver";

export const PART_KINDS = ["motor", "gearbox", "drive", "supply", "resistor", "inductor"] as const;
export type PartKind = (typeof PART_KINDS)[number];

/** Unit price of all units from a total quantity on [cent]. */
export interface PriceStep {
  readonly from: number;
  readonly price: number;
}

/** What every part has. All numbers SI, money in cents, lead time in days, temperatures in degrees Celsius. */
export interface PartBase {
  readonly part: string;
  readonly maker: string;
  /** Ascending by `from`; the first is 1. */
  readonly prices: readonly PriceStep[];
  readonly leadTime?: number;
  /** Every column of the row as text by its bare column name (unit cut off), for `match`. */
  readonly texts: Readonly<Record<string, string>>;
}

export interface Motor extends PartBase {
  readonly kind: "motor";
  readonly frame: string;
  readonly construction: Construction;
  readonly feedback: Feedback;
  /** Number of poles (not pairs). */
  readonly poles: number;
  readonly stallTorque: number;
  readonly ratedTorque: number;
  readonly ratedSpeed: number;
  readonly peakTorque: number;
  readonly peakCurrent?: number;
  readonly peakTime?: number;
  readonly maxSpeed: number;
  readonly peakKneeSpeed?: number;
  readonly peakTorqueAtMaxSpeed?: number;
  /** Per A rms [N·m/A]. */
  readonly torqueConstant: number;
  /** Line-line rms [V·s/rad]. */
  readonly voltageConstant: number;
  /** Line-line at 25 °C [ohm]. */
  readonly resistance: number;
  /** Line-line [H]. */
  readonly inductance: number;
  readonly rotorInertia: number;
  /** Amplitude [N·m]. Slotless with an empty cell: 0. */
  readonly detentTorque?: number;
  /** Detents per motor turn. */
  readonly detents?: number;
  /** Default 0. */
  readonly frictionTorque: number;
  readonly windingTime?: number;
  readonly housingTime?: number;
  readonly windingShare: number;
  /** [°C], default 130. */
  readonly windingLimit: number;
  /** [°C], default 40. */
  readonly referenceAmbient: number;
  /** With its brake [kg]. */
  readonly mass: number;
  readonly length: number;
  readonly width: number;
  /** Absent: the motor has no brake. */
  readonly brakeTorque?: number;
  /** 0 without a brake. */
  readonly brakeInertia: number;
  /** Counts per turn. */
  readonly resolution?: number;
  readonly ip?: string;
  readonly standstillTorque?: number;
  readonly radialLoad?: number;
  readonly brakeCloseTime?: number;
}

export interface Gearbox extends PartBase {
  readonly kind: "gearbox";
  readonly frame: string;
  /** Motor frames it can carry. */
  readonly motorFrames: readonly string[];
  readonly style: "inline" | "right-angle";
  readonly ratio: number;
  readonly efficiency: number;
  /** Default: efficiency. */
  readonly backEfficiency: number;
  /** At the input. */
  readonly inertia: number;
  /** At the output. */
  readonly ratedTorque: number;
  readonly accelerationTorque: number;
  readonly emergencyTorque?: number;
  readonly ratedInputSpeed: number;
  readonly maxInputSpeed: number;
  /** [rad] at the output. */
  readonly backlash: number;
  /** [N·m/rad] */
  readonly stiffness?: number;
  /** At the input, default 0. */
  readonly dragTorque: number;
  readonly mass: number;
  readonly length?: number;
  readonly radialLoad?: number;
}

export interface Drive extends PartBase {
  readonly kind: "drive";
  /** Motors one module can feed. */
  readonly channels: number;
  /** Per channel [A rms]. */
  readonly continuousCurrent: number;
  readonly peakCurrent: number;
  readonly peakTime: number;
  readonly busMax: number;
  readonly busMin?: number;
  readonly busFamily?: string;
  readonly feedback: readonly Feedback[];
  readonly commutation: "sinusoidal" | "six-step";
  readonly switchingFrequency: number;
  readonly maxFrequency?: number;
  /** Per module [W]. */
  readonly fixedLoss: number;
  /** [W/A] per channel. */
  readonly lossPerAmp: number;
  /** Per module [F]. */
  readonly capacitance: number;
  /** Per module [m]. */
  readonly width: number;
}

export interface Supply extends PartBase {
  readonly kind: "supply";
  /** Mains it takes, lowest and highest nominal voltage [V rms]. */
  readonly mains: number;
  readonly mainsMax: number;
  readonly phases: number;
  /** Regulated output [V]; absent: rectified mains. */
  readonly busVoltage?: number;
  readonly continuousPower: number;
  readonly peakPower: number;
  readonly peakTime?: number;
  readonly capacitance: number;
  /** Absent only when it feeds back. */
  readonly chopperVoltage?: number;
  readonly minResistance?: number;
  readonly maxCapacitance?: number;
  readonly internalResistorPeak?: number;
  readonly internalResistorContinuous?: number;
  readonly busFamily?: string;
  readonly feedsBack: boolean;
  readonly width: number;
}

export interface Resistor extends PartBase {
  readonly kind: "resistor";
  readonly resistance: number;
  readonly continuousPower: number;
  readonly peakPower: number;
  readonly pulseEnergy?: number;
}

export interface Inductor extends PartBase {
  readonly kind: "inductor";
  /** Per phase [H]. */
  readonly inductance: number;
  readonly continuousCurrent: number;
}

export type AnyPart = Motor | Gearbox | Drive | Supply | Resistor | Inductor;

/** All catalogues of a problem together, each list in file order, makers in the order of `catalogs`. */
export interface Catalogue {
  readonly motors: readonly Motor[];
  readonly gearboxes: readonly Gearbox[];
  readonly drives: readonly Drive[];
  readonly supplies: readonly Supply[];
  readonly resistors: readonly Resistor[];
  readonly inductors: readonly Inductor[];
}

/** Identity of a part: maker and part number together. */
export function partKey(part: Pick<PartBase, "maker" | "part">): string {
  return `${part.maker} / ${part.part}`;
}
