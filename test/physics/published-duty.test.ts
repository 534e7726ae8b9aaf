import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { meanSquareTorque } from "../../src/physics/limits/pick-duty.ts";
import { near, within } from "./near.ts";
import { derived, example } from "./reference.ts";
import { dutyOfSample, dwell, run } from "./sample-axis.ts";
import { gearboxWith, motorWith, pickOf } from "./sample-parts.ts";
import { REVERSING, REVERSING_SPEED } from "./samples.ts";

const PER_MINUTE = (2 * Math.PI) / 60;

describe("RMS torque through the Gram form", () => {
  test("RMS-1: accelerate, run, brake, rest (derived)", () => {
    // 5 N·m of inertia shared between rotor and load, 1 N·m of friction.
    const ramps = { accelerateTime: 0.1, decelerateTime: 0.1 };
    const duty = dutyOfSample({ load: { mass: 4, frictionForce: 1 }, motion: [run(0.1, 0.5, ramps), dwell(0.5)] });
    expect(pickOf(duty, { motor: motorWith({ rotorInertia: 1 }) }).rmsTorque).toEqual(
      near(derived("RMS-1", "T_rms"), 1e-12),
    );
  });

  test("W9: a reversing cycle (companion to a textbook of electric drives, example 2: data and method read)", () => {
    // The copy shows no answer, and calls the book's printed one wrong: worked out again, six decimals.
    const duty = dutyOfSample(REVERSING);
    const pick = pickOf(duty);
    const [reversing = 0, rms = 0, power = 0, overload = 0] = example("W9").recomputed;
    expect(pick.peakTorque.value).toEqual(within(reversing, 0.0005));
    expect(pick.rmsTorque).toEqual(within(rms, 1e-6));
    expect((pick.rmsTorque * REVERSING_SPEED) / 1000).toEqual(within(power, 5e-7));
    expect(pick.peakTorque.value / pick.rmsTorque).toEqual(within(overload, 5e-7));
  });

  test("W11: 200 for 10 min, 100 for 20 min (practice question on motor rating, read: 100·√2)", () => {
    const duty = dutyOfSample({ motion: [run(1, 600, { force: 200 }), run(1, 1200, { force: 100 })] });
    expect(pickOf(duty).rmsTorque).toEqual(near(100 * Math.SQRT2, 1e-12));
    expect(pickOf(duty).rmsTorque).toEqual(within(example("W11").recomputed[0] ?? 0, 5e-7));
  });
});

describe("equivalent torque", () => {
  test("W19: 650, 750, 250 for 30, 10, 20 min at one speed (Mott, 4th ed., example 14-6, read: 597)", () => {
    const duty = dutyOfSample({
      motion: [run(1, 1800, { force: 650 }), run(1, 600, { force: 750 }), run(1, 1200, { force: 250 })],
    });
    expect(duty.equivalentTorque).toEqual(within(Number(example("W19").printed), 0.5));
    expect(duty.equivalentTorque).toEqual(within(example("W19").recomputed[0] ?? 0, 5e-7));
  });

  test("GEAR-3: the cubic mean over changing speed, the mean speed with and without its pause (derived)", () => {
    // Speed cannot jump: ramps of a nanosecond weigh less than the tolerance.
    const jump = { accelerateTime: 1e-9 };
    const turning = [
      run(1000 * PER_MINUTE, 0.1, { ...jump, force: 40 }),
      run(1500 * PER_MINUTE, 0.3, { ...jump, force: 20 }),
      run(1000 * PER_MINUTE, 0.1, { ...jump, decelerateTime: 1e-9, force: 35 }),
    ];
    const moving = dutyOfSample({ motion: turning });
    const paused = dutyOfSample({ motion: [...turning, dwell(0.5, { force: 35 })] });
    expect(moving.equivalentTorque).toEqual(near(derived("GEAR-3", "T2m"), 1e-7));
    expect(paused.equivalentTorque).toEqual(near(derived("GEAR-3", "T2m"), 1e-7));
    expect(moving.meanSpeed / PER_MINUTE).toEqual(near(derived("GEAR-3", "n_mean over moving time"), 1e-7));
    expect(paused.meanSpeed / PER_MINUTE).toEqual(near(derived("GEAR-3", "n_mean over cycle"), 1e-7));
  });
});

/**
 * Ratios a motor can take, as 1/i: H. Giberti, S. Cinquemani, G. Legnani, "The Role of the Gearbox in an Automatic
 * Machine", in Mechanical Engineering (InTech 2012), section 4.2, equations 22-28 (read in part), efficiency 1.
 */
