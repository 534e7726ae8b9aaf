import { describe, expect, test } from "vitest";
import type { Axis, FollowSegment, FollowTable, Segment } from "../../src/machine/problem.ts";
import { accelerationAt, positionAt, speedAt } from "../../src/physics/motion/curve.ts";
import { type Cycle, cycleOf, isCycle, type MotionFault } from "../../src/physics/motion/cycle.ts";
import { near, within } from "./near.ts";
import { axisOf, dutyOfSample, dwell, follow as followTable, move, run } from "./sample-axis.ts";

const follow = (of: FollowTable["of"], times: readonly number[], values: readonly number[]): FollowSegment =>
  followTable(of, { times, values });

function worked(axis: Axis, cycle: number): Cycle {
  const outcome = cycleOf(axis, cycle);
  if (!isCycle(outcome)) throw new Error(JSON.stringify(outcome));
  return outcome;
}

function faultsOf(motion: readonly Segment[], cycle: number, endless = false): readonly MotionFault[] {
  const outcome = cycleOf({ ...axisOf({ motion, cycle }), endless }, cycle);
  return isCycle(outcome) ? [] : outcome;
}

/** Position, speed and acceleration at machine time t. */
function stateAt({ pieces }: Cycle, t: number): { q: number; v: number; a: number } {
  const piece = pieces.find(({ to }) => t <= to);
  if (piece === undefined) throw new Error("outside the cycle");
  const own = t - piece.from;
  return { q: positionAt(piece.curve, own), v: speedAt(piece.curve, own), a: accelerationAt(piece.curve, own) };
}

const TIMES = [0, 0.2, 0.5, 0.6, 1.1, 1.5, 2];
const POSITIONS = [0.3, 0.5, 0.4, 0.4, 0.9, 0.2, 0.3];
const SPEEDS = [0, 0.8, -0.4, -0.4, 0, 0, 0];

describe("followed positions", () => {
  const whole = follow("position", TIMES, POSITIONS);

  test("as the whole cycle pass through every row and join without a jump, curvature included", () => {
    const cycle = worked({ ...axisOf({ motion: [whole], cycle: 2 }), endless: false }, 2);
    TIMES.forEach((t, k) => expect(stateAt(cycle, t).q).toBeCloseTo(POSITIONS[k] ?? Number.NaN, 12));
    cycle.pieces.forEach((piece, k) => {
      const next = cycle.pieces[(k + 1) % cycle.pieces.length];
      const length = piece.to - piece.from;
      expect(speedAt(piece.curve, length)).toBeCloseTo(speedAt(next?.curve ?? piece.curve, 0), 10);
      expect(accelerationAt(piece.curve, length)).toBeCloseTo(accelerationAt(next?.curve ?? piece.curve, 0), 8);
    });
    expect(Math.abs(stateAt(cycle, 0).v)).toBeGreaterThan(0.01);
  });

  test("with rest beside them begin and end at rest", () => {
    const cycle = worked(axisOf({ motion: [whole, dwell(0.5)], cycle: 3 }), 3);
    expect(stateAt(cycle, 0).v).toBeCloseTo(0, 12);
    expect(stateAt(cycle, 2).v).toBeCloseTo(0, 12);
    expect(stateAt(cycle, 2.7)).toEqual({ q: within(0.3, 1e-12), v: 0, a: 0 });
  });

  test("take over the speed of a run before them", () => {
    const motion = [run(0.5, 1, { accelerateTime: 0.2 }), follow("position", [0, 0.4, 1], [0.45, 0.6, 0])];
    const cycle = worked(axisOf({ motion, cycle: 2 }), 2);
    expect(stateAt(cycle, 1 + 1e-9).v).toBeCloseTo(0.5, 6);
    expect(stateAt(cycle, 2).v).toBeCloseTo(0, 12);
  });

  test("are pieces that each go one way, with the mean of a known cosine", () => {
    // DERIVED: q = 0.1·(1 − cos 2πt) has √⟨q''²⟩ = 0.1·(2π)²/√2 and peak speed 0.2π; 40 rows come within 1e-3.
    const times = Array.from({ length: 41 }, (_, k) => k / 40);
    const values = times.map((t, k) => 0.1 * (1 - Math.cos(2 * Math.PI * (k === 40 ? 0 : t))));
    const duty = dutyOfSample({ motion: [follow("position", times, values)], cycle: 1, load: { mass: 1 } });
    expect(Math.sqrt(duty.gram[0] ?? 0)).toEqual(near((0.1 * (2 * Math.PI) ** 2) / Math.SQRT2, 1e-3));
    expect(duty.peakSpeed.value).toEqual(near(0.2 * Math.PI, 1e-3));
    const ways = duty.pieces.map(({ turning }) => turning).join(",");
    expect(ways.replaceAll(/(-?1)(,\1)+(?=,|$)/g, "$1")).toBe("1,-1");
  });
});

