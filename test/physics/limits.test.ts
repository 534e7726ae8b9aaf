import { describe, expect, test } from "vitest";
import type { Inductor } from "../../src/machine/catalogue.ts";
import { utilisationOf } from "../../src/physics/limits/judgement.ts";
import { busVoltage, motorRating } from "../../src/physics/limits/rating.ts";
import { limitOf } from "./limit-of.ts";
import { near } from "./near.ts";
import { dutyOfSample, dwell, LOSSLESS, MILD_SITE, move, run, type Sample } from "./sample-axis.ts";
import { motorWith } from "./sample-parts.ts";
import { LIFT, TURNING } from "./samples.ts";

const withNeeds = (sample: Sample, needs: Sample["needs"]): Sample => ({
  ...sample,
  needs: { ...sample.needs, ...needs },
});

// Every figure is worked out by hand from the formula named; formulas without a source are common practice.
describe("demands and what is allowed, by hand", () => {
  test("continuous torque: heat of torque and of speed, with its margin", () => {
    const motor = { stallTorque: 5, ratedTorque: 4, ratedSpeed: 30 };
    const limit = limitOf("motor.continuous_torque", withNeeds(TURNING, { torqueMargin: 0.15 }), { motor });
    // β = (25 − 16)/900 = 0.01; √(3² + 0.01·10²)·1.15
    expect(limit).toMatchObject({ demand: near(Math.sqrt(10) * 1.15, 1e-12), allowed: 5, unit: "N*m" });
  });

  test("peak torque and its time: acceleration and weight together, at the first instant of the lift", () => {
    const limit = limitOf("motor.peak_torque", withNeeds(LIFT, { peakMargin: 0.1 }), { motor: { rotorInertia: 1e-3 } });
    const acceleration = 4.5 * 0.2;
    const torque = 4 * (9.80665 + acceleration) * 0.025 + (1e-3 * acceleration) / 0.025;
    expect(limit).toMatchObject({ demand: near(torque * 1.1, 1e-12), allowed: 3, time: 0 });
  });

  test("a start later in the cycle moves the time of the peak", () => {
    expect(limitOf("motor.peak_torque", { ...LIFT, start: 0.5 }).time).toBeCloseTo(0.5, 9);
  });

  test("torque at speed: peak torque up to the knee, then straight down to the value at maximum speed", () => {
    const motor = { peakTorque: 6, peakKneeSpeed: 5, maxSpeed: 25, peakTorqueAtMaxSpeed: 2 };
    const limit = limitOf("motor.torque_at_speed", withNeeds(TURNING, { peakMargin: 0.2 }), { motor });
    // At 10 rad/s a quarter of the way down: 6 − 4/4.
    expect(limit).toMatchObject({ demand: near(3.6, 1e-12), allowed: near(5, 1e-12) });
  });

  test("torque at speed is worst where torque and speed go together, not at the largest torque", () => {
    const motion = [run(20, 1.5, { accelerateTime: 1, decelerateTime: 0.5 })];
    const motor = { peakTorque: 4, peakKneeSpeed: 0, maxSpeed: 25, peakTorqueAtMaxSpeed: 0 };
    const limit = limitOf("motor.torque_at_speed", { load: { mass: 0.02 }, motion }, { motor });
    // Deceleration 0.8 N·m from 20 rad/s, where 0.8 N·m is left; the acceleration of 0.4 N·m ends at the same speed.
    expect(limit).toMatchObject({ demand: near(0.8, 1e-9), allowed: near(0.8, 1e-9) });
    expect(limit.time).toBeCloseTo(1, 9);
  });

  test("speed carries its margin, drive frequency does not", () => {
    const sample = withNeeds(TURNING, { speedMargin: 0.1 });
    expect(limitOf("motor.speed", sample, { gearbox: { ratio: 7 } }).demand).toBeCloseTo(77, 9);
    const drive = { maxFrequency: 100 };
    expect(
      limitOf("drive.frequency", sample, { gearbox: { ratio: 7 }, motor: { poles: 6 }, drive }).demand,
    ).toBeCloseTo((70 / (2 * Math.PI)) * 3, 9);
  });

  test("voltage: back-EMF, hot resistance and reactance with the series inductor; reserve off the lowest bus", () => {
    const inductor: Inductor = {
      kind: "inductor",
      maker: "invented",
      part: "L",
      prices: [],
      texts: {},
      inductance: 0.004,
      continuousCurrent: 9,
    };
    const motor = { torqueConstant: 1.5, voltageConstant: 0.9, resistance: 3, inductance: 0.012, poles: 8 };
    const site = { ...MILD_SITE, mainsTolerance: 0.1 };
    const limit = limitOf("motor.voltage", withNeeds(TURNING, { voltageReserve: 0.1 }), { motor, inductor, site });
    const [current, hot] = [3 / 1.5, 1.5 * (364.5 / 259.5)];
    const reactance = 10 * 4 * (0.006 + 0.004);
    expect(limit.demand).toEqual(
      near(Math.sqrt(3) * Math.hypot((0.9 * 10) / Math.sqrt(3) + hot * current, reactance * current), 1e-12),
    );
    expect(limit.allowed).toEqual(near(((1.35 * 400 * 0.9) / Math.SQRT2) * 0.9, 1e-12));
  });

  test("inertia ratio: gearbox, coupling and the largest load over motor and brake", () => {
    const mechanism = { ...LOSSLESS, kind: "rotary", inertia: 0.002, couplingInertia: 1e-5 } as const;
    const motion = [move(1, { time: 1, payload: 0.03 }), move(-1, { time: 1 })];
    const limit = limitOf(
      "motor.inertia_ratio",
      { mechanism, load: { mass: 0.05 }, motion },
      { motor: { rotorInertia: 5e-5, brakeInertia: 1e-5 }, gearbox: { ratio: 10, inertia: 2e-5 } },
    );
    expect(limit.demand).toEqual(near((2e-5 + 1e-5 + (0.002 + 0.08) / 100) / 6e-5, 1e-12));
  });

  test("detent, speed ripple, resolution and backlash at the load of a screw", () => {
    const mechanism = { ...LOSSLESS, kind: "ball-screw", lead: 0.01, inertia: 1e-5 } as const;
    const needs = { detent: 100, speedRipple: 0.1, smoothFrom: 0.001, resolution: 1e-6, backlash: 1e-5 };
    const sample = { mechanism, load: { mass: 20 }, motion: [move(0.1, { time: 1 })], needs };
    const parts = {
      motor: { detentTorque: 0.02, detents: 24, rotorInertia: 5e-5, resolution: 4096 },
      gearbox: { ratio: 5, backlash: 1e-3 },
    };
    const kappa = 0.01 / (2 * Math.PI);
    expect(limitOf("motor.detent", sample, parts)).toMatchObject({
      demand: near((0.02 * 5) / kappa, 1e-12),
      allowed: 100,
      unit: "N",
    });
    const inertia = 5e-5 + (1e-5 + 20 * kappa ** 2) / 25;
    expect(limitOf("motor.speed_ripple", sample, parts).demand).toEqual(
      near(0.02 / (inertia * 24 * ((5 * 0.001) / kappa) ** 2), 1e-12),
    );
    expect(limitOf("motor.resolution", sample, parts)).toMatchObject({
      demand: near(0.01 / (5 * 4096), 1e-12),
      unit: "m",
    });
    expect(limitOf("gearbox.backlash", sample, parts)).toMatchObject({ demand: near(1e-3 * kappa, 1e-12), unit: "m" });
  });

  test("brake: weight less counterbalance at the motor, twice; payload counts, friction and efficiency do not", () => {
    const mechanism = { ...LOSSLESS, kind: "belt", diameter: 0.05, efficiency: 0.5, backEfficiency: 0.5 } as const;
    const load = { mass: 4, incline: Math.PI / 2, counterbalance: 10, frictionForce: 30, force: 500 };
    const motion = [move(0.2, { time: 1 }), dwell(1, { payload: 2 }), move(-0.2, { time: 1 })];
    const limit = limitOf(
      "motor.brake",
      { mechanism, load, motion, needs: { brake: true } },
      { motor: { brakeTorque: 1 }, gearbox: { ratio: 3 } },
    );
    expect(limit).toMatchObject({ demand: near(((6 * 9.80665 - 10) * 0.025 * 2) / 3, 1e-12), allowed: 1 });
    expect(limitOf("motor.brake", { mechanism, load, motion, needs: { brake: true } }).utilisation).toBeNull();
  });

  test("gearbox: shock on the peak, cubic mean, torque of the motor times ratio, speeds with and without rest", () => {
    const sample: Sample = {
      ...TURNING,
      motion: [run(10, 2, { accelerateTime: 1, decelerateTime: 1 }), dwell(2)],
      needs: { gearboxShock: 1.5 },
    };
    const parts = { motor: { rotorInertia: 1e-3 }, gearbox: { ratio: 4, emergencyTorque: 50, backEfficiency: 1 } };
    expect(limitOf("gearbox.peak_torque", sample, parts).demand).toEqual(near(3.5 * 1.5, 1e-12));
    // 3.5 N·m on the way up, 2.5 N·m on the way down, as many turns each.
    expect(limitOf("gearbox.mean_torque", sample, parts).demand).toEqual(
      near(Math.cbrt((3.5 ** 3 + 2.5 ** 3) / 2), 1e-12),
    );
    expect(limitOf("gearbox.emergency_torque", sample, parts).demand).toEqual(
      near((3.5 / 4 + 1e-3 * 4 * 10) * 4, 1e-12),
    );
    expect(limitOf("gearbox.max_speed", sample, parts)).toMatchObject({ demand: near(40, 1e-12), time: near(1, 1e-9) });
    expect(limitOf("gearbox.mean_speed", sample, parts).demand).toEqual(near((40 * 0.5 * 2) / 4, 1e-12));
  });

  test("drive currents: RMS and peak with their margin; saturation bends the peak alone", () => {
    const sample = withNeeds(TURNING, { currentMargin: 0.1, commutationError: Math.PI / 3 });
    const motor = { torqueConstant: 0.5, stallTorque: 2, peakTorque: 8, peakCurrent: 28 };
    // cos 60° = ½: 3 N·m ask the current of 6 N·m, two thirds of the way from (2, 4 A) to (8, 28 A).
    expect(limitOf("drive.continuous_current", sample, { motor }).demand).toEqual(near(12 * 1.1, 1e-12));
    expect(limitOf("drive.peak_current", sample, { motor }).demand).toEqual(near(20 * 1.1, 1e-9));
    expect(limitOf("drive.peak_current", sample, { motor: { ...motor, stallTorque: 7 } }).demand).toEqual(
      near(12 * 1.1, 1e-12),
    );
  });

  test("six-step ripple: U/(8·L·f) peak to peak, over √12 as RMS, against a fifth of the stall current", () => {
    const limit = limitOf("drive.ripple_current", TURNING, {
      motor: { inductance: 0.02, stallTorque: 4, torqueConstant: 2 },
      drive: { commutation: "six-step" },
    });
    const swing = (400 * Math.SQRT2) / (8 * 0.01 * 8000);
    expect(limit).toMatchObject({
      demand: near(swing / Math.sqrt(12), 1e-12),
      allowed: near(0.4, 1e-12),
      beside: { value: near(swing, 1e-12) },
    });
  });
});

