import { describe, expect, test } from "vitest";
import type { ScrewEnds } from "../../../src/machine/mechanism.ts";
import { criticalSpeed } from "../../../src/physics/limits/axis-limits.ts";
import { judgePick } from "../../../src/physics/limits/judge-pick.ts";
import { whirling } from "../../../src/verify/mechanism.ts";
import { near } from "../near.ts";
import { dutyOfSample, LOSSLESS, run } from "../sample-axis.ts";
import { pickOf } from "../sample-parts.ts";

const RPM = (2 * Math.PI) / 60;

// Factors f of the trade's formula for ball screws, n = f·10⁷·d/L² [1/min, mm], 80 % of the critical speed of steel; printed
// to one decimal in makers' handbooks (from memory).
const TRADE: readonly { readonly ends: ScrewEnds; readonly factor: number }[] = [
  { ends: "fixed-free", factor: 3.4 },
  { ends: "supported-supported", factor: 9.7 },
  { ends: "fixed-supported", factor: 15.1 },
  { ends: "fixed-fixed", factor: 21.9 },
];

describe("critical speed of a screw", () => {
  test.each(TRADE)("$ends: 80 % of it is $factor·10⁷·d/L² per minute in millimetres", ({ ends, factor }) => {
    const [diameter, length] = [20, 1000];
    const perMinute = (0.8 * criticalSpeed({ diameter: diameter / 1e3, length: length / 1e3, ends })) / RPM;
    expect((perMinute * length ** 2) / diameter / 1e7).toBeCloseTo(factor, 1);
  });

  // Shigley's Mechanical Engineering Design, 8th ed., Example 7-5 (a): a steel shaft of 1 in by 31 in on simple supports
  // whirls at 520 rad/s (from memory). E = 30 Mpsi and 0.282 lbf/in³ there are 0.5 % stiffer for their weight.
  test("a shaft of 1 in by 31 in on simple supports whirls at 520 rad/s (Shigley, Ex. 7-5, from memory)", () => {
    const inch = 0.0254;
    const speed = criticalSpeed({ diameter: inch, length: 31 * inch, ends: "supported-supported" });
    expect(speed / 520).toEqual(near(1, 0.005));
  });

  test.each(TRADE)("$ends: as by the roots of the beam's frequency equation, found by bisection", ({ ends }) => {
    const screw = { diameter: 0.012, length: 0.7, ends };
    expect(criticalSpeed(screw)).toEqual(near(whirling(0.012, 0.7, ends), 1e-12));
  });

  test("grows with the diameter, falls with the square of the length", () => {
    const base = criticalSpeed({ diameter: 0.01, length: 1, ends: "fixed-fixed" });
    expect(criticalSpeed({ diameter: 0.02, length: 1, ends: "fixed-fixed" })).toEqual(near(2 * base, 1e-12));
    expect(criticalSpeed({ diameter: 0.01, length: 2, ends: "fixed-fixed" })).toEqual(near(base / 4, 1e-12));
  });

  test("is held against the screw's largest speed, whatever is picked, and only where its data are given", () => {
    const check = { diameter: 0.01, length: 1, ends: "fixed-free" } as const;
    const screw = { kind: "ball-screw", lead: 0.01, ...LOSSLESS } as const;
    const at = (speed: number, mechanism: typeof screw & { check?: typeof check }): ReturnType<typeof judgePick> =>
      judgePick(pickOf(dutyOfSample({ mechanism, motion: [run(speed, 1)], load: { mass: 0.001 } })));
    const fast = at(0.06, { ...screw, check });
    const limit = fast.limits.find(({ id }) => id === "axis.critical_speed");
    expect(limit).toMatchObject({
      demand: near(12 * Math.PI, 1e-9),
      allowed: 0.8 * criticalSpeed(check),
      unit: "rad/s",
    });
    expect(fast.failed).toContain("axis.critical_speed");
    expect(at(0.05, { ...screw, check }).failed).not.toContain("axis.critical_speed");
    expect(at(0.06, screw).limits.map(({ id }) => id)).not.toContain("axis.critical_speed");
  });
});
