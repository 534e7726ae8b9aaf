import type * as fc from "fast-check";
import type { Drive, Gearbox, Motor } from "../../src/machine/catalogue.ts";
import type { LimitId } from "../../src/machine/limit.ts";
import type { Mechanism } from "../../src/machine/mechanism.ts";
import type { Load, Needs, Site } from "../../src/machine/problem.ts";
import { dwell } from "../physics/sample-axis.ts";
import { anyCase, type Case, levelCase, movingCase } from "./monotonic-cases.ts";

/** What raising an input does to the utilisation of limits, for every case of a kind. */
export interface Rule {
  readonly input: string;
  /** The cases it holds for, in words, and drawn. */
  readonly where: string;
  readonly cases: () => fc.Arbitrary<Case>;
  /** The case with the input raised by a factor above 1. */
  readonly raised: (given: Case, factor: number) => Case;
  readonly neverLowers?: readonly LimitId[];
  readonly neverRaises?: readonly LimitId[];
  readonly why: string;
}

const withMotor = ({ sample, parts }: Case, motor: Partial<Motor>): Case => ({
  sample,
  parts: { ...parts, motor: { ...parts.motor, ...motor } },
});
const withGearbox = ({ sample, parts }: Case, gearbox: Partial<Gearbox>): Case => ({
  sample,
  parts: { ...parts, gearbox: { ...parts.gearbox, ...gearbox } },
});
const withDrive = ({ sample, parts }: Case, drive: Partial<Drive>): Case => ({
  sample,
  parts: { ...parts, drive: { ...parts.drive, ...drive } },
});
const withSite = ({ sample, parts }: Case, site: Partial<Site>): Case => ({
  sample,
  parts: { ...parts, site: { ...parts.site, ...site } },
});
const withNeeds = ({ sample, parts }: Case, needs: Partial<Needs>): Case => ({
  sample: { ...sample, needs: { ...sample.needs, ...needs } },
  parts,
});
const withLoad = ({ sample, parts }: Case, load: Partial<Load>): Case => ({
  sample: { ...sample, load: { ...sample.load, ...load } },
  parts,
});
const withMechanism = ({ sample, parts }: Case, mechanism: Partial<Pick<Mechanism, "inertia">>): Case => ({
  sample: { ...sample, mechanism: { ...sample.mechanism, ...mechanism } },
  parts,
});

/** Payload of every segment, a mass or an inertia. */
function morePayload({ sample, parts }: Case, factor: number): Case {
  const more = (factor - 1) * (sample.mechanism.kind === "rotary" ? 0.3 : 5);
  const motion = sample.motion.map((segment) => ({ ...segment, payload: segment.payload + more }));
  return { sample: { ...sample, motion }, parts };
}

function moreRest({ sample, parts }: Case, factor: number): Case {
  const motion = [...sample.motion, dwell(factor - 1)];
  return { sample: { ...sample, motion, cycle: (sample.cycle ?? 0) + factor - 1 }, parts };
}

/** Two responses could come to peak together when one is slowed: then the rule of one does not hold. */
function withoutHousing(): fc.Arbitrary<Case> {
  return anyCase().map(({ sample, parts }) => {
    const { housingTime: _, ...motor } = parts.motor;
    return { sample, parts: { ...parts, motor } };
  });
}

const ANY = { where: "any axis", cases: anyCase } as const;
const MOVING = { where: "moves from rest to rest under steady forces, not self-locking", cases: movingCase } as const;
const LEVEL = { where: "the same on the level, against friction alone", cases: levelCase } as const;
const PAIRED =
  "at each speed the accelerating half of a move asks for no less than the braking half, and both halves pass the same speeds";

const LOAD_RULES: readonly Rule[] = [
  {
    input: "payload",
    ...LEVEL,
    raised: morePayload,
    neverLowers: [
      "motor.continuous_torque",
      "motor.peak_torque",
      "gearbox.peak_torque",
      "gearbox.mean_torque",
      "drive.continuous_current",
      "drive.peak_current",
    ],
    why: `mass adds to acceleration; where it relieves braking, ${PAIRED}`,
  },
  {
    input: "payload",
    ...ANY,
    raised: morePayload,
    neverLowers: ["motor.inertia_ratio"],
    neverRaises: ["motor.speed_ripple"],
    why: "the load's inertia is a sum with the payload in it",
  },
  {
    input: "friction force",
    ...LEVEL,
    raised: (given, factor) =>
      withLoad(given, { frictionForce: (given.sample.load.frictionForce ?? 0) + 10 * (factor - 1) }),
    neverLowers: ["motor.continuous_torque", "drive.continuous_current"],
    why: `it adds to what drives and takes from what brakes; ${PAIRED}`,
  },
  {
    input: "mechanism.inertia",
    ...ANY,
    raised: (given, factor) => withMechanism(given, { inertia: given.sample.mechanism.inertia + 1e-3 * (factor - 1) }),
    neverLowers: ["motor.inertia_ratio"],
    why: "a sum",
  },
  {
    input: "rest at the end of the cycle",
    ...LEVEL,
    raised: moreRest,
    neverRaises: [
      "motor.continuous_torque",
      "motor.winding_temperature",
      "drive.continuous_current",
      "drive.overload",
      "gearbox.mean_speed",
    ],
    why: "nothing is held at rest: the same heat and turns over a longer time, and more time to cool",
  },
];

