import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Axis, LAW_NAMES, type LawName, type Segment } from "../../src/machine/problem.ts";
import { dutyOf } from "../../src/physics/duty/duty.ts";
import { accelerationAt, advanceCurve, positionAt, speedAt } from "../../src/physics/motion/curve.ts";
import { cycleOf, isCycle } from "../../src/physics/motion/cycle.ts";
import { DEFAULT_SHAPE } from "../../src/physics/motion/motion-law.ts";
import { lawOver } from "../../src/physics/motion/unit-law.ts";
import { anySample } from "./any-axis.ts";
import { near } from "./near.ts";
import { axisOf, cycleOfSample, dutyOfSample, dwell, move, run } from "./sample-axis.ts";

const amount = fc.double({ min: 0.05, max: 20, noNaN: true });

describe.each(LAW_NAMES.map((law) => ({ law })))("law $law", ({ law }: { law: LawName }) => {
  const shape = fc.record({
    accelerate: fc.double({ min: 0.02, max: 0.5, noNaN: true }),
    decelerate: fc.double({ min: 0.02, max: 0.5, noNaN: true }),
    jerk: fc.double({ min: 0, max: 0.5, noNaN: true }),
  });

  test("starts and ends at rest, arrives, and never jumps in position or speed", () => {
    fc.assert(
      fc.property(amount, amount, shape, (distance, time, given) => {
        const pieces = lawOver(law, given, { distance, time });
        let [position, speed, length] = [0, 0, 0];
        for (const piece of pieces) {
          expect(positionAt(piece.curve, 0)).toBeCloseTo(position, 9);
          expect(speedAt(piece.curve, 0) * time).toBeCloseTo(speed * time, 9);
          position = positionAt(piece.curve, piece.length);
          speed = speedAt(piece.curve, piece.length);
          length += piece.length;
        }
        expect(position / distance).toBeCloseTo(1, 10);
        expect((speed * time) / distance).toBeCloseTo(0, 10);
        expect(length / time).toBeCloseTo(1, 10);
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  test("speed and acceleration are the derivatives of the position", () => {
    const pieces = lawOver(law, DEFAULT_SHAPE, { distance: 2, time: 3 });
    const step = 1e-4;
    for (const { curve, length } of pieces) {
      for (const share of [0.2, 0.5, 0.8]) {
        const t = share * length;
        const slope = (positionAt(curve, t + step) - positionAt(curve, t - step)) / (2 * step);
        const bend = (speedAt(curve, t + step) - speedAt(curve, t - step)) / (2 * step);
        expect(speedAt(curve, t)).toBeCloseTo(slope, 6);
        expect(accelerationAt(curve, t)).toBeCloseTo(bend, 6);
        const later = advanceCurve(curve, t);
        expect(positionAt(later, 0.1)).toBeCloseTo(positionAt(curve, t + 0.1), 11);
        expect(accelerationAt(later, 0.1)).toBeCloseTo(accelerationAt(curve, t + 0.1), 11);
      }
    }
  });

  test("the axis turns one way all through a move, whatever its length and time", () => {
    const signed = fc.tuple(amount, fc.constantFrom(1, -1)).map(([size, way]) => size * way);
    fc.assert(
      fc.property(signed, amount, shape, amount, (distance, time, given, wait) => {
        const sample = {
          motion: [dwell(wait), move(distance, { law, time, ...given })],
          load: { mass: 1, frictionForce: 3 },
        };
        const moving = dutyOfSample(sample).pieces.filter(({ turning }) => turning !== 0);
        expect(moving.length).toBeGreaterThan(0);
        expect(moving.every(({ turning }) => turning === Math.sign(distance))).toBe(true);
      }),
      { seed: 2, numRuns: 300 },
    );
  });
});

function inCycle(motion: readonly Segment[], endless = true): Axis {
  return { ...axisOf({ motion, cycle: 10 }), endless };
}

describe("cycle", () => {
  test("pieces cover the machine cycle without gaps, whatever the start", () => {
    fc.assert(
      fc.property(anySample(), (sample) => {
        const { pieces, period } = cycleOfSample(sample);
        expect(pieces[0]?.from).toBeCloseTo(0, 12);
        expect(pieces.at(-1)?.to).toBeCloseTo(period, 10);
        pieces.slice(1).forEach(({ from }, k) => expect(from).toBeCloseTo(pieces[k]?.to ?? Number.NaN, 10));
        expect(pieces.every(({ from, to }) => to > from)).toBe(true);
      }),
      { seed: 4, numRuns: 300 },
    );
  });

  test("a later start only moves times: demands stay, peaks move along round the cycle", () => {
    fc.assert(
      fc.property(anySample(), fc.double({ min: -7, max: 7, noNaN: true }), (sample, later) => {
        const duty = dutyOfSample(sample);
        const moved = dutyOfSample({ ...sample, start: sample.start + later });
        const scale = Math.max(...duty.gram.map(Math.abs));
        duty.gram.forEach((value, k) => expect(Math.abs((moved.gram[k] ?? 0) - value)).toBeLessThan(1e-9 * scale));
        expect(moved.peakTorque.value).toEqual(near(duty.peakTorque.value, 1e-9));
        expect(moved.peakSpeed.value).toEqual(near(duty.peakSpeed.value, 1e-9));
        expect(moved.equivalentTorque).toEqual(near(duty.equivalentTorque, 1e-9));
        expect(moved.hangingTorque).toEqual(near(duty.hangingTorque, 1e-9));
        expect(moved.meanSpeed).toEqual(near(duty.meanSpeed, 1e-9));
      }),
      { seed: 6, numRuns: 150 },
    );
  });

  test("a peak told by its instant moves with the start", () => {
    const motion = [move(1, { time: 1, law: "cycloidal" }), dwell(0.5), move(-1, { time: 2 })];
    const at = (start: number): number => dutyOfSample({ motion, load: { mass: 1 }, start, cycle: 4 }).peakTorque.at;
    expect(at(0)).toBeCloseTo(0.25, 6);
    expect(at(1.5)).toBeCloseTo(1.75, 6);
    // The move now wraps: its deceleration, as strong, comes first in the cycle.
    expect(at(3.5)).toBeCloseTo(0.25, 6);
  });

  test("an axis outside the cycle has the period of its own motion", () => {
    const axis = {
      ...axisOf({ motion: [move(1, { time: 1 }), move(-1, { time: 2 })] }),
      inCycle: false,
      endless: false,
    };
    const cycle = cycleOf(axis, 100);
    expect(isCycle(cycle) && cycle.period).toBe(3);
    expect(isCycle(cycle) && cycle.starts).toBe(2);
  });

  test.each([
    { name: "longer than the cycle", axis: inCycle([dwell(11)]), segment: -1 },
    { name: "not back at the start", axis: inCycle([move(1, { time: 1 })], false), segment: 0 },
    {
      name: "a move while running",
      axis: inCycle([run(1, 2, { accelerateTime: 1 }), move(1, { time: 1 })]),
      segment: 1,
    },
    { name: "a jump of speed", axis: inCycle([run(1, 2), run(2, 2)]), segment: 0 },
    {
      name: "ramps longer than the run",
      axis: inCycle([run(1, 1, { accelerateTime: 1, decelerateTime: 1 })]),
      segment: 0,
    },
    { name: "a run into the rest of the cycle", axis: inCycle([run(1, 2)]), segment: 0 },
    { name: "shares above 1", axis: inCycle([move(1, { time: 1, accelerate: 0.7, decelerate: 0.6 })]), segment: 0 },
    { name: "no limits", axis: inCycle([move(1)]), segment: 0 },
  ])("a motion that cannot be is told by its segment: $name", ({ axis, segment }) => {
    const faults = cycleOf(axis, 10);
    expect(isCycle(faults)).toBe(false);
    expect(isCycle(faults) ? [] : faults.map((fault) => fault.segment)).toContain(segment);
  });

  test("a run goes on from the speed of the one before, and round the end of the cycle", () => {
    const motion = [run(2, 3, { accelerateTime: 1 }), run(-1, 4, { accelerateTime: 2 })];
    const axis = axisOf({ motion, cycle: 7, load: { mass: 1 } });
    const duty = dutyOf(axis, cycleOfSample({ motion, cycle: 7 }), { low: 0, high: 0 });
    expect(duty.peakTorque.value).toBeCloseTo(3, 12);
    // ∫|v|: ramp −1→2 in 1 s, 2 s at 2, ramp 2→−1 in 2 s, 2 s at 1.
    expect(duty.meanSpeed * 7).toBeCloseTo((1 / 3) * 0.5 + (2 / 3) * 1 + 4 + (4 / 3) * 1 + (2 / 3) * 0.5 + 2, 12);
  });

  test("a run's ramp turns round once where its speed passes zero, and never at its end by rounding", () => {
    const motion = [
      run(0.25, 0.1367429, { accelerateTime: 0.02 }),
      run(-10, 0.2634846, { accelerateTime: 0.02, decelerateTime: 0.01 }),
    ];
    const load = { mass: 1, frictionForce: 1 };
    const ways = (start: number): number[] =>
      dutyOfSample({ motion, load, cycle: 0.5, start })
        .pieces.map(({ turning }) => turning)
        .filter((turning, k, all) => turning !== all[k - 1]);
    expect(ways(0)).toEqual([1, -1, 0]);
    // The last bit of the ramp wraps to the start of the cycle.
    for (const bit of [1e-4, 1e-6, 2e-7, 1e-8, 1e-9]) {
      expect(ways(0.5 - 0.1367429 - 0.2634846 + bit)).toEqual([-1, 0, 1, -1]);
    }
  });
});
