import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { Crank } from "../../src/machine/mechanism.ts";
import type { Axis } from "../../src/machine/problem.ts";
import { type Duty, dutyOf, supremum } from "../../src/physics/duty/duty.ts";
import { rollFaults } from "../../src/physics/duty/travels.ts";
import { crankAt, winderAt } from "../../src/physics/mechanism/linkage.ts";
import { positionAt, speedAt } from "../../src/physics/motion/curve.ts";
import { anyLinked } from "./any-linked.ts";
import { backwards, unswapped } from "./backwards.ts";
import { near, within } from "./near.ts";
import { derived } from "./reference.ts";
import { axisOf, cycleOfSample, dutyOfSample, dwell, LOSSLESS, move, run, type Sample } from "./sample-axis.ts";
import { ROLL } from "./samples.ts";

const G = 9.80665;
const CRANK: Crank = { kind: "crank", radius: 0.05, rod: 0.18, offset: 0, startAngle: 0, ...LOSSLESS };

test("a winder's roll, speed, torque and power are those of the derived case WIND-1", () => {
  const rest = { position: 0, speed: 2, acceleration: 0 };
  const full = winderAt(ROLL, rest);
  expect(full.turning).toEqual(near(derived("WIND-1", "J_roll"), 1e-12));
  expect(full.shaftSpeed).toEqual(near(derived("WIND-1", "omega full"), 1e-12));
  expect(winderAt({ ...ROLL, startDiameter: 0.1 }, rest).shaftSpeed).toEqual(
    near(derived("WIND-1", "omega core / full"), 1e-12),
  );
  const length = derived("WIND-1", "web length on roll");
  expect(winderAt({ ...ROLL, startDiameter: 0.1 }, { ...rest, position: length }).lever).toEqual(near(0.25, 1e-12));
  // Nearly no web is wound in this cycle: what counts is the full roll at line speed.
  const duty = dutyOfSample({
    mechanism: { ...ROLL, webThickness: 1e-12 },
    motion: [run(2, 1, { accelerateTime: 0.1, decelerateTime: 0.1 })],
  });
  const held = duty.pieces.find(({ from, to }) => from < 0.5 && to > 0.5);
  expect(held?.torque(0.5)).toEqual(near(derived("WIND-1", "T full"), 1e-9));
  expect((held?.torque(0.5) ?? 0) * (held?.speed(0.5) ?? 0)).toEqual(near(derived("WIND-1", "power (constant)"), 1e-9));
});

test("a crank's slider accelerates by r·ω²·(1 ± r/l) at its dead centres, and goes by the two angles", () => {
  // Source: kinematics of the slider crank, textbook of machine dynamics (from memory): exact at the dead centres.
  const [r, l, speed] = [0.05, 0.18, 30];
  const at = (position: number) => crankAt(CRANK, { position, speed, acceleration: 0 });
  expect(at(0).loadAcceleration).toEqual(near(-r * speed ** 2 * (1 + r / l), 1e-12));
  expect(at(Math.PI).loadAcceleration).toEqual(near(r * speed ** 2 * (1 - r / l), 1e-12));
  fc.assert(
    fc.property(
      fc.double({ min: -7, max: 7, noNaN: true }),
      fc.double({ min: -0.1, max: 0.1, noNaN: true }),
      (q, e) => {
        // v = −r·ω·sin(θ + β)/cos β with l·sin β = r·sin θ − e: velocities along the rod are equal.
        const beta = Math.asin((r * Math.sin(q) - e) / l);
        const speedOfSlider = (-r * speed * Math.sin(q + beta)) / Math.cos(beta);
        const found = crankAt({ ...CRANK, offset: e }, { position: q, speed, acceleration: 0 });
        expect(found.loadSpeed).toEqual(within(speedOfSlider, 1e-11));
      },
    ),
    { seed: 3, numRuns: 200 },
  );
});

/** Simpson's rule; Source: textbook. */
function simpson(f: (t: number) => number, from: number, to: number): number {
  const intervals = 1024;
  const step = (to - from) / intervals;
  let sum = f(from) + f(to);
  for (let k = 1; k < intervals; k++) sum += f(from + k * step) * (k % 2 === 0 ? 2 : 4);
  return (sum * step) / 3;
}

