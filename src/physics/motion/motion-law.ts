import type { LawName } from "../../machine/problem.ts";

/**
 * A stretch of acceleration: a(τ) = Σ polynomial[k]·τ^k + amplitude·sin(frequency·τ + phase), τ from the stretch's start.
 * Whole laws are lists of these over unit distance and unit time.
 */
export interface Stretch {
  readonly length: number;
  readonly polynomial: readonly number[];
  readonly wave?: { readonly amplitude: number; readonly frequency: number; readonly phase: number };
}

/** Shares that shape a law; only trapezoid and s-curve use them. */
export interface LawShape {
  /** Share of the time spent accelerating, (0, 1]. */
  readonly accelerate: number;
  /** Share of the time spent decelerating, (0, 1]; together at most 1. */
  readonly decelerate: number;
  /** Share of each ramp at constant jerk at either end, [0, 0.5]. */
  readonly jerk: number;
}

/** Thirds: the trapezoid of least copper loss. Source: d/dp of 2/(p·(1 − p)²) = 0 at p = 1/3; the jerk share is common practice. */
export const DEFAULT_SHAPE: LawShape = { accelerate: 1 / 3, decelerate: 1 / 3, jerk: 0.25 };

/** A rest-to-rest law over unit distance in unit time. */
export interface MotionLaw {
  readonly stretches: (shape: LawShape) => readonly Stretch[];
  /** Largest jerk in unit distance and time; Infinity where the acceleration jumps. */
  readonly peakJerk: number;
}

const constant = (length: number, value: number): Stretch => ({ length, polynomial: [value] });
const sine = (length: number, wave: NonNullable<Stretch["wave"]>): Stretch => ({ length, polynomial: [], wave });

function trapezoid({ accelerate, decelerate }: LawShape): Stretch[] {
  const speed = 1 / (1 - (accelerate + decelerate) / 2);
  return [
    constant(accelerate, speed / accelerate),
    constant(1 - accelerate - decelerate, 0),
    constant(decelerate, -speed / decelerate),
  ];
}

function jerkRamp(length: number, speed: number, jerk: number): Stretch[] {
  const peak = speed / (length * (1 - jerk));
  const rise = jerk * length;
  if (rise === 0) return [constant(length, peak)];
  return [
    { length: rise, polynomial: [0, peak / rise] },
    constant(length - 2 * rise, peak),
    { length: rise, polynomial: [peak, -peak / rise] },
  ];
}

function sCurve({ accelerate, decelerate, jerk }: LawShape): Stretch[] {
  const speed = 1 / (1 - (accelerate + decelerate) / 2);
  return [
    ...jerkRamp(accelerate, speed, jerk),
    constant(1 - accelerate - decelerate, 0),
    ...jerkRamp(decelerate, -speed, jerk),
  ];
}

/**
 * The sine-constant-cosine family: b/2 sine rise, c/2 flat, d cosine, c/2 flat, b/2 sine, with b + c + d = 1.
 *
 * peak acceleration = 4π² / [(π² − 8)(b² − d²) − 2π(π − 2)b + π²]
 * Source: R. L. Norton, Design of Machinery, chapter 8 (SCCA family of double-dwell cam functions).
 */
function sineConstantCosine(b: number, d: number): Stretch[] {
  const c = 1 - b - d;
  const pi = Math.PI;
  const peak = (4 * pi * pi) / ((pi * pi - 8) * (b * b - d * d) - 2 * pi * (pi - 2) * b + pi * pi);
  return [
    sine(b / 2, { amplitude: peak, frequency: pi / b, phase: 0 }),
    constant(c / 2, peak),
    sine(d / 2, { amplitude: peak, frequency: pi / d, phase: pi / 2 }),
    sine(d / 2, { amplitude: peak, frequency: pi / d, phase: pi }),
    constant(c / 2, -peak),
    sine(b / 2, { amplitude: -peak, frequency: pi / b, phase: pi / 2 }),
  ];
}

/**
 * Rest-to-rest laws. Peak jerk: polynomials 60 and 52.5, cycloidal 4π², the others from the family above.
 *
 * Source: R. L. Norton, Design of Machinery, chapter 8; VDI 2143 sheet 1 (1980) names the same laws.
 */
export const MOTION_LAWS: Readonly<Record<LawName, MotionLaw>> = {
  trapezoid: { stretches: trapezoid, peakJerk: Number.POSITIVE_INFINITY },
  triangle: {
    stretches: () => trapezoid({ accelerate: 0.5, decelerate: 0.5, jerk: 0 }),
    peakJerk: Number.POSITIVE_INFINITY,
  },
  "s-curve": { stretches: sCurve, peakJerk: Number.NaN },
  harmonic: { stretches: () => sineConstantCosine(0, 1), peakJerk: Number.POSITIVE_INFINITY },
  cycloidal: { stretches: () => sineConstantCosine(0.5, 0.5), peakJerk: 4 * Math.PI ** 2 },
  "modified-trapezoid": { stretches: () => sineConstantCosine(0.25, 0.25), peakJerk: scaledJerk(0.25, 0.25) },
  "modified-sine": { stretches: () => sineConstantCosine(0.25, 0.75), peakJerk: scaledJerk(0.25, 0.75) },
  "polynomial-5": { stretches: () => [{ length: 1, polynomial: [0, 60, -180, 120] }], peakJerk: 60 },
  "polynomial-7": { stretches: () => [{ length: 1, polynomial: [0, 0, 420, -1680, 2100, -840] }], peakJerk: 52.5 },
};

function scaledJerk(b: number, d: number): number {
  const rise = sineConstantCosine(b, d)[0]?.wave;
  return rise === undefined ? Number.POSITIVE_INFINITY : rise.amplitude * rise.frequency;
}