const PLACE_RULES: readonly Rule[] = [
  {
    input: "ambient",
    ...ANY,
    raised: (given, factor) => withSite(given, { ambient: given.parts.site.ambient + 20 * (factor - 1) }),
    neverLowers: ["motor.continuous_torque", "motor.winding_temperature"],
    why: "less rise is left up to the winding's limit",
  },
  {
    input: "cabinet ambient",
    ...ANY,
    raised: (given, factor) => withSite(given, { cabinetAmbient: given.parts.site.cabinetAmbient + 15 * (factor - 1) }),
    neverLowers: ["drive.continuous_current", "drive.overload"],
    why: "derating −1 % per K",
  },
  {
    input: "altitude",
    ...ANY,
    raised: (given, factor) => withSite(given, { altitude: given.parts.site.altitude + 500 * (factor - 1) }),
    neverLowers: ["motor.continuous_torque", "motor.winding_temperature", "drive.continuous_current", "drive.overload"],
    why: "thin air carries off less heat",
  },
  {
    input: "mains voltage",
    ...ANY,
    raised: (given, factor) => withSite(given, { mains: given.parts.site.mains * factor }),
    neverRaises: ["motor.voltage"],
    neverLowers: ["drive.ripple_current"],
    why: "the lowest and the highest bus voltage rise with it",
  },
  {
    input: "voltage reserve",
    ...ANY,
    raised: (given, factor) => withNeeds(given, { voltageReserve: 0.1 * factor }),
    neverLowers: ["motor.voltage"],
    why: "what is allowed shrinks",
  },
  {
    input: "margins on torque, peak, speed, current",
    ...ANY,
    raised: (given, factor) => {
      const margin = 0.1 * factor;
      return withNeeds(given, { torqueMargin: margin, peakMargin: margin, speedMargin: margin, currentMargin: margin });
    },
    neverLowers: [
      "motor.continuous_torque",
      "motor.peak_torque",
      "motor.torque_at_speed",
      "motor.speed",
      "drive.continuous_current",
      "drive.peak_current",
      "drive.overload",
    ],
    why: "a factor on the demand",
  },
  {
    input: "commutation error",
    ...ANY,
    raised: (given, factor) => withNeeds(given, { commutationError: 0.2 * factor }),
    neverLowers: ["motor.continuous_torque", "motor.peak_torque", "drive.continuous_current", "drive.overload"],
    why: "torque per ampere falls with its cosine",
  },
  {
    input: "gearbox shock factor",
    ...ANY,
    raised: (given, factor) => withNeeds(given, { gearboxShock: 1.2 * factor }),
    neverLowers: ["gearbox.peak_torque"],
    why: "a factor on the demand",
  },
];

