import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { Motor } from "../../src/machine/catalogue.ts";
import type { RatioWindow } from "../../src/machine/ratios.ts";
import type { Duty } from "../../src/physics/duty/duty.ts";
import { inertiaMatchedRatio, leastHeatRatio } from "../../src/ratios/marks.ts";
import type { AxisWork } from "../../src/ratios/subject.ts";
import { CURVE_LIMITS, type Train, trainLimits } from "../../src/ratios/utilisation.ts";
import { rangeOfRatios, windowsOf } from "../../src/ratios/windows.ts";
import { anySample, between } from "../physics/any-axis.ts";
import { axisOf, dutyOfSample, dwell, LOSSLESS, MILD_SITE, move, type Sample } from "../physics/sample-axis.ts";
import { driveWith, gearboxWith, motorWith } from "../physics/sample-parts.ts";

const SEED = 20_251_126;
const LARGEST = 1e4;

/** Everything but continuous torque and speed lifted, as in the paper, which knows no other limit. */
const relax = Object.fromEntries(
  CURVE_LIMITS.filter((id) => id !== "motor.continuous_torque" && id !== "motor.speed").map((id) => [id, null]),
);

/** Load of the paper: w'_rms, T*_rms, mean(w'·T*) at the load shaft, largest load speed. */
interface PaperLoad {
  readonly acceleration: number;
  readonly torque: number;
  readonly product: number;
  readonly speed: number;
}

/**
 * H. Giberti, S. Cinquemani, G. Legnani, The Role of the Gearbox in an Automatic Machine, in Mechanical Engineering (InTech,
 * 2012), section 4.2, eqs 22-28, written with their tau = 1/i: accelerating factor alpha = T_N²/J_M, load factor
 * beta = 2·(w'_rms·T*_rms + mean(w'·T*)), a ratio exists where alpha ≥ beta,
 * tau = √J_M/(2·T*_rms)·(√(alpha − beta + 4·w'_rms·T*_rms) ∓ √(alpha − beta)), cut by tau ≥ w_L,max/w_M,max.
 */
function paperWindow(load: PaperLoad, motor: Motor): { alpha: number; beta: number; window: [number, number] | null } {
  const alpha = motor.stallTorque ** 2 / motor.rotorInertia;
  const beta = 2 * (load.acceleration * load.torque + load.product);
  if (alpha < beta) return { alpha, beta, window: null };
  const scale = Math.sqrt(motor.rotorInertia) / (2 * load.torque);
  const sum = Math.sqrt(alpha - beta + 4 * load.acceleration * load.torque);
  const difference = Math.sqrt(alpha - beta);
  const fastest = motor.maxSpeed / load.speed;
  // Our ratios begin at 1: no gearbox speeds a motor up.
  const from = Math.max(1, 1 / (scale * (sum + difference)));
  const to = Math.min(fastest, 1 / (scale * (sum - difference)));
  return { alpha, beta, window: from < to ? [from, to] : null };
}

function workOf(sample: Sample): AxisWork & { readonly duty: Duty } {
  const given: Sample = { ...sample, needs: { ...sample.needs, relax } };
  const duty = dutyOfSample(given);
  return { axis: { axis: axisOf(given), site: MILD_SITE, voltage: { low: 500, high: 600 } }, duties: [duty], duty };
}

function trainOf(motor: Motor): Train {
  return { motor, gearbox: gearboxWith(), drive: driveWith(), inductor: undefined };
}

function windowsFound(work: AxisWork & { readonly duty: Duty }, motor: Motor): readonly RatioWindow[] {
  const range = rangeOfRatios(work.duties, { needs: work.duty.axis.needs, maxSpeed: motor.maxSpeed, largest: LARGEST });
  if (range === null) return [];
  const search = { range, ids: CURVE_LIMITS, samples: 48, stops: false };
  return windowsOf(trainLimits(work, trainOf(motor)), search).windows;
}

/** The paper's window, and ours beside it. Returns what kind of case it was. */
function compare(load: PaperLoad, work: AxisWork & { readonly duty: Duty }, motor: Motor): string {
  const { alpha, beta, window } = paperWindow(load, motor);
  // At alpha = beta the window is one point, and its ends hang on the last bits of the input.
  if (Math.abs(alpha - beta) < 1e-4 * alpha) return "touching";
  const found = windowsFound(work, motor);
  expect(found).toHaveLength(window === null ? 0 : 1);
  if (window === null) return "none";
  const [low, high] = window;
  if (high / low < 1 + 1e-6) return "touching";
  const [{ from, to }] = found as [RatioWindow];
  expect(Math.abs(from.ratio / low - 1)).toBeLessThan(1e-9);
  expect(Math.abs(to.ratio / high - 1)).toBeLessThan(1e-9);
  expect(from.limits).toEqual(low === 1 ? [] : ["motor.continuous_torque"]);
  const isCut = high === motor.maxSpeed / load.speed;
  expect(to.limits).toEqual([isCut ? "motor.speed" : "motor.continuous_torque"]);
  return isCut ? "cut by speed" : "whole";
}

