import { describe, expect, test } from "vitest";
import type { MoveSegment } from "../../src/machine/problem.ts";
import { timedMove } from "../../src/physics/motion/move-time.ts";
import { peakValues } from "../../src/physics/motion/unit-law.ts";
import { coefficients, lawNamed, OURS } from "./law-coefficients.ts";
import { near, within } from "./near.ts";
import { derived, halfDigit, referenceRows } from "./reference.ts";
import { dutyOfSample, LOSSLESS, move } from "./sample-axis.ts";

const printed = (table: string) => referenceRows("published_laws").filter((row) => row["table"] === table);

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

  // READ. Three of its entries are off the exact value by up to 0.25 %.
  test.each(printed("Norton 8-2"))("$law (R. L. Norton, Design of Machinery, table 8-2, read)", (row) => {
    const found = coefficients({ law: lawNamed(row["law"]) });
    expect(found["Cv"]).toEqual(near(Number(row["Cv"]), 0.003));
    expect(found["Ca"]).toEqual(near(Number(row["Ca"]), 0.003));
  });

  // RECALLED (from memory), three digits.
  test.each(printed("VDI 2143"))("$law (VDI 2143 sheet 1, 1980, from memory)", (row) => {
    const found = coefficients({ law: lawNamed(row["law"]) });
    const digits = (name: string) => {
      const value = row[name] === "inf" ? Number.POSITIVE_INFINITY : Number(row[name]);
      return within(value, 1.001 * halfDigit(value, 3));
    };
    expect(found["Cv"]).toEqual(digits("Cv"));
    expect(found["Ca"]).toEqual(digits("Ca"));
    expect(found["Cm=max|v*a|"]).toEqual(digits("Cm"));
    expect(found["Cj"]).toEqual(digits("Cj"));
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
