import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Drive, Motor } from "../../../src/machine/catalogue.ts";
import type { Limit, LimitId } from "../../../src/machine/limit.ts";
import type { Site } from "../../../src/machine/problem.ts";
import { crestFactor, largestResponse } from "../../../src/physics/limits/first-order.ts";
import { overloadTime } from "../../../src/physics/limits/heat-limits.ts";
import { judgePick } from "../../../src/physics/limits/judge-pick.ts";
import { motorTorque, type PickDuty, pickDuty } from "../../../src/physics/limits/pick-duty.ts";
import { busVoltage } from "../../../src/physics/limits/rating.ts";
import { fullest, type HeatSteps, hottest } from "../../../src/verify/heat.ts";
import { anySample } from "../any-axis.ts";
import { near } from "../near.ts";
import { derived, example } from "../reference.ts";
import { dutyOfSample, dwell, MILD_SITE, run, type Sample } from "../sample-axis.ts";
import { driveWith, motorWith } from "../sample-parts.ts";

const TEMPERATURE = "motor.winding_temperature";
const OVERLOAD = "drive.overload";

function picked(sample: Sample, motor: Partial<Motor>, drive: Partial<Drive> = {}, site: Site = MILD_SITE): PickDuty {
  const parts = { motor: motorWith(motor), gearbox: undefined, drive: driveWith(drive), inductor: undefined };
  return pickDuty(dutyOfSample(sample), parts, { site, bus: busVoltage({ id: "main" }, site) });
}

function found(id: LimitId, pick: PickDuty): Limit | undefined {
  return judgePick(pick).limits.find((limit) => limit.id === id);
}

/** So much torque held for so long, then nothing for very long: each cycle starts cold. */
function fromCold(torque: number, time: number, rest: number): Sample {
  return { motion: [dwell(time, { force: torque }), dwell(rest)] };
}

const ALONE = { windingShare: 1, windingLimit: 100, referenceAmbient: 40 };

describe("published heating", () => {
  test("a motor that rises by 30 K in 40 min and by 45 K in 80 min (W15: 57.71 min, 60 K)", () => {
    const [minutes = 0, rise = 0] = example("W15").recomputed;
    expect(rise).toBe(60);
    const motor = { ...ALONE, windingTime: 60 * minutes, stallTorque: 3, ratedTorque: 3 };
    const after = (time: number): number | undefined =>
      found(TEMPERATURE, picked(fromCold(3, 60 * time, 6000 * minutes), motor))?.demand;
    expect(after(40)).toEqual(near(40 + 30, 1e-6));
    expect(after(80)).toEqual(near(40 + 45, 1e-6));
  });

  test("permissible overload for 2 h with a constant loss half the copper loss, 1.5 h time constant (W17: 1.23973)", () => {
    const [overload = 0] = example("W17").recomputed;
    // Copper loss 1 and constant loss 0.5 at the rated point of 1 N·m and 10 rad/s: T0² = 1.5.
    const motor = {
      ...ALONE,
      windingTime: 5400,
      stallTorque: Math.sqrt(1.5),
      ratedTorque: 1,
      ratedSpeed: 10,
      peakTorque: 9,
    };
    const motion = [run(10, 7200, { accelerateTime: 1e-4, decelerateTime: 1e-4 }), dwell(300_000)];
    const pick = picked({ load: { frictionForce: overload }, motion }, motor);
    expect(found(TEMPERATURE, pick)).toMatchObject({ demand: near(100, 1e-6), allowed: 100, unit: "degC" });
    expect(found(TEMPERATURE, pick)?.time).toBeCloseTo(7200, 2);
  });

  test.each([
    { over: 1.5, published: derived("TH-2", "t", ";k=1.5") },
    { over: 2, published: derived("TH-2", "t=-tau ln(1-1/k^2)") },
    { over: 3, published: derived("TH-2", "t", ";k=3") },
  ])("overload time from cold at $over times the continuous current (TH-2, derived)", ({ over, published }) => {
    const peakTime = -60 * Math.log(1 - 1 / over ** 2);
    expect(peakTime).toBeCloseTo(published, 9);
    const drive = { peakTime, peakCurrent: 5 * over, continuousCurrent: 5 };
    expect(overloadTime(driveWith(drive))).toEqual(near(60, 1e-12));
    expect(found(OVERLOAD, picked(fromCold(5 * over, peakTime, 6000), {}, drive))).toMatchObject({
      demand: near(1, 1e-12),
      allowed: 1,
      time: peakTime,
      beside: { name: "time above continuous current", value: near(peakTime, 1e-12), unit: "s" },
    });
  });

  test("overload time after half the continuous current for long (TH-2, derived: 5.377 s)", () => {
    const time = derived("TH-2", "t=tau ln((k^2-p^2)/(k^2-1))");
    const drive = { peakTime: -60 * Math.log(1 - 1 / 9), peakCurrent: 15, continuousCurrent: 5 };
    const motion = [dwell(6000, { force: 2.5 }), dwell(time, { force: 15 })];
    expect(found(OVERLOAD, picked({ motion }, {}, drive))?.demand).toEqual(near(1, 1e-9));
  });
});