test("a friction-free turntable has the window of the published factor method, worked out by hand (1e-9)", () => {
  const seen = new Map<string, number>();
  const share = between(0.1, 0.45);
  const cases = fc.record({
    inertia: between(-4, 0).map((x) => 10 ** x),
    push: fc.oneof(fc.constant(0), between(-20, 20)),
    angle: between(0.2, 20),
    time: between(0.1, 2),
    rest: between(0, 1),
    accelerate: share,
    decelerate: share,
    rotor: between(-6, -2).map((x) => 10 ** x),
    strength: between(-0.5, 1.7).map((x) => 10 ** x),
    speed: between(50, 1000),
  });
  fc.assert(
    fc.property(cases, ({ inertia, push, angle, time, rest, accelerate, decelerate, rotor, strength, speed }) => {
      const shape = { time, accelerate, decelerate };
      const motion = [move(angle, shape), dwell(rest), move(-angle, shape)];
      const work = workOf({ mechanism: { kind: "rotary", ...LOSSLESS }, load: { mass: inertia, force: push }, motion });
      // By hand: trapezoids with ramps of a·t and d·t; the push is constant, and accelerations have no mean.
      const period = 2 * time + rest;
      const top = angle / (time * (1 - (accelerate + decelerate) / 2));
      const square = (2 * top ** 2 * (1 / (accelerate * time) + 1 / (decelerate * time))) / period;
      const acceleration = Math.sqrt(square);
      const torque = Math.sqrt(inertia ** 2 * square + push ** 2);
      const load = { acceleration, torque, product: inertia * square, speed: top };
      const beta = 2 * (acceleration * torque + load.product);
      const stallTorque = Math.sqrt(strength * beta * rotor);
      const motor = motorWith({ rotorInertia: rotor, stallTorque, ratedTorque: stallTorque, maxSpeed: speed });
      const kind = compare(load, work, motor);
      seen.set(kind, (seen.get(kind) ?? 0) + 1);
      // tau_opt = √(J_M·w'_rms/T*_rms); inertias match at √(J_L/J_M).
      const coolest = leastHeatRatio(work, trainOf(motor)) ?? 0;
      expect(coolest / Math.sqrt(torque / (rotor * acceleration))).toBeCloseTo(1, 9);
      expect((inertiaMatchedRatio(work, trainOf(motor)) ?? 0) / Math.sqrt(inertia / rotor)).toBeCloseTo(1, 12);
    }),
    { numRuns: 200, seed: SEED },
  );
  for (const kind of ["whole", "cut by speed", "none"]) expect(seen.get(kind) ?? 0).toBeGreaterThan(10);
});

test("so has any friction-free axis, its load taken from the quadrature nodes (1e-9)", () => {
  const seen = new Map<string, number>();
  const motors = fc.record({
    rotor: between(-6, -2).map((x) => 10 ** x),
    strength: between(-0.3, 1.7).map((x) => 10 ** x),
    reach: between(0.1, 2.5).map((x) => 10 ** x),
  });
  fc.assert(
    fc.property(anySample({ lossless: true }), motors, (sample, { rotor, strength, reach }) => {
      const still = { ...sample, mechanism: { ...sample.mechanism, couplingInertia: 0 } };
      const work = workOf(still);
      const { nodes, period, peakSpeed } = work.duty;
      const mean = (value: (k: number) => number): number =>
        Array.from({ length: nodes.count }, (_, k) => (nodes.weight[k] ?? 0) * value(k)).reduce((a, b) => a + b, 0) /
        period;
      const acceleration = Math.sqrt(mean((k) => (nodes.acceleration[k] ?? 0) ** 2));
      const torque = Math.sqrt(mean((k) => (nodes.torque[k] ?? 0) ** 2));
      const product = mean((k) => (nodes.acceleration[k] ?? 0) * (nodes.torque[k] ?? 0));
      const beta = 2 * (acceleration * torque + product);
      if (!(beta > 0)) return;
      const stallTorque = Math.sqrt(strength * beta * rotor);
      const maxSpeed = reach * peakSpeed.value;
      const motor = motorWith({ rotorInertia: rotor, stallTorque, ratedTorque: stallTorque, maxSpeed });
      const kind = compare({ acceleration, torque, product, speed: peakSpeed.value }, work, motor);
      seen.set(kind, (seen.get(kind) ?? 0) + 1);
    }),
    { numRuns: 150, seed: SEED },
  );
  for (const kind of ["whole", "cut by speed", "none"]) expect(seen.get(kind) ?? 0).toBeGreaterThan(10);
});

test("with friction and losses no ratio beside the least-heat one is cooler, and a mean over runs does not hide the worst", () => {
  let looked = 0;
  fc.assert(
    fc.property(fc.array(anySample(), { minLength: 1, maxLength: 3 }), between(1e-6, 1e-3), (samples, rotor) => {
      const works = samples.map(workOf);
      const [first] = works;
      if (first === undefined) return;
      const work = { ...first, duties: works.map(({ duty }) => duty) };
      const gearbox = gearboxWith({ efficiency: 0.9, backEfficiency: 0.7, inertia: 1e-5, dragTorque: 0.05 });
      const train = { ...trainOf(motorWith({ rotorInertia: rotor, frictionTorque: 0.02, ratedTorque: 0.9 })), gearbox };
      const best = leastHeatRatio(work, train);
      if (best === undefined) return;
      looked += 1;
      const { use } = trainLimits(work, train);
      const least = use("motor.continuous_torque", best) ?? 0;
      for (const factor of [0.2, 0.7, 0.99, 0.9999, 1.0001, 1.01, 1.5, 5])
        expect(use("motor.continuous_torque", best * factor)).toBeGreaterThanOrEqual(least * (1 - 1e-12));
    }),
    { numRuns: 60, seed: SEED },
  );
  expect(looked).toBeGreaterThan(30);
});
