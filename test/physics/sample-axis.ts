import type { Mechanism } from "../../src/machine/mechanism.ts";
import type {
  Axis,
  DwellSegment,
  FollowSegment,
  FollowTable,
  Load,
  MoveSegment,
  Needs,
  RunSegment,
  Segment,
  Site,
} from "../../src/machine/problem.ts";
import { type Duty, dutyOf } from "../../src/physics/duty/duty.ts";
import { type Cycle, cycleOf, isCycle } from "../../src/physics/motion/cycle.ts";

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
  tilt: 0,
};

/** Needs without margins: what comes out is the bare figure. */
export const BARE_NEEDS: Needs = {
  torqueMargin: 0,
  peakMargin: 0,
  speedMargin: 0,
  currentMargin: 0,
  brake: false,
  brakeFactor: 2,
  inertiaRatio: 10,
  rippleCurrent: 0.2,
  voltageReserve: 0,
  commutationError: 0,
  gearboxShock: 1,
  rejectUnknown: false,
  match: {},
  relax: {},
};

export const LOSSLESS = { efficiency: 1, backEfficiency: 1, inertia: 0, dragTorque: 0, couplingInertia: 0 } as const;

const ROTARY: Mechanism = { kind: "rotary", ...LOSSLESS };

export const MILD_SITE: Site = {
  ambient: 40,
  cabinetAmbient: 40,
  altitude: 0,
  mains: 400,
  phases: 3,
  mainsTolerance: 0,
};

export function move(distance: number, rest: Partial<MoveSegment> = {}): MoveSegment {
  return { kind: "move", distance, law: "trapezoid", force: 0, payload: 0, ...rest };
}

export function run(speed: number, time: number, rest: Partial<RunSegment> = {}): RunSegment {
  return { kind: "run", speed, time, accelerateTime: 0, force: 0, payload: 0, ...rest };
}

export function dwell(time: number, rest: Partial<DwellSegment> = {}): DwellSegment {
  return { kind: "dwell", time, force: 0, payload: 0, ...rest };
}

export function follow(
  of: FollowTable["of"],
  { times, values }: Pick<FollowTable, "times" | "values">,
  rest: Partial<FollowSegment> = {},
): FollowSegment {
  return { kind: "follow", file: "t.csv", table: { of, times, values }, force: 0, payload: 0, ...rest };
}

/** What a test says of an axis; everything else is bare. */
export interface Sample {
  readonly mechanism?: Mechanism;
  readonly load?: Partial<Load>;
  readonly motion: readonly Segment[];
  readonly needs?: Partial<Needs>;
  readonly start?: number;
  /** [s]; absent: the axis's own period, the sum of its segments. */
  readonly cycle?: number;
}

export function axisOf({ mechanism = ROTARY, load, motion, needs, start = 0, cycle }: Sample): Axis {
  return {
    id: "sample",
    bus: "main",
    start,
    inCycle: cycle !== undefined,
    endless: true,
    mechanism,
    load: { ...NO_LOAD, ...load },
    motion,
    needs: { ...BARE_NEEDS, ...needs },
    allow: { gearless: true },
  };
}

export function cycleOfSample(sample: Sample): Cycle {
  const cycle = cycleOf(axisOf(sample), sample.cycle ?? 0);
  if (!isCycle(cycle)) throw new Error(`the sample's motion cannot be: ${JSON.stringify(cycle)}`);
  return cycle;
}

/** The duty of a sample axis, with so much mass riding on it [kg]. */
export function dutyOfSample(sample: Sample, carried: { low: number; high: number } = { low: 0, high: 0 }): Duty {
  return dutyOf(axisOf(sample), cycleOfSample(sample), carried);
}
