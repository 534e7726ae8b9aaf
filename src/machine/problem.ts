import type { Construction, Feedback, PartKind } from "./catalogue.ts";
import type { LimitId } from "./limit.ts";
import type { Measured, Mechanism, TimeSeries } from "./mechanism.ts";

/**
 * A problem as the program uses it: complete, SI, every default filled in.
 * Money in cents (weights per SI unit), temperatures in degrees Celsius, angles in radians.
 * Rotary axes use the same fields with N·m for N, kg·m² for kg and rad for m.
 */
export interface Problem {
  readonly title: string;
  readonly site: Site;
  readonly machines: readonly Machine[];
  readonly weights: Weights;
  readonly caps: Caps;
  readonly forbid: { readonly parts: readonly string[]; readonly makers: readonly string[] };
  /** Kinds of which every part number bought needs a substitute of another maker; empty: none. */
  readonly dualSource: readonly PartKind[];
}

export interface Site {
  /** [°C] */
  readonly ambient: number;
  /** [°C] */
  readonly cabinetAmbient: number;
  readonly altitude: number;
  /** Line-line rms; line-neutral for one phase [V]. */
  readonly mains: number;
  readonly phases: 1 | 3;
  readonly mainsTolerance: number;
}

export interface Machine {
  readonly id: string;
  readonly quantity: number;
  /** Length of the machine cycle [s]. */
  readonly cycle: number;
  readonly buses: readonly Bus[];
  readonly axes: readonly Axis[];
  /** Groups of axis ids that must get the same pick. */
  readonly samePick: readonly (readonly string[])[];
  /** Power margin of supply and resistor rows, a share. */
  readonly powerMargin: number;
  /** Other ways it runs, beside its normal cycle, which takes the rest of the time. */
  readonly modes: readonly Mode[];
  /** In which all axes stop at once [s]; absent: not asked. */
  readonly emergencyStopTime?: number;
}

export interface Bus {
  readonly id: string;
  /** Regulated voltage [V]; absent: rectified mains. */
  readonly voltage?: number;
}

/** Another way a machine runs: cleaning, another format, homing. */
export interface Mode {
  readonly id: string;
  /** Of the operating time. */
  readonly share: number;
  /** Length of its cycle [s]. */
  readonly cycle: number;
  /** What its axes do, by their id; an axis that is not named stands still under its own load. */
  readonly axes: ReadonlyMap<string, ModeAxis>;
}

export interface ModeAxis {
  readonly motion: readonly Segment[];
  /** Absent: the axis's own. */
  readonly load?: Load;
  /** A measured shaft with what was measured in this mode; absent on every other axis. */
  readonly mechanism?: Measured;
}

export interface Axis {
  readonly id: string;
  readonly bus: string;
  /** Machine time at which the list of segments begins [s]. */
  readonly start: number;
  /** false: the axis has a period of its own, the sum of its segments. */
  readonly inCycle: boolean;
  readonly endless: boolean;
  readonly carriedBy?: string;
  readonly mechanism: Mechanism;
  readonly load: Load;
  readonly motion: readonly Segment[];
  readonly needs: Needs;
  readonly allow: Allow;
}

export interface Load {
  /** Mass [kg], rotary: inertia [kg·m²]. */
  readonly mass: number;
  /** > 0: + is uphill [rad]. */
  readonly incline: number;
  /** Constant friction [N], rotary [N·m]. */
  readonly frictionForce: number;
  readonly frictionCoefficient: number;
  /** [N·s/m], rotary [N·m·s/rad] */
  readonly viscous: number;
  /** Signed constant that resists + motion when positive, also at rest [N], rotary [N·m]. */
  readonly force: number;
  /** Added to it, over time from where the list of segments begins; after its last row it stays [N], rotary [N·m]. */
  readonly forceTable?: TimeSeries;
  /** Signed like gravity: subtracted from the force [N], rotary [N·m]. */
  readonly counterbalance: number;
  /** Rotary [kg·m]. */
  readonly imbalance: number;
  /** Above horizontal at position 0 [rad]. */
  readonly imbalanceAngle: number;
  /** Rotation axis from vertical [rad]. */
  readonly tilt: number;
}

export const LAW_NAMES = [
  "trapezoid",
  "triangle",
  "s-curve",
  "harmonic",
  "cycloidal",
  "modified-trapezoid",
  "modified-sine",
  "polynomial-5",
  "polynomial-7",
] as const;
export type LawName = (typeof LAW_NAMES)[number];

/** What any segment may carry. */
interface SegmentBase {
  /** Added to the load's force [N], rotary [N·m]. Default 0. */
  readonly force: number;
  /** Added to it, over time from the start of the segment; after its last row it stays [N], rotary [N·m]. */
  readonly forceTable?: TimeSeries;
  /** Extra mass [kg], rotary inertia [kg·m²], during this segment alone. Default 0. */
  readonly payload: number;
  /** Replaces the load's friction force during this segment. */
  readonly frictionForce?: number;
  /** Replaces the load's friction coefficient during this segment. */
  readonly frictionCoefficient?: number;
}

