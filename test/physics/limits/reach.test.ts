import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { LimitId } from "../../../src/machine/limit.ts";
import { peakCurrentAt } from "../../../src/physics/limits/drive-limits.ts";
import { judgePick } from "../../../src/physics/limits/judge-pick.ts";
import { allowedVoltage, terminalVoltage } from "../../../src/physics/limits/motor-limits.ts";
import { type PickDuty, pickDuty } from "../../../src/physics/limits/pick-duty.ts";
import { reachOf, torqueByCurrent, torqueByVoltage } from "../../../src/physics/limits/reach.ts";
import { between } from "../any-axis.ts";
import { near, within } from "../near.ts";
import { derived } from "../reference.ts";
import { dutyOfSample, MILD_SITE, run } from "../sample-axis.ts";
import { driveWith, motorWith } from "../sample-parts.ts";
import { sineMotor } from "../samples.ts";

const share = between(0, 1);
const STALL = 2;

/** Motors whose torque at speed is held now by the envelope, now by current, now by voltage. */
const anyParts = fc
  .record({ a: share, b: share, c: share, d: share, e: share, bent: fc.boolean() })
  .map(({ a, b, c, d, e, bent }) => {
    const constant = 0.3 + a;
    const motor = motorWith({
      stallTorque: STALL,
      ratedTorque: 0.7 * STALL,
      ratedSpeed: 300,
      peakTorque: STALL * (2 + b),
      maxSpeed: 400 + 300 * c,
      peakKneeSpeed: 350 * d,
      peakTorqueAtMaxSpeed: STALL * e,
      torqueConstant: constant,
      voltageConstant: constant / Math.sqrt(3),
      resistance: 8 * d,
      inductance: 0.04 * b,
      ...(bent ? { peakCurrent: ((STALL * (2 + b)) / constant) * (1 + 0.4 * e) } : {}),
    });
    return { motor, drive: driveWith({ peakCurrent: (STALL / constant) * (0.5 + 3 * e) }) };
  });

function picked(
  parts: { motor: ReturnType<typeof motorWith>; drive: ReturnType<typeof driveWith> },
  low: number,
  at = { speed: 1, torque: 0 },
): PickDuty {
  const needs = { commutationError: 0.2, voltageReserve: 0.1 };
  const duty = dutyOfSample({ motion: [run(at.speed, 1, { force: at.torque })], needs });
  return pickDuty(
    duty,
    { ...parts, gearbox: undefined, inductor: undefined },
    { site: MILD_SITE, bus: { low, high: 600 } },
  );
}

test("VLIM-1: 3 N·m at 3000/min are just reached on a bus of 146.23 V (derived from the dq equations)", () => {
  const motor = motorWith(sineMotor());
  const pick = picked({ motor, drive: driveWith() }, 540);
  const aligned = { ...pick, rating: { ...pick.rating, currentPerTorque: 1 / motor.torqueConstant } };
  const voltage = allowedVoltage(derived("VLIM-1", "min DC bus (SVPWM) = sqrt3 V_ph_pk"), 0);
  const wanted = derived("KT-1", "Kt = 3/2 p lambda (pk)") * 10; // 10 A peak
  expect(torqueByVoltage(aligned, 100 * Math.PI, voltage)).toEqual(near(wanted, 1e-12));
});

test("torque by voltage is what halving finds on the terminal voltage", () => {
  let none = 0;
  fc.assert(
    fc.property(anyParts, share, between(60, 600), (parts, at, low) => {
      const pick = picked(parts, low);
      const [turning, voltage] = [at * parts.motor.maxSpeed, allowedVoltage(low, 0.1)];
      let [below, above] = [0, 1e4];
      for (let k = 0; k < 90; k++) {
        const middle = (below + above) / 2;
        if (terminalVoltage(pick, turning, middle) <= voltage) below = middle;
        else above = middle;
      }
      const found = torqueByVoltage(pick, turning, voltage);
      expect(Math.min(found, 1e4)).toEqual(within(below, 1e-9 * (1 + below)));
      if (found === 0) none += 1;
    }),
    { seed: 61, numRuns: 300 },
  );
  expect(none).toBeGreaterThan(10);
});

test("torque by current takes just the drive's peak current, saturation included", () => {
  fc.assert(
    fc.property(anyParts, ({ motor, drive }) => {
      const torque = torqueByCurrent(motor, { alignment: 0.9 }, drive);
      expect(peakCurrentAt(motor, 0.9, torque)).toEqual(near(drive.peakCurrent, 1e-12));
    }),
    { seed: 62, numRuns: 200 },
  );
});

const HOLDING: readonly LimitId[] = [
  "motor.peak_torque",
  "motor.torque_at_speed",
  "drive.peak_current",
  "motor.voltage",
];

test("on its border one of the four limits is just reached, and no other is exceeded", () => {
  const holders = new Set<LimitId>();
  fc.assert(
    fc.property(anyParts, between(100, 600), (parts, low) => {
      const { speed, peak } = reachOf(picked(parts, low));
      speed.forEach((turning, k) => {
        const torque = peak[k] ?? 0;
        if (torque < 1e-6 || turning === 0) return;
        const { limits } = judgePick(picked(parts, low, { speed: turning, torque }));
        const used = limits.filter(({ id }) => HOLDING.includes(id));
        const most = Math.max(...used.map(({ utilisation }) => utilisation ?? Number.NaN));
        expect(most).toEqual(near(1, 1e-9));
        for (const { id, utilisation } of used) if (utilisation === most) holders.add(id);
      });
    }),
    { seed: 63, numRuns: 40 },
  );
  expect([...holders].toSorted()).toEqual([...HOLDING].toSorted());
});

test("the region begins at standstill, ends at maximum speed, holds its knee; what is held for ever lies inside", () => {
  fc.assert(
    fc.property(anyParts, between(60, 600), (parts, low) => {
      const pick = picked(parts, low);
      const { speed, peak, continuous } = reachOf(pick);
      expect([speed[0], speed.at(-1)]).toEqual([0, parts.motor.maxSpeed]);
      expect(speed).toContain(parts.motor.peakKneeSpeed);
      expect(speed).toEqual(speed.toSorted((a, b) => a - b));
      expect(continuous).toHaveLength(speed.length);
      for (const [k, torque] of continuous.entries()) {
        const turning = speed[k] ?? 0;
        // T_cont falls to the rated torque at the rated speed. Source: definition of both.
        const heat = torque ** 2 + pick.rating.speedLoss * turning ** 2;
        expect(torque).toBeLessThanOrEqual(peak[k] ?? 0);
        expect(torque > 0 ? heat : 0).toBeLessThanOrEqual(pick.rating.continuousTorque ** 2 * (1 + 1e-9));
      }
    }),
    { seed: 64, numRuns: 60 },
  );
});