const STEPS = 3000;

/** τ² of the motor at many nodes of every piece. */
function squares({ duty, factors }: PickDuty): HeatSteps {
  const nodes = duty.pieces.flatMap((piece) => {
    const torque = motorTorque(piece, factors);
    return Array.from({ length: STEPS + 1 }, (_, k) => {
      const at = piece.from + ((piece.to - piece.from) * k) / STEPS;
      return { at, heat: torque(at) ** 2 };
    });
  });
  return { time: Float64Array.from(nodes, ({ at }) => at), heat: Float64Array.from(nodes, ({ heat }) => heat) };
}

describe("against stepping through time", () => {
  test("winding and drive at time constants from a tenth of the cycle to many cycles", () => {
    let looked = 0;
    const time = fc.constantFrom(0.1, 0.4, 1, 3, 20, 500);
    fc.assert(
      fc.property(anySample(), time, fc.option(time, { nil: undefined }), (sample, first, second) => {
        const duty = dutyOfSample(sample);
        const winding = first * duty.period;
        const housing = second === undefined ? undefined : 2 * second * duty.period;
        const times = housing === undefined ? {} : { housingTime: housing };
        // Without fall of torque over speed the heat is that of the torque alone; 1 N·m is worth 1 K².
        const motor = { windingTime: winding, ...times, windingLimit: 41, rotorInertia: 1e-5, frictionTorque: 0.01 };
        const drive = { peakCurrent: 2, continuousCurrent: 1, peakTime: -winding * Math.log(0.75) };
        const pick = picked(sample, motor, drive);
        const steps = squares(pick);
        const body = { winding, housing, share: 0.4 };
        const mean = pick.rmsTorque ** 2;
        const scale = Math.max(mean, 1e-12);
        const temperature = found(TEMPERATURE, pick)?.demand ?? Number.NaN;
        expect((temperature - 40) / scale).toEqual(near(hottest(steps, body, mean) / scale, 2e-5));
        const state = found(OVERLOAD, pick)?.demand ?? Number.NaN;
        expect(state / scale).toEqual(near(fullest(steps, winding) / scale, 2e-5));
        // Never below the mean, never above the mean times the crest of the kernel.
        expect(state).toBeGreaterThanOrEqual(mean * (1 - 1e-9));
        expect(state).toBeLessThanOrEqual(mean * crestFactor(duty.period, winding) * (1 + 1e-9));
        looked += 1;
      }),
      { seed: 71, numRuns: 60 },
    );
    expect(looked).toBe(60);
  });

  test("a long smooth stretch of many time constants is followed to its height", () => {
    // x follows h where τ is short: the response to a slow hump is the hump, later by τ, lower by (ωτ)².
    const hump = { from: 0, to: 1000, isSteady: false, heat: (t: number) => 1 + Math.sin((Math.PI * t) / 1000) ** 2 };
    const { at, value } = largestResponse([hump], [{ time: 1, weight: 1 }]);
    const rate = (2 * Math.PI) / 1000;
    expect(value).toEqual(near(1.5 + 0.5 / Math.hypot(1, rate), 1e-12));
    expect(at).toBeCloseTo(500 + Math.atan(rate) / rate, 5);
  });
});

