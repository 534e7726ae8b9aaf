import { between, type Random, seeded, spread } from "./seeded.ts";
import { rounded } from "./sheet.ts";

type Build = "slotted" | "slotless" | "closed-slot";

/** One size of a range: a frame and a stack length. Lengths in mm, temperatures in degrees Celsius. */
export interface SizeSpec {
  readonly build: Build;
  readonly width: number;
  readonly stack: number;
  readonly slots: number;
  readonly poles: number;
  readonly limit: number;
}

/** A size as every winding of it shares it. SI, speeds in rpm, lengths in mm. */
export interface MotorSize extends SizeSpec {
  readonly stall: number;
  readonly peak: number;
  /** Copper loss at stall torque with the winding at its limit [W]. */
  readonly loss: number;
  /** T_cont(n)^2 = stall^2 - slope n^2 [(N*m/rpm)^2]. */
  readonly slope: number;
  readonly fastest: number;
  /** Inductance over resistance at 25 degC [s]. */
  readonly electricalTime: number;
  readonly inertia: number;
  readonly mass: number;
  readonly length: number;
  readonly detent: number;
  /** Peak current over peak torque / torque constant. */
  readonly saturation: number;
}

interface Proportions {
  /** Air gap and rotor diameter over frame width. */
  readonly gap: number;
  readonly rotor: number;
  /** Continuous shear stress at the air gap of a 40 mm frame [Pa]. */
  readonly shear: number;
  /** Share of the stall heat that the speed loss takes at the reference speed. */
  readonly speedShare: number;
  readonly electricalTime: number;
  readonly detent: readonly [number, number];
  readonly peak: readonly [number, number];
  readonly saturation: readonly [number, number];
}

/** Proportions by construction. Source: common practice, no source; invented within it. */
const PROPORTIONS: Readonly<Record<Build, Proportions>> = {
  slotted: {
    gap: 0.55,
    rotor: 0.5,
    shear: 12500,
    speedShare: 0.25,
    electricalTime: 1.6e-3,
    detent: [0.021, 0.044],
    peak: [2.9, 3.4],
    saturation: [1.07, 1.18],
  },
  slotless: {
    gap: 0.56,
    rotor: 0.59,
    shear: 8600,
    speedShare: 0.1,
    electricalTime: 1.6e-4,
    detent: [0, 0],
    peak: [2.9, 3.1],
    saturation: [1, 1.02],
  },
  "closed-slot": {
    gap: 0.57,
    rotor: 0.57,
    shear: 12000,
    speedShare: 0.27,
    electricalTime: 2.0e-3,
    detent: [0.0055, 0.0095],
    peak: [2.85, 3.15],
    saturation: [1.1, 1.22],
  },
};

/**
 * Copper loss the housing and its flange can give off, P = h A (limit - 40 degC) [W].
 * A = four sides and the rear face; h = 16.5 W/(m^2 K) for a 40 mm frame, a little less for larger ones, flange included.
 * Source: common practice, no source.
 */
function coolingLoss({ width, limit }: SizeSpec, length: number): number {
  const side = width / 1000;
  const surface = (4 * side * length) / 1000 + side * side;
  return 16.5 * (width / 40) ** -0.05 * surface * (limit - 40);
}

/** Stall torque from the shear stress on the rotor: T = 2 sigma V [N*m]. Source: textbook sizing equation (from memory). */
function shearTorque({ width, stack }: SizeSpec, { gap, shear }: Proportions): number {
  const volume = ((Math.PI / 4) * ((gap * width) / 1000) ** 2 * stack) / 1000;
  return 2 * shear * (width / 40) ** 0.3 * volume;
}

/** Solid cylinder of magnet and steel: J = pi/32 rho D^4 L [kg*m^2], rho = 6500 kg/m^3. */
function rotorInertia({ width, stack }: SizeSpec, { rotor }: Proportions): number {
  return ((Math.PI / 32) * 6500 * ((rotor * width) / 1000) ** 4 * (stack + 0.15 * width)) / 1000;
}

function within(random: Random, [low, high]: readonly [number, number]): number {
  return between(random, low, high);
}

/** Everything that the windings and variants of one size have in common. */
export function motorSize(spec: SizeSpec): MotorSize {
  const { build, width, stack } = spec;
  const random = seeded(`size/${build}/${width}/${stack}`);
  const proportions = PROPORTIONS[build];
  const length = Math.round(stack + 0.55 * width + 30);
  const stall = rounded(shearTorque(spec, proportions) * spread(random, 0.02), 3);
  const reference = 6000 * (40 / width) ** 0.65;
  return {
    ...spec,
    length,
    stall,
    peak: rounded(stall * within(random, proportions.peak), 3),
    loss: coolingLoss(spec, length) * spread(random, 0.03),
    slope: (proportions.speedShare * spread(random, 0.08) * stall ** 2) / reference ** 2,
    fastest: Math.round((1.55 * reference) / 100) * 100,
    electricalTime: proportions.electricalTime * (width / 40) ** 1.25 * spread(random, 0.06),
    inertia: rotorInertia(spec, proportions) * spread(random, 0.03),
    mass: ((width / 1000) ** 2 * length * (3000 + 8 * width) * spread(random, 0.02)) / 1000,
    detent: stall * within(random, proportions.detent),
    saturation: within(random, proportions.saturation),
  };
}
