import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { accelerationAt, speedAt } from "../../src/physics/motion/curve.ts";
import { timedMove } from "../../src/physics/motion/move-time.ts";
import { lawOver } from "../../src/physics/motion/unit-law.ts";
import { near } from "./near.ts";
import { move } from "./sample-axis.ts";

interface Limits {
  readonly distance: number;
  readonly maxSpeed: number;
  readonly maxAcceleration: number;
  readonly maxJerk: number;
}

/**
 * Time of a rest-to-rest move under limits of speed, acceleration and jerk [s], and which of its phases there are.
 *
 * RECALLED (from memory): L. Biagiotti and C. Melchiorri, Trajectory Planning for Automatic Machines and Robots (2008),
 * section 3.4 (double S), with both end speeds 0.
 */
function doubleS({ distance: h, maxSpeed: v, maxAcceleration: a, maxJerk: j }: Limits): { time: number; kind: string } {
  const reachesA = v * j >= a * a;
  const jerkTime = reachesA ? a / j : Math.sqrt(v / j);
  const ramp = reachesA ? jerkTime + v / a : 2 * jerkTime;
  const held = h / v - ramp;
  if (held > 0) return { time: 2 * ramp + held, kind: reachesA ? "speed and acceleration" : "speed" };
  const full = ((a * a) / j + Math.sqrt(a ** 4 / j ** 2 + 4 * a * h)) / (2 * a);
  if (full >= (2 * a) / j) return { time: 2 * full, kind: "acceleration" };
  return { time: 4 * Math.cbrt(h / (2 * j)), kind: "jerk" };
}

/** Time and curves of a move by limits, through the functions the program uses. */
function planned(limits: Limits): { time: number; pieces: ReturnType<typeof lawOver> } {
  const timed = timedMove(move(limits.distance, { law: "s-curve", ...limits }));
  if ("lacking" in timed) throw new Error(timed.lacking);
  const size = { distance: limits.distance, time: timed.time };
  return { time: timed.time, pieces: lawOver("s-curve", timed.shape, size) };
}

const size = (low: number, high: number): fc.Arbitrary<number> =>
  fc.integer({ min: 0, max: 10_000 }).map((step) => low * (high / low) ** (step / 10_000));
const anyLimits: fc.Arbitrary<Limits> = fc.record({
  distance: size(1e-3, 100),
  maxSpeed: size(1e-2, 10),
  maxAcceleration: size(0.1, 50),
  maxJerk: size(1, 1000),
});

describe("seven-phase move within limits", () => {
  test("takes the published time, whichever limits it reaches", () => {
    const seen: Record<string, number> = {};
    fc.assert(
      fc.property(anyLimits, (limits) => {
        const { time, kind } = doubleS(limits);
        expect(planned(limits).time).toEqual(near(time, 1e-9));
        seen[kind] = (seen[kind] ?? 0) + 1;
      }),
      { seed: 81, numRuns: 600 },
    );
    expect(Object.keys(seen).toSorted()).toEqual(["acceleration", "jerk", "speed", "speed and acceleration"]);
    expect(Math.min(...Object.values(seen))).toBeGreaterThan(20);
  });

  // Optimal control: at every instant one of the limits is held (bang-bang). Source: Pontryagin's principle; textbook.
  test("holds one limit in every phase and exceeds none", () => {
    fc.assert(
      fc.property(anyLimits, (limits) => {
        const { maxSpeed: v, maxAcceleration: a, maxJerk: j } = limits;
        for (const { curve, length } of planned(limits).pieces) {
          const jerk = Math.abs(6 * (curve.polynomial[3] ?? 0));
          const [speed, acceleration] = [speedAt(curve, length / 2), Math.abs(accelerationAt(curve, length / 2))];
          const used = [speed / v, acceleration / a, jerk / j];
          const longEnough = length > 1e-6 * (v / a + a / j);
          expect(Math.max(...used)).toBeLessThan(1 + 1e-6);
          expect(longEnough ? Math.max(...used) : 1).toBeGreaterThan(1 - 1e-6);
        }
      }),
      { seed: 83, numRuns: 400 },
    );
  });

  test.each([
    // On each border the phase that goes has length 0; worked out by hand.
    ["acceleration just reached at full speed", { distance: 10, maxSpeed: 2, maxAcceleration: 2, maxJerk: 2 }, 7, 5],
    ["speed just reached, acceleration held", { distance: 6, maxSpeed: 2, maxAcceleration: 1, maxJerk: 1 }, 6, 6],
    ["speed and acceleration just reached", { distance: 2, maxSpeed: 1, maxAcceleration: 1, maxJerk: 1 }, 4, 4],
    ["all seven", { distance: 1, maxSpeed: 1, maxAcceleration: 2, maxJerk: 10 }, 1.7, 7],
    ["jerk alone", { distance: 0.25, maxSpeed: 9, maxAcceleration: 99, maxJerk: 8 }, 1, 4],
  ] as const)("%s", (_, limits, time, phases) => {
    const found = planned(limits);
    expect(found.time).toEqual(near(time, 1e-12));
    expect(found.pieces.filter(({ length }) => length > 1e-9)).toHaveLength(phases);
  });

  test("is a triangle or trapezoid in the limit of endless jerk", () => {
    fc.assert(
      fc.property(anyLimits, (limits) => {
        const { distance: s, maxSpeed: v, maxAcceleration: a } = limits;
        const soft = planned({ ...limits, maxJerk: 1e12 }).time;
        const timed = timedMove(move(s, { maxSpeed: v, maxAcceleration: a }));
        const hard = "lacking" in timed ? Number.NaN : timed.time;
        expect(hard).toEqual(near(s > (v * v) / a ? s / v + v / a : 2 * Math.sqrt(s / a), 1e-12));
        expect(soft).toEqual(near(hard, 1e-6));
      }),
      { seed: 85, numRuns: 200 },
    );
  });
});