/** Move by a signed distance under a law; by time or by limits. */
export interface MoveSegment extends SegmentBase {
  readonly kind: "move";
  readonly distance: number;
  readonly law: LawName;
  readonly time?: number;
  readonly maxSpeed?: number;
  readonly maxAcceleration?: number;
  readonly maxJerk?: number;
  /** Shares of the move's time (trapezoid, s-curve): default 1/3 each. */
  readonly accelerate?: number;
  readonly decelerate?: number;
  /** Share of each ramp at constant jerk at either end (s-curve): default 0.25. */
  readonly jerk?: number;
}
/** Constant signed speed; `time` includes the ramps. */
export interface RunSegment extends SegmentBase {
  readonly kind: "run";
  readonly speed: number;
  readonly time: number;
  /** From the speed at the end of the previous segment; 0: no ramp. */
  readonly accelerateTime: number;
  /** To standstill; absent: the speed is kept. */
  readonly decelerateTime?: number;
}
export interface DwellSegment extends SegmentBase {
  readonly kind: "dwell";
  readonly time: number;
}
/** Follows a table of time against position or velocity. */
export interface FollowSegment extends SegmentBase {
  readonly kind: "follow";
  readonly file: string;
  readonly table: FollowTable;
}
/** At least two rows; times from the start of the segment; values in m or m/s, rotary rad or rad/s. */
export interface FollowTable extends TimeSeries {
  /** Positions are joined by a cubic spline, velocities by straight lines. */
  readonly of: "position" | "velocity";
}
export type Segment = MoveSegment | RunSegment | DwellSegment | FollowSegment;

export interface Needs {
  readonly torqueMargin: number;
  readonly peakMargin: number;
  readonly speedMargin: number;
  readonly currentMargin: number;
  /** Absent: true exactly where gravity or imbalance acts at rest. */
  readonly brake?: boolean;
  readonly brakeFactor: number;
  /** Absent: any. */
  readonly feedback?: readonly Feedback[];
  /** null: lifted in writing. */
  readonly inertiaRatio: number | null;
  /** At the output [m], rotary [rad]. */
  readonly backlash?: number;
  /** Detent at the load [N], rotary [N·m]. */
  readonly detent?: number;
  /** Slowest smooth speed [m/s], rotary [rad/s]. */
  readonly smoothFrom?: number;
  readonly speedRipple?: number;
  /** Ripple of the torque by commutation, peak to peak, a share. */
  readonly torqueRipple?: number;
  /** [m], rotary [rad] */
  readonly resolution?: number;
  readonly rippleCurrent: number;
  readonly voltageReserve: number;
  /** [rad], electrical. */
  readonly commutationError: number;
  readonly gearboxShock: number;
  readonly ip?: readonly string[];
  readonly maxLength?: number;
  readonly maxWidth?: number;
  /** [Hz]; goes with the mechanism's stiffness. */
  readonly bandwidth?: number;
  /** How far the antiresonance stays above the bandwidth; given with it. */
  readonly resonanceFactor?: number;
  /** Every unknown fails. */
  readonly rejectUnknown: boolean;
  /** Text filters, such as `motor.ip` → accepted values. */
  readonly match: Readonly<Record<string, readonly string[]>>;
  /** What-if: a share by which a limit may be exceeded, null to lift it. */
  readonly relax: Readonly<Partial<Record<LimitId, number | null>>>;
}

export interface Allow {
  readonly motors?: readonly string[];
  readonly gearboxes?: readonly string[];
  readonly drives?: readonly string[];
  readonly constructions?: readonly Construction[];
  readonly makers?: readonly string[];
  readonly ratios?: readonly [number, number];
  readonly gearboxKinds?: readonly ("inline" | "right-angle")[];
  readonly gearless: boolean;
}

export interface Weights {
  readonly currency: string;
  /** Factor on purchase price. */
  readonly purchase: number;
  readonly variety: Readonly<
    Record<"motor" | "frame" | "gearbox" | "drive" | "maker" | "supply" | "resistor" | "inductor", number>
  >;
  /** Cents per joule of supply input, hours of operation over all years in seconds. */
  readonly energy: {
    readonly price: number;
    readonly duration: number;
    readonly hoursPerYear: number;
    readonly years: number;
  };
  /** Cents per kg, per metre of cabinet, per day. */
  readonly mass: number;
  readonly cabinetWidth: number;
  readonly leadTime: number;
}

/** Absent: no cap. Money in cents. */
export interface Caps {
  readonly motors?: number;
  readonly frames?: number;
  readonly gearboxes?: number;
  readonly drives?: number;
  readonly makers?: number;
  readonly parts?: number;
  readonly price?: number;
  readonly cabinetWidth?: number;
  readonly mass?: number;
  readonly leadTime?: number;
}

/** A value the user did not give, as it was filled in; `value` is text with its unit. */
export interface DefaultUsed {
  /** JSON Pointer, or catalogue column such as `motors.csv winding_limit`. */
  readonly at: string;
  readonly value: string;
  /** How many places took this default (1 for a pointer). */
  readonly count: number;
}

/** The input files, named and hashed, so that a result can be traced to them. */
export interface InputFile {
  readonly path: string;
  readonly sha256: string;
}
