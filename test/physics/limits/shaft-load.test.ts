import { describe, expect, test } from "vitest";
import type { Gearbox, Motor } from "../../../src/machine/catalogue.ts";
import type { Mechanism } from "../../../src/machine/mechanism.ts";
import { judgePick, type PickJudgement } from "../../../src/physics/limits/judge-pick.ts";
import { near } from "../near.ts";
import { dutyOfSample, LOSSLESS, run } from "../sample-axis.ts";
import { gearboxWith, motorWith, pickOf } from "../sample-parts.ts";

interface Parts {
  readonly motor?: Partial<Motor>;
  readonly gearbox?: Partial<Gearbox>;
  readonly rejectUnknown?: boolean;
}

/** Pulls 300 N at a steady speed. */
function judged(mechanism: Mechanism, { motor, gearbox, rejectUnknown = false }: Parts): PickJudgement {
  const needs = { inertiaRatio: null, rippleCurrent: 99, rejectUnknown };
  const duty = dutyOfSample({ mechanism, motion: [run(0.1, 1)], load: { mass: 1, force: 300 }, needs });
  const strong = motorWith({ stallTorque: 99, peakTorque: 99, ...motor });
  return judgePick(
    pickOf(duty, { motor: strong, ...(gearbox === undefined ? {} : { gearbox: gearboxWith(gearbox) }) }),
  );
}

const BELT = { kind: "belt", diameter: 0.05, ...LOSSLESS, radialFactor: 2 } as const;
const RACK = { kind: "rack", diameter: 0.04, ...LOSSLESS, radialFactor: 1 / Math.cos(Math.PI / 9) } as const;
const shaft = (id: string): boolean => id.endsWith("shaft_load");

describe("radial load on a shaft", () => {
  test("a belt pulls with the pretension of both strands: twice its largest force", () => {
    const { limits, failed } = judged(BELT, { motor: { radialLoad: 599 } });
    const found = limits.filter(({ id }) => shaft(id));
    expect(found).toMatchObject([{ id: "motor.shaft_load", demand: near(600, 1e-9), allowed: 599, unit: "N" }]);
    expect(failed).toContain("motor.shaft_load");
    expect(judged(BELT, { motor: { radialLoad: 601 } }).failed).not.toContain("motor.shaft_load");
  });

  // F = F_t/cos α: a tooth force of 300 N at 20° is 319.25 N (textbook of machine elements).
  test("a pinion is pushed off its rack by its pressure angle: 300 N at 20 deg are 319.25 N", () => {
    const found = judged(RACK, { motor: { radialLoad: 1000 } }).limits.find(({ id }) => shaft(id));
    expect(found?.demand).toBeCloseTo(319.25, 2);
  });

  test("bears on the gearbox where there is one, and on no motor then", () => {
    const { limits } = judged(BELT, { motor: { radialLoad: 1 }, gearbox: { ratio: 4, radialLoad: 1500 } });
    expect(limits.filter(({ id }) => shaft(id))).toMatchObject([
      { id: "gearbox.shaft_load", demand: near(600, 1e-9), allowed: 1500 },
    ]);
  });

  test("without the column is not checked, and fails where unknowns are rejected", () => {
    const without = judged(BELT, { gearbox: {} });
    expect(without.unchecked).toContainEqual({ id: "gearbox.shaft_load", missing: "radial_load" });
    expect(without.failed.filter(shaft)).toEqual([]);
    expect(judged(BELT, { rejectUnknown: true }).failed).toContain("motor.shaft_load");
    expect(judged(BELT, { gearbox: {}, rejectUnknown: true }).failed).toContain("gearbox.shaft_load");
  });

  test.each<Mechanism>([
    { kind: "ball-screw", lead: 0.01, ...LOSSLESS },
    { kind: "rollers", diameter: 0.05, ...LOSSLESS },
    { kind: "belt", diameter: 0.05, ...LOSSLESS, radialFactor: 0 },
  ])("is not asked of $kind that pulls at no shaft", (mechanism) => {
    const { limits, unchecked } = judged(mechanism, { rejectUnknown: true });
    expect([...limits, ...unchecked].filter(({ id }) => shaft(id))).toEqual([]);
  });
});
