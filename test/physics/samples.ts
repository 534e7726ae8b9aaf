import type { Drive, Gearbox, Inductor, Motor, Supply } from "../../src/machine/catalogue.ts";
import type { Axis, DwellSegment, Load, Mechanism, MoveSegment, Needs, RunSegment, Segment, Site } from "../../src/machine/problem.ts";
import { type Duty, dutyOf, type MassRange } from "../../src/physics/duty/duty.ts";
import { type Cycle, cycleOf, isCycle } from "../../src/physics/motion/cycle.ts";

/** No load at all. */
export const NO_LOAD: Load = {
  mass: 0,
  incline: 0,
  frictionForce: 0,
  frictionCoefficient: 0,
  viscous: 0,
  force: 0,
  counterbalance: 0,
  imbalance: 0,
  imbalanceAngle: 0,
  tilt: Math.PI / 2,
};

/** Margins of zero: demands are the bare physics. */
export const BARE_NEEDS: Needs = {
  torqueMargin: 0,
  peakMargin: 0,
  speedMargin: 0,
  currentMargin: 0,
  brakeFactor: 2,
  inertiaRatio: 10,
  rippleCurrent: 0.2,
  voltageReserve: 0.1,
  commutationError: 0,
  gearboxShock: 1,
  rejectUnknown: false,
  match: {},
  relax: {},
};

/** What a mechanism has beside its kind: no losses, no inertia. */
export const PERFECT = { efficiency: 1, backEfficiency: 1, inertia: 0, dragTorque: 0, couplingInertia: 0 } as const;
export const ROTARY: Mechanism = { kind: "rotary", ...PERFECT };

const BARE_SEGMENT = { force: 0, payload: 0 };

export function move(distance: number, given: Partial<MoveSegment> = {}): MoveSegment {
  return { kind: "move", distance, law: "trapezoid", ...BARE_SEGMENT, ...given };
}

export function run(speed: number, time: number, given: Partial<RunSegment> = {}): RunSegment {
  return { kind: "run", speed, time, accelerateTime: 0, ...BARE_SEGMENT, ...given };
}

export function dwell(time: number, given: Partial<DwellSegment> = {}): DwellSegment {
  return { kind: "dwell", time, ...BARE_SEGMENT, ...given };
}

/** What a test says of its axis; everything else is bare. */
export interface AxisParts {
  readonly mechanism?: Mechanism;
  readonly load?: Partial<Load>;
  readonly motion: readonly Segment[];
  readonly needs?: Partial<Needs>;
  readonly start?: number;
  readonly endless?: boolean;
  readonly inCycle?: boolean;
}

export function axisOf({ mechanism = ROTARY, load, motion, needs, start = 0, endless = true, inCycle = true }: AxisParts): Axis {
  return {
    id: "axis",
    bus: "main",
    start,
    inCycle,
    endless,
    mechanism,
    load: { ...NO_LOAD, ...load },
    motion,
    needs: { ...BARE_NEEDS, ...needs },
    allow: { gearless: true },
  };
}

/** Length of a list of segments that all say their time [s]. */
export function lengthOf(motion: readonly Segment[]): number {
  return motion.reduce((sum, segment) => sum + ("time" in segment ? (segment.time ?? Number.NaN) : Number.NaN), 0);
}

/** The cycle of an axis; a motion fault fails the test. */
export function cycleOrThrow(axis: Axis, period: number): Cycle {
  const cycle = cycleOf(axis, period);
  if (!isCycle(cycle)) throw new Error(JSON.stringify(cycle));
  return cycle;
}

/** The duty of an axis over a cycle as long as its motion. */
export function dutyFor(parts: AxisParts, period = lengthOf(parts.motion), carried: MassRange = { low: 0, high: 0 }): Duty {
  const axis = axisOf(parts);
  return dutyOf(axis, cycleOrThrow(axis, period), carried);
}

const PART = { maker: "Invented", prices: [{ from: 1, price: 10_000 }], texts: {} };

/** An invented motor that passes most limits. */
export const MOTOR: Motor = {
  ...PART,
  kind: "motor",
  part: "M",
  frame: "60",
  construction: "slotted",
  feedback: "encoder-absolute",
  poles: 8,
  stallTorque: 2,
  ratedTorque: 1.6,
  ratedSpeed: 314,
  peakTorque: 6,
  maxSpeed: 628,
  torqueConstant: 0.6,
  voltageConstant: 0.6 / Math.sqrt(3),
  resistance: 1.2,
  inductance: 8e-3,
  rotorInertia: 6e-5,
  frictionTorque: 0,
  windingShare: 0.4,
  windingLimit: 130,
  referenceAmbient: 40,
  mass: 1.5,
  length: 0.12,
  width: 0.06,
  brakeInertia: 0,
};

/** An invented gearbox without losses, inertia or drag. */
export const GEARBOX: Gearbox = {
  ...PART,
  kind: "gearbox",
  part: "G",
  frame: "60",
  motorFrames: ["60"],
  style: "inline",
  ratio: 5,
  efficiency: 1,
  backEfficiency: 1,
  inertia: 0,
  ratedTorque: 40,
  accelerationTorque: 60,
  ratedInputSpeed: 314,
  maxInputSpeed: 628,
  backlash: 1e-3,
  dragTorque: 0,
  mass: 1,
};

/** An invented drive. */
export const DRIVE: Drive = {
  ...PART,
  kind: "drive",
  part: "D",
  channels: 1,
  continuousCurrent: 5,
  peakCurrent: 15,
  peakTime: 2,
  busMax: 800,
  feedback: ["encoder-absolute", "resolver"],
  commutation: "sinusoidal",
  switchingFrequency: 8000,
  fixedLoss: 20,
  lossPerAmp: 3,
  capacitance: 400e-6,
  width: 0.06,
};

/** An invented supply. */
export const SUPPLY: Supply = {
  ...PART,
  kind: "supply",
  part: "S",
  mains: 400,
  mainsMax: 400,
  phases: 3,
  continuousPower: 3000,
  peakPower: 6000,
  capacitance: 600e-6,
  chopperVoltage: 780,
  feedsBack: false,
  width: 0.05,
};

/** An invented series inductor. */
export const INDUCTOR: Inductor = { ...PART, kind: "inductor", part: "L", inductance: 4e-3, continuousCurrent: 8 };

/** Three-phase mains in an ordinary hall. */
export const SITE: Site = { ambient: 40, cabinetAmbient: 40, altitude: 0, mains: 400, phases: 3, mainsTolerance: 0.1 };
