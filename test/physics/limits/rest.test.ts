import { describe, expect, test } from "vitest";
import type { Motor } from "../../../src/machine/catalogue.ts";
import type { Limit, Unchecked } from "../../../src/machine/limit.ts";
import type { Segment } from "../../../src/machine/problem.ts";
import { judgePick, type PickJudgement } from "../../../src/physics/limits/judge-pick.ts";
import { near } from "../near.ts";
import { dutyOfSample, dwell, LOSSLESS, move, type Sample } from "../sample-axis.ts";
import { gearboxWith, motorWith, pickOf } from "../sample-parts.ts";

const ID = "motor.standstill_torque";
const TURN = [move(1, { time: 1 }), move(-1, { time: 1 })];

function judged(motion: readonly Segment[], motor: Partial<Motor>, sample: Partial<Sample> = {}): PickJudgement {
  const duty = dutyOfSample({ motion, load: { mass: 1e-4 }, ...sample });
  return judgePick(pickOf(duty, { motor: motorWith({ rotorInertia: 1e-3, ...motor }) }));
}

function held(motion: readonly Segment[], motor: Partial<Motor>, sample?: Partial<Sample>): Limit | undefined {
  return judged(motion, motor, sample).limits.find(({ id }) => id === ID);
}

function unknown(motion: readonly Segment[], motor: Partial<Motor>): Unchecked | undefined {
  return judged(motion, motor).unchecked.find(({ id }) => id === ID);
}

// Peak of a sine against its mean square: at rest one phase may carry √2 times its rms current, with twice its heat.
describe("torque held at rest", () => {
  test("for longer than the winding time: against T0/√2, at the instant it begins", () => {
    const limit = held([...TURN, dwell(3, { force: 0.6 })], { windingTime: 2.9, stallTorque: 1 });
    expect(limit).toMatchObject({ demand: 0.6, allowed: near(Math.SQRT1_2, 1e-12), unit: "N*m", time: 2 });
  });

  test("for no longer is not judged: the winding's temperature speaks for it", () => {
    expect(held([...TURN, dwell(3, { force: 0.6 })], { windingTime: 3 })).toBeUndefined();
    expect(unknown([...TURN, dwell(3, { force: 0.6 })], { windingTime: 3 })).toBeUndefined();
  });

  test("against the catalogue's standstill torque where it is given", () => {
    const motion = [...TURN, dwell(3, { force: 0.6 })];
    expect(held(motion, { windingTime: 1, standstillTorque: 0.5 })).toMatchObject({ allowed: 0.5, utilisation: 1.2 });
    expect(judged(motion, { windingTime: 1, standstillTorque: 0.5 }).failed).toContain(ID);
    expect(judged(motion, { windingTime: 1, standstillTorque: 0.6 }).failed).not.toContain(ID);
  });

  test("is derated like the stall torque, with the commutation's error", () => {
    const motion = [...TURN, dwell(3, { force: 0.1 })];
    const needs = { commutationError: Math.PI / 3 };
    expect(held(motion, { windingTime: 1, standstillTorque: 0.5 }, { needs })?.allowed).toBeCloseTo(0.25, 12);
  });

  test("in dwells one after the other: the level that none of them falls below", () => {
    const motion = [...TURN, dwell(1, { force: 0.9 }), dwell(1, { force: -0.4 }), dwell(1, { force: 0.7 })];
    expect(held(motion, { windingTime: 0.9 })?.demand).toBe(0.9);
    expect(held(motion, { windingTime: 1.5 })?.demand).toBe(0.4);
    expect(held(motion, { windingTime: 3 })).toBeUndefined();
  });

  test("over the end of the cycle is one stretch", () => {
    const motion = [dwell(1, { force: 0.5 }), ...TURN, dwell(1, { force: 0.5 })];
    expect(held(motion, { windingTime: 1.5 })).toMatchObject({ demand: 0.5, time: near(3, 1e-9) });
  });

  test("by an axis that never moves is held for ever", () => {
    expect(held([dwell(1, { force: 0.3 })], { windingTime: 1000 })?.demand).toBe(0.3);
  });

  test("behind a gearbox is so much smaller, whatever the gearbox loses", () => {
    const duty = dutyOfSample({ motion: [...TURN, dwell(3, { force: 0.6 })], load: { mass: 1e-4 } });
    const gearbox = gearboxWith({ ratio: 5, efficiency: 0.5 });
    const { limits } = judgePick(pickOf(duty, { motor: motorWith({ windingTime: 1 }), gearbox }));
    expect(limits.find(({ id }) => id === ID)?.demand).toBeCloseTo(0.12, 12);
  });

  test("is nothing where a self-locking mechanism holds itself", () => {
    const screw = { kind: "lead-screw", lead: 0.005, ...LOSSLESS, efficiency: 0.3 } as const;
    const lift = { load: { mass: 50, incline: Math.PI / 2 } };
    const motion = [move(0.01, { time: 1 }), move(-0.01, { time: 1 }), dwell(9)];
    const motor = { windingTime: 1 };
    expect(held(motion, motor, { ...lift, mechanism: { ...screw, backEfficiency: 0.1 } })).toBeDefined();
    expect(held(motion, motor, { ...lift, mechanism: { ...screw, backEfficiency: 0 } })).toBeUndefined();
  });

  test("is not checked without the winding time, and not asked of an axis that holds nothing", () => {
    const motion = [...TURN, dwell(3, { force: 0.6 })];
    expect(unknown(motion, {})).toEqual({ id: ID, missing: "winding_time" });
    expect(judged(motion, {}).failed).not.toContain(ID);
    expect(judged(motion, {}, { needs: { rejectUnknown: true } }).failed).toContain(ID);
    expect(unknown([...TURN, dwell(3)], {})).toBeUndefined();
  });
});
