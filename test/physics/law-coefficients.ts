import { LAW_NAMES, type LawName } from "../../src/machine/problem.ts";
import { peakOn } from "../../src/maths/scalar.ts";
import { supremum } from "../../src/physics/duty/duty.ts";
import type { Curve } from "../../src/physics/motion/curve.ts";
import { DEFAULT_SHAPE, type LawShape, MOTION_LAWS } from "../../src/physics/motion/motion-law.ts";
import { peakValues, unitLaw } from "../../src/physics/motion/unit-law.ts";
import { dutyOfSample, move } from "./sample-axis.ts";

export interface OurLaw {
  readonly law: LawName;
  readonly shape?: Partial<LawShape>;
}

const ramps = (share: number): Partial<LawShape> => ({ accelerate: share, decelerate: share });

/** How each row of the table is written here; null: a law we do not offer. */
export const OURS: Readonly<Record<string, OurLaw | null>> = {
  "constant acceleration (parabolic)": { law: "triangle" },
  "simple harmonic": { law: "harmonic" },
  "cycloidal (sine)": { law: "cycloidal" },
  "modified trapezoid": { law: "modified-trapezoid" },
  "modified sine": { law: "modified-sine" },
  "3-4-5 polynomial": { law: "polynomial-5" },
  "4-5-6-7 polynomial": { law: "polynomial-7" },
  "2-3 cubic polynomial": null,
  "trapezoidal 1/3-1/3-1/3": { law: "trapezoid" },
  "trapezoidal 1/4-1/2-1/4": { law: "trapezoid", shape: ramps(0.25) },
  "triangular 1/2-0-1/2": { law: "trapezoid", shape: ramps(0.5) },
  "trapezoidal 0.2-0.6-0.2": { law: "trapezoid", shape: ramps(0.2) },
  "trapezoidal 0.1-0.8-0.1": { law: "trapezoid", shape: ramps(0.1) },
  "7-seg S-curve p=1/3,q=1/2 (accel all jerk)": { law: "s-curve", shape: { ...ramps(1 / 3), jerk: 0.5 } },
  "7-seg S-curve p=1/3,q=1/4": { law: "s-curve", shape: { ...ramps(1 / 3), jerk: 0.25 } },
  "7-seg S-curve p=1/2,q=1/2": { law: "s-curve", shape: { ...ramps(0.5), jerk: 0.5 } },
  "7-seg S-curve p=1/4,q=1/5": { law: "s-curve", shape: { ...ramps(0.25), jerk: 0.2 } },
};

function jerkOf({ polynomial, wave }: Curve, t: number): number {
  const steady = polynomial.reduce((sum, c, k) => (k < 3 ? sum : sum + c * k * (k - 1) * (k - 2) * t ** (k - 3)), 0);
  return wave === undefined
    ? steady
    : steady + wave.amplitude * wave.frequency * Math.cos(wave.frequency * t + wave.phase);
}

/** Coefficients of a law over unit stroke and time, through the functions the program uses. */
export function coefficients({ law, shape = {} }: OurLaw): Record<string, number> {
  const full = { ...DEFAULT_SHAPE, ...shape };
  const { speed, acceleration } = peakValues(law, full);
  const duty = dutyOfSample({ load: { mass: 1 }, motion: [move(1, { law, time: 1, ...shape })] });
  const jerks = unitLaw(law, full).map(
    ({ curve, length }) => peakOn((t) => Math.abs(jerkOf(curve, t)), 0, length).value,
  );
  return {
    Cv: speed,
    Ca: acceleration,
    Cj: MOTION_LAWS[law].peakJerk === Number.POSITIVE_INFINITY ? Number.POSITIVE_INFINITY : Math.max(...jerks),
    Ca_rms: Math.sqrt(duty.gram[0] ?? 0),
    Cv_rms: Math.sqrt(duty.meanSquareSpeed),
    "Cm=max|v*a|": supremum(duty.pieces, (piece) => (t) => Math.abs(piece.speed(t) * piece.torque(t))).value,
  };
}

/** A law of the program by its name in a reference table. */
export function lawNamed(name: string | undefined): LawName {
  const found = LAW_NAMES.find((law) => law === name);
  if (found === undefined) throw new Error(`no law is called ${name}`);
  return found;
}
