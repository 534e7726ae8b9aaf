import { describe, expect, test } from "vitest";
import type { Drive, Gearbox, Motor } from "../../../src/machine/catalogue.ts";
import type { LimitId, Unchecked } from "../../../src/machine/limit.ts";
import type { Needs } from "../../../src/machine/problem.ts";
import { judgePick, type PickJudgement } from "../../../src/physics/limits/judge-pick.ts";
import { checked, passes, utilisationOf } from "../../../src/physics/limits/judgement.ts";
import { BARE_NEEDS, dutyOfSample, move } from "../sample-axis.ts";
import { driveWith, gearboxWith, motorWith, pickOf } from "../sample-parts.ts";

interface Given {
  readonly needs?: Partial<Needs>;
  readonly motor?: Partial<Motor>;
  readonly gearbox?: Partial<Gearbox>;
  readonly drive?: Partial<Drive>;
  readonly load?: { readonly imbalance?: number; readonly tilt?: number };
}

/** A small table that everything can drive: whatever fails, fails for what the test left out. */
function judged({ needs = {}, motor, gearbox, drive, load = {} }: Given): PickJudgement {
  const duty = dutyOfSample({
    load: { mass: 1e-4, ...load },
    motion: [move(1, { time: 1 }), move(-1, { time: 1 })],
    needs,
  });
  const strong = { rotorInertia: 1e-4, inductance: 1, ...motor };
  return judgePick(pickOf(duty, { motor: motorWith(strong), gearbox: gearboxWith(gearbox), drive: driveWith(drive) }));
}

/** Empty cells of a pick whose catalogue gives nothing optional, when every limit applies. */
const EMPTY: readonly Unchecked[] = [
  { id: "motor.torque_at_speed", missing: "peak_knee_speed" },
  { id: "motor.winding_temperature", missing: "winding_time" },
  { id: "gearbox.emergency_torque", missing: "emergency_torque" },
  { id: "drive.frequency", missing: "max_frequency" },
];

describe("an empty cell", () => {
  test("is told, and lets the pick pass where nobody asks", () => {
    const { unchecked, failed } = judged({});
    expect(unchecked).toEqual(EMPTY);
    expect(failed).toEqual([]);
  });

  test("fails every unknown where the problem rejects unknowns", () => {
    const { unchecked, failed } = judged({ needs: { rejectUnknown: true } });
    expect(unchecked).toEqual(EMPTY);
    expect(failed).toEqual(EMPTY.map(({ id }) => id));
  });

  test.each<{ needs: Partial<Needs>; id: LimitId; missing: string; cells: Given }>([
    { needs: { detent: 1 }, id: "motor.detent", missing: "detent_torque", cells: { motor: { detentTorque: 0.01 } } },
    { needs: { resolution: 1 }, id: "motor.resolution", missing: "resolution", cells: { motor: { resolution: 4096 } } },
    {
      needs: { speedRipple: 0.5, smoothFrom: 10 },
      id: "motor.speed_ripple",
      missing: "detent_torque",
      cells: { motor: { detentTorque: 1e-6, detents: 24 } },
    },
  ])("fails the limit that the problem asks for: $id", ({ needs, id, missing, cells }) => {
    const without = judged({ needs });
    expect(without.unchecked).toContainEqual({ id, missing });
    expect(without.failed).toEqual([id]);
    const given = judged({ needs, ...cells });
    expect(given.failed).toEqual([]);
    expect(given.limits.map((limit) => limit.id)).toContain(id);
  });

  test("is named by its column: a detent without its number per turn, a knee without the torque behind it", () => {
    const ripple = judged({ needs: { speedRipple: 0.5, smoothFrom: 10 }, motor: { detentTorque: 0.1 } });
    expect(ripple.unchecked).toContainEqual({ id: "motor.speed_ripple", missing: "detents" });
    expect(judged({ motor: { peakKneeSpeed: 50 } }).unchecked).toContainEqual({
      id: "motor.torque_at_speed",
      missing: "peak_torque_at_max_speed",
    });
  });

  test("is not asked of a motor without detent, which has no ripple", () => {
    const { limits, failed } = judged({
      needs: { speedRipple: 0.5, smoothFrom: 10, detent: 1 },
      motor: { detentTorque: 0 },
    });
    expect(failed).toEqual([]);
    expect(limits).toContainEqual(expect.objectContaining({ id: "motor.speed_ripple", demand: 0, utilisation: 0 }));
  });

  test("is checked as soon as it is filled in", () => {
    const { unchecked, failed } = judged({
      needs: { rejectUnknown: true },
      motor: { peakKneeSpeed: 50, peakTorqueAtMaxSpeed: 2, windingTime: 20 },
      gearbox: { emergencyTorque: 5 },
      drive: { maxFrequency: 500 },
    });
    expect(unchecked).toEqual([]);
    expect(failed).toEqual([]);
  });
});