interface FactorMethod {
  readonly rmsAcceleration: number;
  readonly rmsTorque: number;
  readonly meanProduct: number;
}

function factorWindow(
  { rmsAcceleration, rmsTorque, meanProduct }: FactorMethod,
  rotor: number,
  rated: number,
): [number, number] | undefined {
  const alpha = rated ** 2 / rotor;
  const beta = 2 * (rmsAcceleration * rmsTorque + meanProduct);
  if (alpha < beta) return undefined;
  const [wide, narrow] = [Math.sqrt(alpha - beta + 4 * rmsAcceleration * rmsTorque), Math.sqrt(alpha - beta)];
  const scale = Math.sqrt(rotor) / (2 * rmsTorque);
  return [scale * (wide - narrow), scale * (wide + narrow)];
}

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

test("the window of ratios is that of the published factor method, to 1e-9, for random loads", () => {
  let compared = 0;
  fc.assert(
    fc.property(
      fc.record({
        inertia: between(0.01, 5),
        torque: between(-20, 20),
        accelerate: between(0.1, 0.5),
        rest: between(0, 2),
      }),
      between(1e-5, 1e-2),
      between(1.01, 5),
      ({ inertia, torque, accelerate, rest }, rotor, spare) => {
        const [speed, run1] = [3, 1.2];
        const brake = 0.7 - accelerate;
        const motion = [
          run(speed, run1, { accelerateTime: accelerate, decelerateTime: brake }),
          ...(rest > 0 ? [dwell(rest)] : []),
        ];
        const duty = dutyOfSample({ load: { mass: inertia, force: torque }, motion });
        // Time-weighted sums over the four stretches, by hand.
        const period = run1 + rest;
        const [up, down] = [speed / accelerate, -speed / brake];
        const square = (a: number): number => (inertia * a + torque) ** 2;
        const still = run1 - accelerate - brake + rest;
        const method = {
          rmsAcceleration: Math.sqrt((up ** 2 * accelerate + down ** 2 * brake) / period),
          rmsTorque: Math.sqrt((square(up) * accelerate + square(down) * brake + square(0) * still) / period),
          meanProduct: (up * (inertia * up + torque) * accelerate + down * (inertia * down + torque) * brake) / period,
        };
        const beta = 2 * (method.rmsAcceleration * method.rmsTorque + method.meanProduct);
        const rated = Math.sqrt(beta * rotor) * spare;
        const [low, high] = factorWindow(method, rotor, rated) ?? [0, 0];
        const rmsAt = (tau: number): number =>
          Math.sqrt(meanSquareTorque(duty, { inertia: rotor / tau, flow: [tau, tau, tau], drag: 0 }));
        expect(rmsAt(low)).toEqual(near(rated, 1e-9));
        expect(rmsAt(high)).toEqual(near(rated, 1e-9));
        const best = Math.sqrt((rotor * method.rmsAcceleration) / method.rmsTorque);
        expect(rmsAt(best) ** 2 / rotor).toEqual(near(beta, 1e-9));
        expect(rmsAt(low * 0.999)).toBeGreaterThan(rated);
        expect(rmsAt(high * 1.001)).toBeGreaterThan(rated);
        // The same window from the Gram matrix alone: ⟨τ²⟩ = J²i²·G₀₀ + 2J·ΣG₀ₛ + ΣΣGₛₛ'/i².
        const g = (r: number, c: number): number => duty.gram[5 * r + c] ?? 0;
        const load = [1, 2, 3].reduce((sum, r) => sum + [1, 2, 3].reduce((part, c) => part + g(r, c), 0), 0);
        const half = (rated ** 2 - 2 * rotor * (g(0, 1) + g(0, 2) + g(0, 3))) / 2;
        const root = Math.sqrt(Math.max(0, half ** 2 - rotor ** 2 * g(0, 0) * load));
        expect(Math.sqrt((half + root) / load)).toEqual(near(high, 1e-9));
        expect((rotor * Math.sqrt(g(0, 0))) / Math.sqrt(half + root)).toEqual(near(low, 1e-9));
        // And a real pick inside the window.
        const pick = pickOf(duty, {
          motor: motorWith({ rotorInertia: rotor }),
          gearbox: gearboxWith({ ratio: 1 / best }),
        });
        expect(pick.rmsTorque).toEqual(near(rmsAt(best), 1e-9));
        compared += 1;
      },
    ),
    { seed: 5, numRuns: 200 },
  );
  expect(compared).toBe(200);
});
