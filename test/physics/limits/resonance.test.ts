import { describe, expect, test } from "vitest";
import type { Gearbox } from "../../../src/machine/catalogue.ts";
import type { Mechanism } from "../../../src/machine/mechanism.ts";
import type { Needs } from "../../../src/machine/problem.ts";
import { judgePick, type PickJudgement } from "../../../src/physics/limits/judge-pick.ts";
import { antiresonance, resonance } from "../../../src/physics/limits/resonance-limits.ts";
import { swinging } from "../../../src/verify/mechanism.ts";
import { near } from "../near.ts";
import { dutyOfSample, LOSSLESS, move } from "../sample-axis.ts";
import { gearboxWith, motorWith, pickOf } from "../sample-parts.ts";

const ID = "axis.resonance";

function judged(mechanism: Mechanism, needs: Partial<Needs>, gearbox?: Partial<Gearbox>): PickJudgement {
  const free = { inertiaRatio: null, rippleCurrent: 999, ...needs };
  const duty = dutyOfSample({ mechanism, motion: [move(0.01, { time: 1 })], load: { mass: 8 }, needs: free });
  const motor = motorWith({ rotorInertia: 2e-4, stallTorque: 99, peakTorque: 99, maxSpeed: 1e5 });
  return judgePick(pickOf(duty, { motor, ...(gearbox === undefined ? {} : { gearbox: gearboxWith(gearbox) }) }));
}

const BELT = { kind: "belt", diameter: 0.05, ...LOSSLESS, inertia: 1e-3, stiffness: 4e5 } as const;

/** How far the two lie apart for a motor of 0.3 kg·m². */
function apart(load: number): number {
  return resonance({ stiffness: 7, motor: 0.3, load }) / antiresonance({ stiffness: 7, load });
}

describe("two masses on a spring", () => {
  // The motion of both is the superposition of two: momentum 0, and the spring's length. By hand: with equal masses the
  // resonance is √2 times the antiresonance; with a heavy load the two lie far apart, with a light one together.
  test("equal masses: the resonance lies √2 above the antiresonance, and it tends to it for a light load", () => {
    expect(apart(0.3)).toBeCloseTo(Math.SQRT2, 12);
    expect(apart(0.3 * 99)).toBeCloseTo(10, 12);
    expect(apart(0.3 / 1e6)).toBeCloseTo(1, 6);
    expect(antiresonance({ stiffness: (2 * Math.PI) ** 2 * 9, load: 1 })).toBeCloseTo(3, 12);
  });

  test("stepped through time the free masses swing with the resonance's period", () => {
    const [stiffness, motor, load] = [50, 2e-3, 5e-3];
    const period = 1 / resonance({ stiffness, motor, load });
    const step = period / 20_000;
    let [twist, rate, crossings, time] = [1, 0, 0, 0];
    let last = 0;
    // The spring's twist alone: its acceleration is −k·(1/J_M + 1/J_L) of it, each mass by its own.
    while (crossings < 5) {
      rate -= step * ((stiffness * twist) / motor + (stiffness * twist) / load);
      const before = twist;
      twist += step * rate;
      time += step;
      if (before > 0 !== twist > 0) [crossings, last] = [crossings + 1, time];
    }
    expect(last / (2.25 * period)).toEqual(near(1, 1e-3));
  });
});

describe("the wanted bandwidth", () => {
  // k = 4e5·0.025² = 250 N·m/rad, J_L = 1e-3 + 8·0.025² = 6e-3: √(250/6e-3)/2π = 32.4874 Hz.
  test("is held, times its factor, against the load's antiresonance; the resonance stands beside it", () => {
    const found = judged(BELT, { bandwidth: 16, resonanceFactor: 2 });
    const both = 32.487_367;
    expect(found.limits.find(({ id }) => id === ID)).toMatchObject({
      demand: 32,
      allowed: near(both, 1e-7),
      unit: "Hz",
      beside: { name: "resonance", value: near(both * Math.sqrt(1 + 6e-3 / 2e-4), 1e-7), unit: "Hz" },
    });
    expect(found.failed).not.toContain(ID);
    expect(judged(BELT, { bandwidth: 17, resonanceFactor: 2 }).failed).toContain(ID);
  });

  test("a gearbox's stiffness lies in series, and its ratio moves the resonance alone", () => {
    const needs = { bandwidth: 1, resonanceFactor: 2 };
    const limit = (ratio: number) =>
      judged(BELT, needs, { ratio, stiffness: 250 }).limits.find(({ id }) => id === ID) ?? { allowed: 0, beside: null };
    expect(limit(1).allowed).toEqual(near(32.487_367 / Math.SQRT2, 1e-7));
    expect(limit(7).allowed).toEqual(near(limit(1).allowed, 1e-12));
    const spring = { load: 6e-3, kappa: 0.025, own: 4e5, gear: 250 };
    expect(limit(3).allowed).toEqual(near(swinging(spring), 1e-9));
    expect(limit(3).beside?.value).toEqual(near(limit(3).allowed * Math.sqrt(1 + 6e-3 / (9 * 2e-4)), 1e-9));
  });

  test("fails a gearbox whose stiffness nobody gives, and lets any be where no bandwidth is wanted", () => {
    const unknown = judged(BELT, { bandwidth: 1, resonanceFactor: 2 }, { ratio: 3 });
    expect(unknown.unchecked).toContainEqual({ id: ID, missing: "stiffness" });
    expect(unknown.failed).toContain(ID);
    const { limits, unchecked } = judged(BELT, {}, { ratio: 3 });
    expect([...limits, ...unchecked].map(({ id }) => id)).not.toContain(ID);
  });
});
