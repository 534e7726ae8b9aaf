import { describe, expect, test } from "vitest";
import { torqueRippleOf } from "../../../src/physics/limits/axis-limits.ts";
import { judgePick, type PickJudgement } from "../../../src/physics/limits/judge-pick.ts";
import { blockRipple } from "../../../src/verify/mechanism.ts";
import { dutyOfSample, move } from "../sample-axis.ts";
import { driveWith, motorWith, pickOf } from "../sample-parts.ts";

const DEGREE = Math.PI / 180;

function judged(commutation: "six-step" | "sinusoidal", torqueRipple?: number): PickJudgement {
  const needs = { inertiaRatio: null, ...(torqueRipple === undefined ? {} : { torqueRipple }) };
  const duty = dutyOfSample({ motion: [move(1, { time: 1 })], load: { mass: 1e-3 }, needs });
  return judgePick(pickOf(duty, { motor: motorWith({ inductance: 1 }), drive: driveWith({ commutation }) }));
}

describe("torque ripple of commutation", () => {
  test("six-step on a sinusoidal voltage: 13.4 %, the dip to cos 30° (derivation)", () => {
    expect(torqueRippleOf({ commutation: "six-step" }, 0)).toBeCloseTo(0.134, 3);
    expect(torqueRippleOf({ commutation: "six-step" }, 0)).toBeCloseTo(1 - Math.sqrt(3) / 2, 12);
    expect(torqueRippleOf({ commutation: "sinusoidal" }, 0.3)).toBe(0);
  });

  test.each([-50, -10, 0, 5, 30, 45])("with an error of %d°, as by stepping through a turn", (degrees) => {
    const found = torqueRippleOf({ commutation: "six-step" }, degrees * DEGREE);
    expect(found).toBeCloseTo(blockRipple(degrees * DEGREE), 3);
  });

  test("is judged where it is asked for alone", () => {
    expect(judged("six-step").limits.map(({ id }) => id)).not.toContain("axis.torque_ripple");
    expect(judged("six-step", 0.13).failed).toEqual(["axis.torque_ripple"]);
    expect(judged("six-step", 0.14).failed).toEqual([]);
    expect(judged("sinusoidal", 0).failed).toEqual([]);
    const { limits } = judged("sinusoidal", 0);
    expect(limits).toContainEqual({ id: "axis.torque_ripple", demand: 0, allowed: 0, unit: "1", utilisation: 0 });
  });
});
