import * as fc from "fast-check";
import type { Needs, Segment, Site } from "../../src/machine/problem.ts";
import { anySample, between } from "../physics/any-axis.ts";
import type { SampleParts } from "../physics/limit-of.ts";
import { MILD_SITE, type Sample } from "../physics/sample-axis.ts";

/** A pick on an axis, before or after one input is raised. */
export interface Case {
  readonly sample: Sample & Required<Pick<Sample, "mechanism" | "load">>;
  readonly parts: SampleParts & Required<Pick<SampleParts, "motor" | "gearbox" | "drive">> & { readonly site: Site };
}

/** Every limit of a single axis is asked for, so that each has a utilisation. */
const ASKING: Partial<Needs> = {
  torqueMargin: 0.1,
  peakMargin: 0.1,
  speedMargin: 0.1,
  currentMargin: 0.1,
  voltageReserve: 0.1,
  commutationError: 0.2,
  brake: true,
  gearboxShock: 1.2,
  backlash: 1e-3,
  detent: 100,
  smoothFrom: 0.01,
  speedRipple: 0.1,
  resolution: 1e-5,
};

const share = between(0, 1);

function anyMotor(): fc.Arbitrary<NonNullable<SampleParts["motor"]>> {
  const size = fc.record({
    stall: between(0.5, 10),
    speed: between(100, 500),
    constant: between(0.2, 2),
    rotor: share,
  });
  const rest = fc.record({ a: share, b: share, c: share, bent: fc.boolean(), housing: fc.boolean() });
  return fc.tuple(size, rest).map(([{ stall, speed, constant, rotor }, { a, b, c, bent, housing }]) => ({
    stallTorque: stall,
    ratedTorque: stall * (0.5 + 0.49 * a),
    ratedSpeed: speed,
    peakTorque: stall * (2 + 2 * b),
    maxSpeed: speed * (1.2 + c),
    peakKneeSpeed: speed * c,
    peakTorqueAtMaxSpeed: stall * a,
    torqueConstant: constant,
    voltageConstant: constant / Math.sqrt(3),
    resistance: 0.5 + 10 * b,
    inductance: 1e-3 + 0.04 * c,
    rotorInertia: 1e-5 + 1e-3 * rotor,
    frictionTorque: 0.1 * a,
    detentTorque: 0.01 + 0.1 * b,
    detents: 24,
    resolution: 4096,
    brakeTorque: stall,
    brakeInertia: 1e-5 * a,
    windingTime: 5 + 60 * c,
    ...(housing ? { housingTime: 300 + 900 * a } : {}),
    ...(bent ? { peakCurrent: ((stall * (2 + 2 * b)) / constant) * (1 + 0.3 * c) } : {}),
  }));
}

function anyParts(): fc.Arbitrary<Case["parts"]> {
  const numbers = fc.record({ a: share, b: share, c: share, d: share });
  const gearbox = numbers.map(({ a, b, c, d }) => ({
    ratio: 1 + 30 * a,
    efficiency: 0.6 + 0.39 * b,
    backEfficiency: 0.9 * c,
    inertia: 1e-4 * d,
    dragTorque: 0.05 * d,
    emergencyTorque: 50,
    backlash: 1e-3,
  }));
  const drive = numbers.map(({ a, b, c }) => ({
    continuousCurrent: 1 + 9 * a,
    peakCurrent: (1 + 9 * a) * (1.5 + 2 * b),
    peakTime: 1 + 5 * c,
    maxFrequency: 400,
    switchingFrequency: 4000 + 12_000 * c,
  }));
  const site = numbers.map(({ a, b, c }): Site => {
    return { ...MILD_SITE, ambient: 20 + 50 * a, cabinetAmbient: 25 + 35 * b, altitude: 3000 * c, mains: 400 };
  });
  return fc.record({ motor: anyMotor(), gearbox, drive, site });
}

/** Any axis of a steady mechanism, on any motion. */
export function anyCase(): fc.Arbitrary<Case> {
  return fc.tuple(anySample(), anyParts()).map(([sample, parts]) => ({ sample: { ...sample, needs: ASKING }, parts }));
}

const fromRestToRest = (motion: readonly Segment[]): boolean =>
  motion.every(({ kind }) => kind === "move" || kind === "dwell");

/** Moves from rest to rest under forces that do not change with place or time; back efficiency not below 0. */
export function movingCase(): fc.Arbitrary<Case> {
  return anyCase()
    .filter(({ sample }) => fromRestToRest(sample.motion))
    .map(({ sample, parts }) => {
      const mechanism = { ...sample.mechanism, backEfficiency: Math.max(0, sample.mechanism.backEfficiency) };
      return { sample: { ...sample, mechanism, load: { ...sample.load, imbalance: 0 } }, parts };
    });
}

/** The same on the level: no weight, no outside force, only friction. */
export function levelCase(): fc.Arbitrary<Case> {
  const none = { incline: 0, force: 0, counterbalance: 0 };
  return movingCase().map(({ sample, parts }) => {
    const motion = sample.motion.map((segment) => ({ ...segment, force: 0 }));
    return { sample: { ...sample, motion, load: { ...sample.load, ...none } }, parts };
  });
}
