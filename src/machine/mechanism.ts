/** What every mechanism has: defaults 1, efficiency, 0, 0, 0. */
interface MechanismBase {
  readonly efficiency: number;
  /** 0 or less: self-locking. */
  readonly backEfficiency: number;
  /** At the input shaft, outside the efficiency. */
  readonly inertia: number;
  readonly dragTorque: number;
  /** At the motor shaft. */
  readonly couplingInertia: number;
  /** Linear: N/m at the load; rotary: N·m/rad. */
  readonly stiffness?: number;
}

/** How the ends of a screw are held; a supported end may tilt. */
export const SCREW_ENDS = ["fixed-free", "supported-supported", "fixed-supported", "fixed-fixed"] as const;
export type ScrewEnds = (typeof SCREW_ENDS)[number];

/** A turning screw as a shaft that may whirl. */
export interface ScrewCheck {
  /** At the root of the thread [m]. */
  readonly diameter: number;
  /** Between the bearings [m]. */
  readonly length: number;
  readonly ends: ScrewEnds;
}

export interface BallScrew extends MechanismBase {
  readonly kind: "ball-screw";
  readonly lead: number;
  /** Absent: the critical speed is not asked for. */
  readonly check?: ScrewCheck;
}
export interface LeadScrew extends MechanismBase {
  readonly kind: "lead-screw";
  readonly lead: number;
  readonly pitchDiameter?: number;
  readonly frictionCoefficient?: number;
  readonly threadAngle?: number;
  /** Absent: the critical speed is not asked for. */
  readonly check?: ScrewCheck;
}
/** What pulls sideways at the shaft that drives it. */
interface Radial {
  /** Radial force on the driving shaft over the largest tangential force; absent or 0: the shaft bears none. */
  readonly radialFactor?: number;
}
export interface Belt extends MechanismBase, Radial {
  readonly kind: "belt";
  readonly diameter: number;
}
export interface Rack extends MechanismBase, Radial {
  readonly kind: "rack";
  readonly diameter: number;
}
export interface Rollers extends MechanismBase {
  readonly kind: "rollers";
  readonly diameter: number;
}
export interface Rotary extends MechanismBase {
  readonly kind: "rotary";
}
/** Winds a web that arrives at line speed; its motion is the web's. + winds up. */
export interface Winder extends MechanismBase {
  readonly kind: "winder";
  readonly coreDiameter: number;
  /** Where the list of segments begins. */
  readonly startDiameter: number;
  readonly webWidth: number;
  readonly webDensity: number;
  readonly webThickness: number;
  /** Resists winding up, also at rest [N]. */
  readonly tension: number;
}
/** Slider crank: its motion is the crank's, its load the slider's. At an angle of 0 the slider is farthest out. */
export interface Crank extends MechanismBase {
  readonly kind: "crank";
  readonly radius: number;
  readonly rod: number;
  /** Of the slider's line from the crank's centre, signed. */
  readonly offset: number;
  /** Angle of the crank where the list of segments begins [rad]. */
  readonly startAngle: number;
}
/** Speed and torque of the input shaft as they were measured; the axis's motion is the table's speed. */
export interface Measured extends MechanismBase {
  readonly kind: "measured";
  readonly file: string;
  /** [rad/s] over time. */
  readonly speed: TimeSeries;
  /** [N·m] over the same times; inertia beyond the shaft is in it. */
  readonly torque: TimeSeries;
}

/** A lead screw given by thread geometry arrives here with both efficiencies already worked out from it. */
export type Mechanism = BallScrew | LeadScrew | Belt | Rack | Rollers | Rotary | Winder | Crank | Measured;
export type MechanismKind = Mechanism["kind"];

/** Whether the output turns: what the axis is measured in is then radians, and N·m. Source: definition. */
export function outputTurns({ kind }: Mechanism): boolean {
  return kind === "rotary" || kind === "crank" || kind === "measured";
}

/** Values over time, joined by straight lines; the first time is 0 [s]. */
export interface TimeSeries {
  readonly times: readonly number[];
  readonly values: readonly number[];
}