describe("a holding brake", () => {
  const hanging = { imbalance: 0.01, tilt: Math.PI / 2 };

  test("is needed where gravity acts, unless the problem says otherwise", () => {
    const { brake, ...unsaid } = BARE_NEEDS;
    expect(brake).toBe(false);
    const duty = dutyOfSample({
      load: { mass: 1e-4, ...hanging },
      motion: [move(1, { time: 1 }), move(-1, { time: 1 })],
    });
    const asked = { ...duty, axis: { ...duty.axis, needs: unsaid } };
    const motor = motorWith({ rotorInertia: 1e-4, inductance: 1 });
    expect(judgePick(pickOf(asked, { motor })).failed).toEqual(["motor.brake"]);
    expect(judgePick(pickOf(duty, { motor })).failed).toEqual([]);
    // 0.01 kg·m hangs by 0.0980665 N·m; twice that is asked.
    const holding = (brakeTorque: number): PickJudgement =>
      judgePick(pickOf(asked, { motor: { ...motor, brakeTorque } }));
    expect(holding(0.197).failed).toEqual([]);
    expect(holding(0.196).failed).toEqual(["motor.brake"]);
  });

  test("of a motor without brake allows nothing", () => {
    const { limits, failed } = judged({ needs: { brake: true }, load: hanging });
    expect(failed).toEqual(["motor.brake"]);
    expect(limits.find(({ id }) => id === "motor.brake")).toMatchObject({ allowed: 0, utilisation: null });
    // Asked for in writing on an axis that does not hang: still no brake.
    expect(judged({ needs: { brake: true } }).failed).toEqual(["motor.brake"]);
  });

  // Common practice, no source: without Hall tracks the motor has to move to find its field, which the brake forbids.
  test("is of no use to a motor that has to move at switch-on, however strong; with Hall tracks it is", () => {
    const failedWith = (motor: Partial<Motor>, needs: Partial<Needs>): readonly LimitId[] =>
      judged({ needs, motor: { brakeTorque: 99, ...motor }, load: hanging }).failed;
    const blind = { feedback: "encoder-incremental" } as const;
    expect(failedWith(blind, { brake: true })).toEqual(["motor.brake"]);
    expect(failedWith(blind, { brake: true, relax: { "motor.brake": null } })).toEqual(["motor.brake"]);
    expect(failedWith(blind, { brake: false })).toEqual([]);
    expect(failedWith({ feedback: "encoder-hall" }, { brake: true })).toEqual([]);
    const { limits } = judged({ needs: { brake: true }, motor: { brakeTorque: 99, ...blind }, load: hanging });
    expect(limits).toContainEqual(expect.objectContaining({ id: "motor.brake", allowed: 0, utilisation: null }));
  });
});

function passesRelaxed(demand: number, relax: Needs["relax"]): boolean {
  return passes(checked("motor.speed", { demand, allowed: 1, unit: "rad/s" }), { ...BARE_NEEDS, relax });
}

describe("passing", () => {
  test.each([
    [1, 1, true],
    [1 + 0.9e-9, 1, true],
    [1 + 1.1e-9, 1, false],
    [0, 0, true],
    [1e-12, 0, false],
  ])("demand %d against %d allowed: %s", (demand, allowed, passing) => {
    expect(passes(checked("motor.speed", { demand, allowed, unit: "rad/s" }), BARE_NEEDS)).toBe(passing);
  });

  test("nothing over nothing is 0, something over nothing has no utilisation", () => {
    expect(utilisationOf(0, 0)).toBe(0);
    expect(utilisationOf(1, 0)).toBeNull();
  });

  test("a relaxed limit is exceeded by its share, a lifted one by anything, unknowns too", () => {
    expect(passesRelaxed(1.1, { "motor.speed": 0.1 })).toBe(true);
    expect(passesRelaxed(1.11, { "motor.speed": 0.1 })).toBe(false);
    expect(passesRelaxed(99, { "motor.speed": null })).toBe(true);
    expect(passesRelaxed(99, { "motor.voltage": null })).toBe(false);
    expect(judged({ needs: { detent: 1, relax: { "motor.detent": null } } }).failed).toEqual([]);
  });
});
