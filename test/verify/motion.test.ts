import { expect, test } from "vitest";
import type { LawName, MoveSegment, Segment } from "../../src/machine/problem.ts";
import { gridOf, motionOf, sampled } from "../../src/verify/motion.ts";
import { type LawShares, lawPeaks, lawPieces } from "../../src/verify/motion-law.ts";
import { PLAIN_SHAFT, plainAxis, plainLoad } from "../oracle/plain-parts.ts";
import { referenceTable } from "../oracle/reference-table.ts";
import { sampleAxes } from "../oracle/sample-axes.ts";

const rotary = { kind: "rotary", ...PLAIN_SHAFT } as const;
const thirds = { accelerate: 1 / 3, decelerate: 1 / 3, jerk: 0.25 };
const even = (p: number, jerk = 0.25): LawShares => ({ accelerate: p, decelerate: p, jerk });

// shared/reference/physics/motion_laws.csv: Norton, Design of Machinery, table 8-2, within the slips named there.
const PUBLISHED: readonly [string, LawName, LawShares][] = [
  ["constant acceleration (parabolic)", "triangle", thirds],
  ["simple harmonic", "harmonic", thirds],
  ["cycloidal (sine)", "cycloidal", thirds],
  ["modified trapezoid", "modified-trapezoid", thirds],
  ["modified sine", "modified-sine", thirds],
  ["3-4-5 polynomial", "polynomial-5", thirds],
  ["4-5-6-7 polynomial", "polynomial-7", thirds],
  ["trapezoidal 1/3-1/3-1/3", "trapezoid", thirds],
  ["trapezoidal 0.2-0.6-0.2", "trapezoid", even(0.2)],
  ["7-seg S-curve p=1/3,q=1/2 (accel all jerk)", "s-curve", even(1 / 3, 0.5)],
  ["7-seg S-curve p=1/3,q=1/4", "s-curve", thirds],
  ["7-seg S-curve p=1/4,q=1/5", "s-curve", even(0.25, 0.2)],
];

test.each(PUBLISHED)("%s has its published characteristic values", (name, law, shares) => {
  const row = referenceTable("motion_laws.csv").find((r) => r["law"] === name);
  const pieces = lawPieces(law, shares);
  const peaks = lawPeaks(pieces);
  expect(peaks.speed).toBeCloseTo(Number(row?.["Cv"]), 6);
  expect(peaks.acceleration).toBeCloseTo(Number(row?.["Ca"]), 6);
  // The harmonic law jumps at both ends; the table gives the jerk between them.
  const jerk = law === "harmonic" ? Infinity : Number(row?.["Cj"]?.replace("inf", "Infinity"));
  expect(peaks.jerk === jerk ? 1 : peaks.jerk / jerk).toBeCloseTo(1, 3);
  const end = pieces.at(-1);
  expect(end?.position(1)).toBeCloseTo(1, 12);
  expect(end?.speed(1)).toBeCloseTo(0, 12);

  const move: MoveSegment = { kind: "move", distance: 1, time: 1, law, ...shares, force: 0, payload: 0 };
  const motion = motionOf(plainAxis(rotary, plainLoad(), [move]), 1);
  const grid = gridOf([motion], 1, 400, 400);
  const states = sampled(motion, grid);
  const rms = Math.sqrt(states.acceleration.reduce((sum, a, k) => sum + a * a * (grid.weight[k] ?? 0), 0));
  expect(rms).toBeCloseTo(Number(row?.["Ca_rms"]), 6);
});

test("speed and acceleration are the derivatives of the position in every piece", () => {
  let looked = 0;
  for (const { axis, cycle } of sampleAxes())
    for (const { begin, end, at } of motionOf(axis, cycle).pieces) {
      const t = begin + 0.37 * (end - begin);
      const h = 1e-4 * (end - begin);
      const scale = Math.abs(at(t).a) + Math.abs(at(t).v) / (end - begin) + 1e-6;
      const slope = (at(t + h).q - at(t - h).q) / (2 * h);
      const bend = (at(t + h).v - at(t - h).v) / (2 * h);
      expect(Math.abs(slope - at(t).v) / (end - begin) / scale).toBeLessThan(1e-5);
      expect(Math.abs(bend - at(t).a) / scale).toBeLessThan(1e-4);
      looked++;
    }
  expect(looked).toBeGreaterThan(400);
});

test("speed is continuous through the whole period, wrapped starts included, and moves cover their distance", () => {
  let looked = 0;
  for (const { axis, cycle } of sampleAxes()) {
    const { pieces, period } = motionOf(axis, cycle);
    const top = Math.max(...pieces.map((p) => Math.abs(p.at((p.begin + p.end) / 2).v)));
    const out = pieces.filter(({ segment }) => segment === 0);
    const covered = out.reduce((sum, p) => sum + p.at(p.end).q - p.at(p.begin).q, 0);
    // The run speeds up to 0.4 in 0.1 and keeps it for 0.4 more.
    expect(covered).toBeCloseTo(axis.motion[0]?.kind === "run" ? 0.18 : 0.4, 9);
    expect(pieces.reduce((sum, p) => sum + p.end - p.begin, 0)).toBeCloseTo(period, 9);
    for (const [k, piece] of pieces.entries()) {
      const next = pieces[(k + 1) % pieces.length];
      expect(Math.abs(piece.at(piece.end).v - (next?.at(next.begin).v ?? Number.NaN))).toBeLessThan(1e-9 * top);
      looked++;
    }
  }
  expect(looked).toBeGreaterThan(400);
});

test("a move by limits keeps them all and runs into one of them", () => {
  const limits = { maxSpeed: 1.2, maxAcceleration: 9, maxJerk: 150 };
  const laws: LawName[] = ["s-curve", "cycloidal", "polynomial-5", "modified-sine"];
  for (const law of laws)
    for (const distance of [0.01, 0.1, 0.4, 2]) {
      const segment: Segment = { kind: "move", distance, law, ...limits, force: 0, payload: 0 };
      const motion = motionOf(plainAxis(rotary, plainLoad(), [segment]), 10);
      const moving = motion.pieces.filter(({ segment: s }) => s === 0);
      let v = 0;
      let a = 0;
      let j = 0;
      for (const { begin, end, at } of moving)
        for (let k = 0; k < 2000; k++) {
          const h = (end - begin) / 2000;
          v = Math.max(v, Math.abs(at(begin + k * h).v));
          a = Math.max(a, Math.abs(at(begin + k * h).a));
          j = Math.max(j, Math.abs(at(begin + (k + 1) * h).a - at(begin + k * h).a) / h);
        }
      const use = [v / limits.maxSpeed, a / limits.maxAcceleration, j / limits.maxJerk];
      expect(Math.max(...use)).toBeLessThan(1 + 1e-6);
      expect(Math.max(...use)).toBeGreaterThan(0.998);
    }
});

/** How long a move by limits of 2 /s and 10 /s² takes [s]. */
function timeTaken(distance: number): number {
  const move: MoveSegment = {
    kind: "move",
    distance,
    law: "trapezoid",
    maxSpeed: 2,
    maxAcceleration: 10,
    force: 0,
    payload: 0,
  };
  const pieces = motionOf(plainAxis(rotary, plainLoad(), [move]), 50).pieces.filter(({ segment }) => segment === 0);
  return pieces.reduce((sum, p) => sum + p.end - p.begin, 0);
}

test("a time-optimal trapezoid takes s/v + v/a, or 2·√(s/a) where the speed is not reached", () => {
  expect(timeTaken(1)).toBeCloseTo(0.7, 12);
  expect(timeTaken(0.1)).toBeCloseTo(0.2, 12);
});
