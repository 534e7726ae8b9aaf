import { describe, expect, test } from "vitest";
import type { LawName, MoveSegment } from "../../src/machine/problem.ts";
import { peakOn } from "../../src/maths/scalar.ts";
import { supremum } from "../../src/physics/duty/duty.ts";
import type { Curve } from "../../src/physics/motion/curve.ts";
import { DEFAULT_SHAPE, type LawShape, MOTION_LAWS } from "../../src/physics/motion/motion-law.ts";
import { timedMove } from "../../src/physics/motion/move-time.ts";
import { peakValues, unitLaw } from "../../src/physics/motion/unit-law.ts";
import { near, within } from "./near.ts";
import { derived, halfDigit, referenceRows } from "./reference.ts";
import { dutyOfSample, LOSSLESS, move } from "./sample-axis.ts";

interface OurLaw {
  readonly law: LawName;
  readonly shape?: Partial<LawShape>;
}

const ramps = (share: number): Partial<LawShape> => ({ accelerate: share, decelerate: share });

/** How each row of the table is written here; null: a law we do not offer. */
const OURS: Readonly<Record<string, OurLaw | null>> = {
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
function coefficients({ law, shape = {} }: OurLaw): Record<string, number> {
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

describe("motion laws", () => {
  // DERIVED (closed form, cross-checked by quadrature): shared/reference/physics/motion_laws.csv, nine digits printed.
  const rows = referenceRows("motion_laws");

  test("every row of the table is placed", () => {
    expect(rows.map((row) => row["law"])).toEqual(Object.keys(OURS));
  });

  test.each(rows.flatMap((row) => (OURS[row["law"] ?? ""] ? [row] : [])))("$law (derived)", (row) => {
    const ours = OURS[row["law"] ?? ""];
    if (ours === null || ours === undefined) throw new Error("a law we do not offer");
    const found = coefficients(ours);
    let compared = 0;
    for (const [name, value] of Object.entries(found)) {
      const wanted = row[name] ?? "";
      if (wanted === "nan") continue;
      compared += 1;
      const number = wanted === "inf" ? Number.POSITIVE_INFINITY : Number(wanted);
      expect(value).toEqual(within(number, 1.01 * halfDigit(number, 9)));
    }
    expect(compared).toBeGreaterThanOrEqual(4);
  });

  test("no law needs less RMS acceleration than the cubic, √12 (derived: least-squares bound)", () => {
    const laws = Object.values(OURS).flatMap((ours) => (ours === null ? [] : [ours]));
    expect(laws.length).toBe(16);
    for (const ours of laws) expect(coefficients(ours)["Ca_rms"]).toBeGreaterThan(Math.sqrt(12));
  });

  // READ: R. L. Norton, Design of Machinery, table 8-2. Three of its entries are off the exact value by up to 0.25 %.
  test.each([
    ["triangle", 2.0, 4.0],
    ["harmonic", 1.571, 4.945],
    ["modified-trapezoid", 2.0, 4.888],
    ["modified-sine", 1.76, 5.528],
    ["polynomial-5", 1.875, 5.777],
    ["cycloidal", 2.0, 6.283],
    ["polynomial-7", 2.188, 7.526],
  ] as const)("%s: peak speed %d, peak acceleration %d (Norton, table 8-2, read)", (law, speed, acceleration) => {
    const found = peakValues(law, DEFAULT_SHAPE);
    expect(found.speed).toEqual(near(speed, 0.003));
    expect(found.acceleration).toEqual(near(acceleration, 0.003));
  });

  // RECALLED (from memory): VDI 2143 sheet 1 (1980): Cv, Ca, Cj, Cm to three digits.
  test.each([
    ["harmonic", 1.57, 4.93, Number.POSITIVE_INFINITY, 3.88],
    ["cycloidal", 2.0, 6.28, 39.5, 8.16],
    ["modified-trapezoid", 2.0, 4.89, 61.4, 8.09],
    ["modified-sine", 1.76, 5.53, 69.5, 5.46],
    ["polynomial-5", 1.88, 5.77, 60.0, 6.69],
  ] as const)("%s: %d, %d, %d, %d (VDI 2143 sheet 1, from memory)", (law, cv, ca, cj, cm) => {
    const found = coefficients({ law });
    expect(found["Cv"] ?? 0).toEqual(within(cv, 1.001 * halfDigit(cv, 3)));
    expect(found["Ca"] ?? 0).toEqual(within(ca, 1.001 * halfDigit(ca, 3)));
    expect(found["Cm=max|v*a|"] ?? 0).toEqual(within(cm, 1.001 * halfDigit(cm, 3)));
    expect(found["Cj"] ?? 0).toEqual(within(cj, 1.001 * halfDigit(cj, 3)));
  });

  test("0.5 m in 0.6 s on a trapezoid of thirds (TRAP-1, derived)", () => {
    const belt = { kind: "belt", diameter: 2, ...LOSSLESS } as const; // 1 m per radian
    const duty = dutyOfSample({ mechanism: belt, load: { mass: 1 }, motion: [move(0.5, { time: 0.6 })] });
    expect(duty.peakSpeed.value).toEqual(near(derived("TRAP-1", "v_peak"), 1e-12));
    expect(duty.peakTorque.value).toEqual(near(derived("TRAP-1", "a"), 1e-12));
    expect(Math.sqrt(duty.gram[0] ?? 0)).toEqual(near(derived("TRAP-1", "a_rms over move"), 1e-12));
  });
});

describe("moves by limits", () => {
  // DERIVED: kinematics of constant acceleration and of constant jerk, worked out by hand for each case.
  test.each([
    ["trapezoid, speed reached: s/v + v/a", { distance: 1, law: "trapezoid", maxSpeed: 0.5, maxAcceleration: 1 }, 2.5],
    [
      "trapezoid, speed not reached: 2√(s/a)",
      { distance: 0.1, law: "trapezoid", maxSpeed: 1, maxAcceleration: 1 },
      2 * Math.sqrt(0.1),
    ],
    [
      "s-curve, all limits reached: s/v + v/a + a/j",
      { distance: -1, law: "s-curve", maxSpeed: 1, maxAcceleration: 2, maxJerk: 10 },
      1.7,
    ],
    [
      "s-curve, acceleration not reached: s/v + 2√(v/j)",
      { distance: 2, law: "s-curve", maxSpeed: 1, maxAcceleration: 100, maxJerk: 4 },
      3,
    ],
    [
      "s-curve, jerk alone: 4·∛(s/2j)",
      { distance: 0.25, law: "s-curve", maxSpeed: 9, maxAcceleration: 99, maxJerk: 8 },
      4 * Math.cbrt(1 / 64),
    ],
    // v = (−a²/j + √(a⁴/j² + 4as))/2 = (−1 + √(1 + 4·6))/2 = 2, ramp 2/1 + 1/1 = 3 each.
    [
      "s-curve, speed not reached: two full ramps",
      { distance: 6, law: "s-curve", maxSpeed: 9, maxAcceleration: 1, maxJerk: 1 },
      6,
    ],
    ["cycloidal by speed: 2·s/v", { distance: 0.5, law: "cycloidal", maxSpeed: 1 }, 1],
    ["cycloidal by acceleration: √(2π·s/a)", { distance: 0.5, law: "cycloidal", maxAcceleration: Math.PI }, 1],
    ["polynomial-5 by jerk: ∛(60·s/j)", { distance: 0.5, law: "polynomial-5", maxJerk: 30 }, 1],
  ] as const)("%s", (_, limits, time) => {
    const timed = timedMove(move(limits.distance, limits));
    if ("lacking" in timed) throw new Error(timed.lacking);
    expect(timed.time).toEqual(near(time, 1e-9));
    const { speed, acceleration } = peakValues(limits.law, timed.shape);
    const stroke = Math.abs(limits.distance);
    const given: Partial<MoveSegment> = limits;
    expect((speed * stroke) / time).toBeLessThanOrEqual((given.maxSpeed ?? Number.POSITIVE_INFINITY) * (1 + 1e-9));
    expect((acceleration * stroke) / time ** 2).toBeLessThanOrEqual(
      (given.maxAcceleration ?? Number.POSITIVE_INFINITY) * (1 + 1e-9),
    );
  });

  test("limits that do not fix the time are told", () => {
    expect(timedMove(move(1, { maxSpeed: 1 }))).toEqual({ lacking: "max_acceleration" });
    expect(timedMove(move(1, { law: "harmonic", maxJerk: 1 }))).toHaveProperty("lacking");
    expect(timedMove(move(0, { maxSpeed: 1, maxAcceleration: 1 }))).toHaveProperty("lacking");
  });
});