describe("deratings", () => {
  const needs = dutyOfSample(TURNING).axis.needs;
  const motor = motorWith({ stallTorque: 10, peakTorque: 30, windingLimit: 140, referenceAmbient: 40 });

  test("a hot hall takes √((limit − ambient)/(limit − reference)), a cold one gives nothing", () => {
    expect(motorRating(motor, needs, { ...MILD_SITE, ambient: 76 }).continuousTorque).toBeCloseTo(8, 12);
    expect(motorRating(motor, needs, { ...MILD_SITE, ambient: 10 }).continuousTorque).toBe(10);
    expect(motorRating(motor, needs, { ...MILD_SITE, ambient: 150 }).continuousTorque).toBe(0);
  });

  test("altitude takes heat, not magnet: 1 % per 100 m above 1000 m off continuous torque alone", () => {
    const rating = motorRating(motor, needs, { ...MILD_SITE, altitude: 2500 });
    expect(rating.continuousTorque).toBeCloseTo(8.5, 12);
    expect(rating.peakTorque).toBe(30);
  });

  test("a drive's continuous current falls with its cabinet, its peak does not", () => {
    const hot = { ...MILD_SITE, cabinetAmbient: 50, altitude: 1500 };
    expect(limitOf("drive.continuous_current", TURNING, { site: hot }).allowed).toBeCloseTo(5 * 0.9 * 0.95, 12);
    expect(limitOf("drive.peak_current", TURNING, { site: hot }).allowed).toBe(10);
  });

  test("one phase, a regulated bus, and tolerance on both ends", () => {
    const site = { ...MILD_SITE, mains: 230, phases: 1, mainsTolerance: 0.1 } as const;
    expect(busVoltage({ id: "main" }, site)).toEqual({
      low: near(1.1 * 230 * 0.9, 1e-12),
      high: near(Math.SQRT2 * 230 * 1.1, 1e-12),
    });
    expect(busVoltage({ id: "low", voltage: 48 }, site)).toEqual({ low: near(45.6, 1e-12), high: 48 });
  });

  test("utilisation: nothing of nothing is 0, something of nothing has none", () => {
    expect([utilisationOf(0, 0), utilisationOf(1, 0), utilisationOf(1, 4)]).toEqual([0, null, 0.25]);
  });
});