/** Slider's place and speed, or the web's; roll's inertia and speed: written down apart from the code. */
function stateOf(axis: Axis, q: number, v: number): { x: number; v: number; shaft: number; roll: number } {
  const { mechanism } = axis;
  if (mechanism.kind === "crank") {
    const { radius: r, rod: l, offset: e, startAngle } = mechanism;
    const angle = startAngle + q;
    const beta = Math.asin((r * Math.sin(angle) - e) / l);
    const x = r * Math.cos(angle) + l * Math.cos(beta);
    return { x, v: (-r * v * Math.sin(angle + beta)) / Math.cos(beta), shaft: v, roll: 0 };
  }
  if (mechanism.kind !== "winder") throw new Error("no linkage");
  const { startDiameter, coreDiameter, webThickness, webWidth, webDensity } = mechanism;
  const area = (Math.PI * startDiameter ** 2) / 4 + webThickness * q;
  const radius = Math.sqrt(area / Math.PI);
  const mass = webDensity * webWidth * (area - (Math.PI * coreDiameter ** 2) / 4);
  return { x: q, v, shaft: v / radius, roll: (mass * (radius ** 2 + (coreDiameter / 2) ** 2)) / 2 };
}

/**
 * Work over the cycle from differences of energy: kinetic energy of load, shaft and roll, height, and what friction,
 * tension and efficiency take; the web brings the energy of its own speed along.
 *
 * Source: conservation of energy.
 */
function workOf(sample: Sample, duty: Duty): { work: number; turnover: number } {
  const axis = axisOf(sample);
  const { load, mechanism } = axis;
  const { pieces } = cycleOfSample(sample);
  const book = { work: 0, turnover: 0 };
  for (const { from, to, turning } of duty.pieces) {
    const piece = pieces.find((p) => p.from <= (from + to) / 2 && p.to >= (from + to) / 2);
    if (piece === undefined || turning === 0) continue;
    const at = (t: number) =>
      stateOf(axis, positionAt(piece.curve, t - piece.from), speedAt(piece.curve, t - piece.from));
    const [first, last] = [at(from), at(to)];
    const segment = axis.motion[piece.segment];
    const mass = load.mass + (segment?.payload ?? 0);
    const tension = mechanism.kind === "winder" ? mechanism.tension : 0;
    const constant =
      mass * G * Math.sin(load.incline) + load.force + (segment?.force ?? 0) + tension - load.counterbalance;
    const friction = load.frictionForce + load.frictionCoefficient * mass * G * Math.cos(load.incline);
    const moved =
      (mass * (last.v ** 2 - first.v ** 2)) / 2 +
      constant * (last.x - first.x) +
      friction * Math.abs(last.x - first.x) +
      load.viscous * simpson((t) => at(t).v ** 2, from, to);
    const inertia = (state: typeof first): number => ((mechanism.inertia + state.roll) * state.shaft ** 2) / 2;
    const brought =
      mechanism.kind === "winder"
        ? (mechanism.webDensity *
            mechanism.webWidth *
            mechanism.webThickness *
            simpson((t) => at(t).v ** 3, from, to)) /
          2
        : 0;
    const turned = Math.abs(simpson((t) => at(t).shaft, from, to));
    const inner = inertia(last) - inertia(first) - brought + mechanism.dragTorque * turned;
    const work = moved * (moved > 0 ? 1 / mechanism.efficiency : mechanism.backEfficiency) + inner;
    book.work += work;
    book.turnover += Math.abs(moved) + Math.abs(work) + inertia(last) + inertia(first) + Math.abs(brought);
  }
  return book;
}

test("energy: work at the shaft of cranks and winders is what is stored, raised, pulled and rubbed away", () => {
  const kinds = new Set<string>();
  fc.assert(
    fc.property(anyLinked(), (sample) => {
      const duty = dutyOfSample(sample);
      const { work, turnover } = workOf(sample, duty);
      const [, motoring = 0, regenerating = 0, resting = 0] = duty.power;
      expect((motoring + regenerating + resting) * duty.period).toEqual(within(work, 1e-9 * turnover));
      kinds.add(sample.mechanism?.kind ?? "");
    }),
    { seed: 11, numRuns: 200 },
  );
  expect(kinds.size).toBe(2);
});