describe("followed velocities", () => {
  test("are joined by straight lines: position and acceleration are their integral and slope", () => {
    const cycle = worked(axisOf({ motion: [follow("velocity", TIMES, SPEEDS)], cycle: 2 }), 2);
    TIMES.forEach((t, k) => expect(stateAt(cycle, t).v).toBeCloseTo(SPEEDS[k] ?? Number.NaN, 12));
    let travelled = 0;
    for (let k = 0; k < 20_000; k++) {
      travelled += stateAt(cycle, (k + 0.5) * 1e-4).v * 1e-4;
      expect(Math.abs(stateAt(cycle, (k + 1) * 1e-4).q - travelled)).toBeLessThan(1e-6);
    }
    // DERIVED: sum of trapezia.
    expect(travelled).toBeCloseTo(0.08 + 0.06 - 0.04 - 0.1, 6);
    expect(stateAt(cycle, 0.1).a).toBeCloseTo(4, 12);
    expect(stateAt(cycle, 0.55).a).toBe(0);
  });

  test("are the trapezoid they describe", () => {
    // DERIVED: thirds over 0.6 s at 1.25 m/s travel 0.5 m.
    const table = follow("velocity", [0, 0.2, 0.4, 0.6], [0, 1.25, 1.25, 0]);
    const load = { mass: 3, frictionForce: 2 };
    const [ours, law] = [table, move(0.5, { time: 0.6 })].map((segment) =>
      dutyOfSample({ motion: [segment, dwell(0.4)], load }),
    );
    expect(ours?.peakTorque.value).toEqual(near(law?.peakTorque.value ?? 0, 1e-12));
    ours?.gram.forEach((value, k) => expect(value).toBeCloseTo(law?.gram[k] ?? Number.NaN, 10));
  });

  test("turn round where a line passes through zero, there alone", () => {
    const duty = dutyOfSample({ motion: [follow("velocity", TIMES, SPEEDS)], cycle: 2, load: { mass: 1 } });
    const turn = 0.2 + 0.3 * (0.8 / 1.2);
    const before = duty.pieces.findLast(({ turning }) => turning === 1);
    expect(before?.to).toBeCloseTo(turn, 12);
    expect(duty.pieces.findLast(({ turning }) => turning === -1)?.to).toBeCloseTo(1.1, 12);
    expect(duty.pieces.filter(({ from }) => from >= 1.1).every(({ turning }) => turning === 0)).toBe(true);
  });

  test("go on round the end of the cycle on an endless axis", () => {
    const cycle = worked(axisOf({ motion: [follow("velocity", [0, 1, 2], [1, 3, 1])], cycle: 2 }), 2);
    expect(cycle.starts).toBe(0);
    expect(stateAt(cycle, 2)).toEqual({ q: within(4, 1e-12), v: within(1, 1e-12), a: within(-2, 1e-12) });
  });
});

function starts(motion: readonly Segment[], cycle: number): number {
  return worked(axisOf({ motion, cycle }), cycle).starts;
}