describe("what the limits read", () => {
  const HELD: Sample = { motion: [dwell(2, { force: 3 }), dwell(3, { force: 1 })] };

  const state = (given: Partial<Drive>, site: Partial<Site> = {}, currentMargin = 0): number | undefined =>
    found(OVERLOAD, picked({ ...HELD, needs: { currentMargin } }, {}, given, { ...MILD_SITE, ...site }))?.demand;

  test("without the housing's time constant its share of the rise is that of the mean", () => {
    const motor = { stallTorque: 4, ratedTorque: 4, windingTime: 2 };
    const [long, short] = [Math.exp(-3 / 2), Math.exp(-2 / 2)];
    // x at the end of the two seconds of 9 N²·m², after three of 1: x = 9·(1 − s) + s·(1 − l) + s·l·x
    const largest = (9 * (1 - short) + short * (1 - long)) / (1 - short * long);
    const mean = (2 * 9 + 3 * 1) / 5;
    expect(found(TEMPERATURE, picked(HELD, motor))).toMatchObject({
      demand: near(40 + (90 * (0.4 * largest + 0.6 * mean)) / 16, 1e-12),
      time: 2,
      beside: { name: "time above continuous torque", value: 0 },
    });
    const slow = found(TEMPERATURE, picked(HELD, { ...motor, housingTime: 1e7 }))?.demand;
    expect(slow).toEqual(near(40 + (90 * (0.4 * largest + 0.6 * mean)) / 16, 1e-6));
    expect(found(TEMPERATURE, picked(HELD, { ...motor, stallTorque: 2, ratedTorque: 2 }))?.beside?.value).toBe(2);
  });

  test("an empty winding time is told, never a pass in silence; a housing time alone does not help", () => {
    for (const motor of [{}, { housingTime: 100 }]) {
      const { limits, unchecked } = judgePick(picked(HELD, motor));
      expect(unchecked).toContainEqual({ id: TEMPERATURE, missing: "winding_time" });
      expect(limits.map(({ id }) => id)).not.toContain(TEMPERATURE);
      expect(judgePick(picked({ ...HELD, needs: { rejectUnknown: true } }, motor)).failed).toContain(TEMPERATURE);
    }
  });

  test("surroundings: ambient adds, altitude takes from the stall torque, misalignment heats, frost counts as 0", () => {
    const motor = { stallTorque: 4, ratedTorque: 4, windingTime: 1e6 };
    const hot = (site: Partial<Site>, commutationError = 0): Limit | undefined =>
      found(TEMPERATURE, picked({ ...HELD, needs: { commutationError } }, motor, {}, { ...MILD_SITE, ...site }));
    const rise = (90 * 4.2) / 16;
    expect(hot({ ambient: 25 })?.demand).toEqual(near(25 + rise, 1e-5));
    expect(hot({ altitude: 2000 })?.demand).toEqual(near(40 + rise / 0.81, 1e-5));
    expect(hot({}, Math.PI / 3)?.demand).toEqual(near(40 + rise * 4, 1e-5));
    expect(hot({ ambient: -60 })).toMatchObject({ utilisation: 0 });
    // No air: the continuous torque, of which nothing is left, says so.
    expect(hot({ altitude: 11_000 })).toBeUndefined();
  });

  test("overload counts margin and derated current; without peak above continuous current there is none", () => {
    const drive = { continuousCurrent: 4, peakCurrent: 8, peakTime: 1e6 };
    expect(state(drive)).toEqual(near(4.2 / 16, 1e-5));
    expect(state(drive, {}, 0.5)).toEqual(near((4.2 * 2.25) / 16, 1e-5));
    expect(state(drive, { cabinetAmbient: 60 })).toEqual(near(4.2 / 16 / 0.64, 1e-5));
    expect(state({ ...drive, peakCurrent: 4 })).toBeUndefined();
    expect(state(drive, { cabinetAmbient: 140 })).toBeUndefined();
    // The time constant is the drive's own, whatever the cabinet: 1 s at twice the current.
    const short = { ...drive, peakTime: 1 };
    expect(state(short, { cabinetAmbient: 60 })).toEqual(near((state(short) ?? 0) / 0.64, 1e-12));
  });
});
