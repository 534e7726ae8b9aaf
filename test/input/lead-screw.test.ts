import * as fc from "fast-check";
import { expect, test } from "vitest";
import { screwEfficiencies } from "../../src/input/screw-efficiencies.ts";
import { linesOf, readEdited } from "./edited-problem.ts";

const INCH = 0.0254;

test("screw jack of 10 000 lbf, 2 threads per inch, 2 in mean diameter, friction 0.2 takes 2840 in·lbf", () => {
  // Source: open statics book at adaptivebooks.org, "Screw threads", 5.6.1, problem 2; square thread.
  const thread = { lead: 0.5 * INCH, pitchDiameter: 2 * INCH, frictionCoefficient: 0.2, threadAngle: 0 };
  const torque = (10_000 * 0.5) / (2 * Math.PI * screwEfficiencies(thread).efficiency);
  expect(Number(torque.toPrecision(3))).toBe(2840);
});

test("a screw that holds itself has an efficiency below one half, and the other way round to first order", () => {
  // Source: the same book, problem 3.
  const share = fc.double({ min: 0.01, max: 0.6, noNaN: true });
  fc.assert(
    fc.property(share, share, (lead, frictionCoefficient) => {
      const { efficiency, backEfficiency } = screwEfficiencies({
        lead,
        pitchDiameter: 1 / Math.PI,
        frictionCoefficient,
        threadAngle: 0,
      });
      expect(backEfficiency > 0 || efficiency < 0.5).toBe(true);
      expect(backEfficiency).toBeLessThan(1);
      expect(efficiency).toBeGreaterThan(backEfficiency);
    }),
    { seed: 17 },
  );
});

const MECHANISM = "/machines/0/axes/0/mechanism";
const thread = { kind: "lead-screw", lead: "4 mm", pitch_diameter: "14 mm", friction_coefficient: 0.15 };

test("thread geometry arrives as both efficiencies; a trapezoidal thread with friction 0.15 and lead angle 5.2° holds itself", async () => {
  const read = await readEdited([MECHANISM, thread]);
  const mechanism = read.ok ? read.value.problem.machines[0]?.axes[0]?.mechanism : undefined;
  // T_raise of the textbook form, worked out apart from the code: F·d/2·(cosφ·tanλ + f)/(cosφ − f·tanλ).
  const tan = 4 / (Math.PI * 14);
  const cos = Math.cos(Math.PI / 12);
  const raise = 7 * ((cos * tan + 0.15) / (cos - 0.15 * tan));
  const lower = 7 * ((0.15 - cos * tan) / (cos + 0.15 * tan));
  expect(mechanism?.efficiency).toBeCloseTo(4 / (2 * Math.PI * raise), 12);
  expect(mechanism?.backEfficiency).toBeCloseTo((-lower * 2 * Math.PI) / 4, 12);
  expect(mechanism?.backEfficiency).toBeLessThan(0);
});

test("geometry beside an efficiency, and half a geometry, are faults", async () => {
  expect(linesOf(await readEdited([MECHANISM, { ...thread, efficiency: 0.4 }]))).toEqual([
    `${MECHANISM}/efficiency: found key "efficiency", expected either efficiencies or the thread's geometry, not both`,
  ]);
  expect(linesOf(await readEdited([MECHANISM, { ...thread, pitch_diameter: undefined }]))).toEqual([
    `${MECHANISM}/pitch_diameter: found no such key, expected "pitch_diameter", which goes with the thread's geometry`,
  ]);
});