describe("starts", () => {
  test("are those of the moves a table describes", () => {
    const moves = [move(1, { time: 1 }), dwell(1), move(-1, { time: 1 }), dwell(1)];
    const velocities = [0, 1.5, 1.5, 0, 0, -1.5, -1.5, 0, 0];
    const times = [0, 1 / 3, 2 / 3, 1, 2, 7 / 3, 8 / 3, 3, 4];
    const positions = [0, 0.25, 0.75, 1, 1, 0.75, 0.25, 0, 0];
    expect(starts(moves, 4)).toBe(2);
    expect(starts([follow("velocity", times, velocities)], 4)).toBe(2);
    expect(starts([follow("position", times, positions)], 4)).toBe(2);
    expect(starts([move(1, { time: 1 }), move(-1, { time: 1 })], 2)).toBe(2);
    expect(starts([follow("velocity", [0, 0.5, 1.5, 2], [0, 1, -1, 0])], 2)).toBe(2);
  });

  test("count reversals of tables, not trembling at rest or equal rows at a turn", () => {
    expect(starts([follow("velocity", TIMES, SPEEDS)], 2)).toBe(2);
    expect(starts([follow("velocity", [0, 1, 2, 3, 4, 5], [0, 1, 1e-4, -1e-4, 1, 0])], 5)).toBe(2);
    expect(starts([follow("position", [0, 1, 2, 3, 4, 5], [0, 1, 2, 2, 1, 0])], 5)).toBe(2);
    expect(starts([follow("position", [0, 1, 2], [0, 1, 0]), move(1, { time: 1 })], 3)).toBe(3);
    expect(starts([run(1, 1, { accelerateTime: 0.1 }), follow("velocity", [0, 1, 2], [1, 2, 1])], 3)).toBe(0);
  });
});

describe("a table that cannot be is told by its segment", () => {
  test.each<readonly [string, readonly Segment[], number, string]>([
    ["no return", [follow("position", [0, 1, 2], [0, 1, 0.5])], 2, 'a return to the start, or "endless": true'],
    [
      "no return of velocities",
      [follow("velocity", [0, 1, 2], [0, 1, 0])],
      2,
      'a return to the start, or "endless": true',
    ],
    [
      "positions that begin elsewhere",
      [move(1, { time: 1 }), follow("position", [0, 1], [0.5, 0])],
      2,
      "a first row at the position before it, 1",
    ],
    [
      "velocities that begin at another speed",
      [dwell(1), follow("velocity", [0, 1], [0.5, 0])],
      2,
      "a first row at the speed before it, 0",
    ],
    ["velocities that do not join", [follow("velocity", [0, 2], [0.5, 0])], 2, "a first row at the speed before it, 0"],
    [
      "a move out of motion",
      [follow("velocity", [0, 1], [0, 1]), move(-1, { time: 1 })],
      2,
      "rest before it: decelerate_time, or a last velocity of 0",
    ],
    ["velocities into the rest", [follow("velocity", [0, 1, 2], [1, -1, 1])], 3, "a last velocity of 0"],
    ["longer than the cycle", [follow("position", [0, 1, 2], [0, 1, 0])], 1.5, "at most the cycle of 1.5 s"],
  ])("%s", (_, motion, cycle, expected) => {
    expect(faultsOf(motion, cycle).map((fault) => fault.expected)).toEqual([expected]);
  });

  test("an endless axis need not return, and its periodic spline climbs evenly", () => {
    const climb = follow("position", [0, 0.3, 1, 2], [0, 0.6, 2, 4]);
    expect(faultsOf([climb], 2)).toHaveLength(1);
    expect(faultsOf([climb], 2, true)).toEqual([]);
    const cycle = worked(axisOf({ motion: [climb], cycle: 2 }), 2);
    for (const t of [0, 0.1, 0.7, 1.9]) expect(stateAt(cycle, t).v).toBeCloseTo(2, 10);
    expect(cycle.starts).toBe(0);
  });
});