// A winder, too: its shaft speeds up by a/R − h·v²/(2π·R³), which does not hang on the sign of v, so the torque at a place is
// the same both ways. The web carries energy in while winding up and out while winding off, by the third power of its speed.
test("without friction and losses, cranks and winders run backwards swap motoring and regenerating", () => {
  const kinds = new Set<string>();
  const lossless = { efficiency: 1, backEfficiency: 1, dragTorque: 0 };
  const smooth = { frictionForce: 0, frictionCoefficient: 0, viscous: 0 };
  fc.assert(
    fc.property(anyLinked(), ({ mechanism, ...given }) => {
      const sample = { ...given, mechanism: { ...mechanism, ...lossless }, load: { ...given.load, ...smooth } };
      const back = { ...sample, motion: backwards(sample.motion), start: -(sample.start ?? 0) };
      expect(unswapped(dutyOfSample(sample), dutyOfSample(back))).toEqual([]);
      kinds.add(mechanism.kind);
    }),
    { seed: 13, numRuns: 120 },
  );
  expect(kinds.size).toBe(2);
});

test("signals of cranks and winders keep their sign on every piece, and the pieces fill the period", () => {
  fc.assert(
    fc.property(anyLinked(), (sample) => {
      const duty = dutyOfSample(sample);
      let end = 0;
      for (const piece of duty.pieces) {
        expect(piece.from).toEqual(within(end, 1e-9 * duty.period));
        end = piece.to;
        const middle = piece.torque((piece.from + piece.to) / 2);
        const size = duty.peakTorque.value;
        for (const share of [0.02, 0.3, 0.7, 0.98]) {
          const t = piece.from + share * (piece.to - piece.from);
          expect(Math.abs(piece.turning) * piece.torque(t) * Math.sign(middle)).toBeGreaterThanOrEqual(-1e-7 * size);
          expect(piece.speed(t) * piece.turning).toBeGreaterThanOrEqual(0);
        }
      }
      expect(end).toEqual(near(duty.period, 1e-12));
      const scanned = Math.max(...duty.pieces.flatMap((p) => [p.torque(p.from), p.torque(p.to)].map(Math.abs)));
      expect(supremum(duty.pieces, (p) => (t) => Math.abs(p.torque(t))).value).toBeGreaterThanOrEqual(
        scanned * (1 - 1e-12),
      );
    }),
    { seed: 12, numRuns: 100 },
  );
});

test("what a crank's weight asks of its brake is the largest lever it stands or passes at", () => {
  const [r, l] = [0.05, 0.18];
  const duty = dutyOfSample({
    mechanism: CRANK,
    load: { mass: 10, incline: Math.PI / 2 },
    motion: [run(2 * Math.PI, 1, {})],
  });
  // Largest lever of a slider crank, by a fine scan of x' = −r·sin(θ + β)/cos β.
  let most = 0;
  for (let k = 0; k <= 100_000; k++) {
    const q = (2 * Math.PI * k) / 100_000;
    const beta = Math.asin((r * Math.sin(q)) / l);
    most = Math.max(most, Math.abs((r * Math.sin(q + beta)) / Math.cos(beta)));
  }
  expect(duty.hangingTorque).toEqual(near(10 * G * most, 1e-8));
  expect(duty.largestInertia).toEqual(near(10 * most ** 2, 1e-8));
  expect(duty.smallestInertia).toEqual(within(0, 1e-9));
});

const unwound = (length: number): Sample => ({
  mechanism: ROLL,
  motion: [move(-length, { time: 1 }), dwell(0.1)],
});

test("a roll is not wound off beyond its core", () => {
  const faultsOf = (length: number) => rollFaults(axisOf(unwound(length)), cycleOfSample(unwound(length)));
  const onCore = derived("WIND-1", "web length on roll");
  expect(faultsOf(onCore * 0.999)).toEqual([]);
  expect(faultsOf(onCore * 1.001)).toEqual([
    { segment: 1, found: "3773.68 m of web wound off", expected: "at most the 3769.91 m that are on the core" },
  ]);
  const { leastTravel, travel } = dutyOf(axisOf(unwound(onCore / 2)), cycleOfSample(unwound(onCore / 2)), {
    low: 0,
    high: 0,
  });
  expect(travel).toEqual(near(0.25, 1e-12));
  expect(leastTravel).toEqual(near(Math.sqrt((0.25 ** 2 + 0.05 ** 2) / 2), 1e-12));
});