const MOTOR_RULES: readonly Rule[] = [
  {
    input: "stall torque with rated torque in proportion",
    ...ANY,
    raised: (given, factor) => {
      const { stallTorque = 0, ratedTorque = 0 } = given.parts.motor;
      return withMotor(given, { stallTorque: stallTorque * factor, ratedTorque: ratedTorque * factor });
    },
    neverRaises: ["motor.continuous_torque", "motor.winding_temperature", "drive.ripple_current"],
    why: "u² = ⟨T²⟩/T0² + (1 − (T_r/T0)²)·⟨n²⟩/n_r²; allowed ripple is a share of T0/K_t",
  },
  {
    input: "rated torque",
    ...ANY,
    raised: (given, factor) => {
      const { stallTorque = 0, ratedTorque = 0 } = given.parts.motor;
      return withMotor(given, { ratedTorque: stallTorque - (stallTorque - ratedTorque) / factor });
    },
    neverRaises: ["motor.continuous_torque", "motor.winding_temperature"],
    why: "less is lost with speed",
  },
  {
    input: "peak torque",
    ...ANY,
    raised: (given, factor) => withMotor(given, { peakTorque: (given.parts.motor.peakTorque ?? 0) * factor }),
    neverRaises: ["motor.peak_torque", "motor.torque_at_speed"],
    why: "the envelope is straight between peak torque and its value at maximum speed",
  },
  {
    input: "maximum speed",
    ...ANY,
    raised: (given, factor) => withMotor(given, { maxSpeed: (given.parts.motor.maxSpeed ?? 0) * factor }),
    neverRaises: ["motor.speed"],
    why: "what is allowed grows",
  },
  {
    input: "rotor inertia",
    ...MOVING,
    raised: (given, factor) => withMotor(given, { rotorInertia: (given.parts.motor.rotorInertia ?? 0) * factor }),
    neverLowers: ["motor.continuous_torque", "motor.peak_torque", "drive.continuous_current"],
    neverRaises: ["motor.inertia_ratio", "motor.speed_ripple"],
    why: `it adds to acceleration; where it relieves braking, ${PAIRED}`,
  },
  {
    input: "inductance",
    ...ANY,
    raised: (given, factor) => withMotor(given, { inductance: (given.parts.motor.inductance ?? 0) * factor }),
    neverRaises: ["drive.ripple_current"],
    neverLowers: ["motor.voltage"],
    why: "ripple is U/(L·f); reactance adds its square to the voltage",
  },
  {
    input: "poles",
    ...ANY,
    raised: (given, factor) => withMotor(given, { poles: 8 * Math.ceil(factor) }),
    neverLowers: ["motor.voltage", "drive.frequency"],
    why: "electrical frequency, and with it reactance",
  },
  {
    input: "torque constant",
    ...ANY,
    raised: (given, factor) => withMotor(given, { torqueConstant: (given.parts.motor.torqueConstant ?? 0) * factor }),
    neverRaises: ["drive.continuous_current", "drive.overload"],
    neverLowers: ["drive.ripple_current"],
    why: "fewer amperes for the torque; less current at stall for ripple to be a share of",
  },
  {
    input: "winding time constant",
    where: "any axis, housing time not given",
    cases: withoutHousing,
    raised: (given, factor) => withMotor(given, { windingTime: (given.parts.motor.windingTime ?? 0) * factor }),
    neverRaises: ["motor.winding_temperature"],
    why: "(1 + sτ₁)/(1 + sτ₂) is τ₁/τ₂ plus (1 − τ₁/τ₂)/(1 + sτ₂): a mean of the faster response and its smoothing",
  },
  {
    input: "detent torque",
    ...ANY,
    raised: (given, factor) => withMotor(given, { detentTorque: (given.parts.motor.detentTorque ?? 0) * factor }),
    neverLowers: ["motor.detent", "motor.speed_ripple"],
    why: "a factor",
  },
];

const TRAIN_RULES: readonly Rule[] = [
  {
    input: "gear ratio",
    ...ANY,
    raised: (given, factor) => withGearbox(given, { ratio: (given.parts.gearbox?.ratio ?? 1) * factor }),
    neverLowers: ["motor.speed", "gearbox.max_speed", "gearbox.mean_speed", "drive.frequency", "motor.detent"],
    neverRaises: ["motor.inertia_ratio", "motor.brake", "motor.resolution"],
    why: "speeds go with i, what is referred to the motor with 1/i or 1/i²",
  },
  {
    input: "gearbox efficiency, back efficiency unchanged",
    ...MOVING,
    raised: (given, factor) => {
      const efficiency = given.parts.gearbox?.efficiency ?? 1;
      return withGearbox(given, { efficiency: 1 - (1 - efficiency) / factor });
    },
    neverRaises: ["motor.continuous_torque", "drive.continuous_current"],
    why: `less torque where power flows to the load; ${PAIRED}`,
  },
  {
    input: "backlash",
    ...ANY,
    raised: (given, factor) => withGearbox(given, { backlash: (given.parts.gearbox?.backlash ?? 0) * factor }),
    neverLowers: ["gearbox.backlash"],
    why: "a factor",
  },
  {
    input: "switching frequency",
    ...ANY,
    raised: (given, factor) =>
      withDrive(given, { switchingFrequency: (given.parts.drive.switchingFrequency ?? 0) * factor }),
    neverRaises: ["drive.ripple_current"],
    why: "ripple is U/(L·f)",
  },
  {
    input: "the drive's continuous current",
    ...ANY,
    raised: (given, factor) => {
      const { continuousCurrent = 0, peakCurrent = 0 } = given.parts.drive;
      return withDrive(given, { continuousCurrent: Math.min(continuousCurrent * factor, 0.99 * peakCurrent) });
    },
    neverRaises: ["drive.continuous_current"],
    why: "what is allowed grows",
  },
  {
    input: "the drive's peak current",
    ...ANY,
    raised: (given, factor) => withDrive(given, { peakCurrent: (given.parts.drive.peakCurrent ?? 0) * factor }),
    neverRaises: ["drive.peak_current", "drive.overload"],
    why: "what is allowed grows; a higher peak for the same time means a longer time constant",
  },
  {
    input: "the drive's peak time",
    ...ANY,
    raised: (given, factor) => withDrive(given, { peakTime: (given.parts.drive.peakTime ?? 0) * factor }),
    neverRaises: ["drive.overload"],
    why: "a longer time constant (see winding time constant)",
  },
];

/** Every rule, in the order of the page. */
export const RULES: readonly Rule[] = [...LOAD_RULES, ...PLACE_RULES, ...MOTOR_RULES, ...TRAIN_RULES];
