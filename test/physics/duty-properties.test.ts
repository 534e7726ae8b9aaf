import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { Gearbox, Motor } from "../../src/machine/catalogue.ts";
import type { Mechanism } from "../../src/machine/mechanism.ts";
import type { Axis, Segment } from "../../src/machine/problem.ts";
import { type Duty, supremum } from "../../src/physics/duty/duty.ts";
import type { SignalPiece } from "../../src/physics/duty/signal-piece.ts";
import { spanDuty } from "../../src/physics/duty/span-duty.ts";
import { meanSquareTorque, motorTorque, torqueFactors } from "../../src/physics/limits/pick-duty.ts";
import { positionAt, speedAt } from "../../src/physics/motion/curve.ts";
import { anySample } from "./any-axis.ts";
import { backwards, unswapped } from "./backwards.ts";
import { near, within } from "./near.ts";
import { axisOf, cycleOfSample, dutyOfSample, type Sample } from "./sample-axis.ts";
import { gearboxWith, motorWith } from "./sample-parts.ts";

const G = 9.80665;
type AnySample = Parameters<Parameters<ReturnType<typeof anySample>["map"]>[0]>[0];

/** Travel per radian, written down apart from the code. */
function travel(mechanism: Mechanism): number {
  if ("lead" in mechanism) return mechanism.lead / (2 * Math.PI);
  return "diameter" in mechanism ? mechanism.diameter / 2 : 1;
}

/** Simpson's rule with so many intervals; Source: textbook. */
function simpson(f: (t: number) => number, from: number, to: number, intervals = 256): number {
  const step = (to - from) / intervals;
  let sum = f(from) + f(to);
  for (let k = 1; k < intervals; k++) sum += f(from + k * step) * (k % 2 === 0 ? 2 : 4);
  return (sum * step) / 3;
}

interface Ledger {
  /** Work at the input shaft over the cycle [J]. */
  work: number;
  /** The same with every part counted by its size. */
  turnover: number;
  /** Work lost in a gearbox behind it, less what drag takes. */
  gearLoss: number;
}

/**
 * Work over the cycle from differences of kinetic, potential and friction energy: no torque is integrated.
 *
 * Source: conservation of energy.
 */
function ledger(sample: Sample, duty: Duty, gearbox: Gearbox): Ledger {
  const axis = axisOf(sample);
  const { pieces } = cycleOfSample(sample);
  const book: Ledger = { work: 0, turnover: 0, gearLoss: 0 };
  for (const { from, to, turning } of duty.pieces) {
    const piece = pieces.find((p) => p.from <= (from + to) / 2 && p.to >= (from + to) / 2);
    if (piece === undefined || turning === 0) continue;
    const state = (t: number): { q: number; v: number } => ({
      q: positionAt(piece.curve, t - piece.from),
      v: speedAt(piece.curve, t - piece.from),
    });
    const viscous = axis.load.viscous === 0 ? 0 : simpson((t) => state(t).v ** 2, from, to);
    const load = loadWork(axis, axis.motion[piece.segment], { first: state(from), last: state(to), viscous });
    const { mechanism } = axis;
    const kappa = travel(mechanism);
    const inner = (mechanism.inertia * (state(to).v ** 2 - state(from).v ** 2)) / (2 * kappa ** 2);
    const drag = (mechanism.dragTorque * Math.abs(state(to).q - state(from).q)) / kappa;
    const work = load * (load > 0 ? 1 / mechanism.efficiency : mechanism.backEfficiency) + inner + drag;
    book.work += work;
    book.turnover += Math.abs(load) + Math.abs(work) + Math.abs(inner) + drag;
    book.gearLoss += work > 0 ? work * (1 / gearbox.efficiency - 1) : -work * (1 - gearbox.backEfficiency);
  }
  return book;
}

interface State {
  readonly q: number;
  readonly v: number;
}

function loadWork(
  { load, mechanism }: Axis,
  segment: Segment | undefined,
  change: { first: State; last: State; viscous: number },
): number {
  const { first, last, viscous } = change;
  const way = last.q - first.q;
  const mass = load.mass + (segment?.payload ?? 0);
  const weight = mechanism.kind === "rotary" ? 0 : mass * G;
  const kinetic = (mass * (last.v ** 2 - first.v ** 2)) / 2;
  const raised = (weight * Math.sin(load.incline) + load.force + (segment?.force ?? 0) - load.counterbalance) * way;
  const rubbed = (load.frictionForce + load.frictionCoefficient * weight * Math.cos(load.incline)) * Math.abs(way);
  const angle = load.imbalanceAngle;
  const tipped = G * Math.sin(load.tilt) * load.imbalance * (Math.sin(last.q + angle) - Math.sin(first.q + angle));
  return kinetic + raised + rubbed + tipped + load.viscous * viscous;
}

test("energy: shaft work over a cycle is what friction, efficiency, drag and outside forces take", () => {
  const gearbox = gearboxWith({ ratio: 7, efficiency: 0.9, backEfficiency: 0.8, dragTorque: 0.02, inertia: 1e-5 });
  const motor = motorWith({ rotorInertia: 5e-5, frictionTorque: 0.01 });
  const kinds = new Set<string>();
  fc.assert(
    fc.property(anySample(), (sample) => {
      const duty = dutyOfSample(sample);
      const { work, turnover, gearLoss } = ledger(sample, duty, gearbox);
      const [inertial = 0, motoring = 0, regenerating = 0, resting = 0, turned = 0] = duty.power;
      expect((motoring + regenerating + resting) * duty.period).toEqual(within(work, 1e-9 * turnover));
      const { inertia, flow, drag } = torqueFactors(duty, motor, gearbox);
      const shaft =
        inertia * inertial + flow[0] * motoring + flow[1] * regenerating + flow[2] * resting + drag * turned;
      const lost = gearLoss + 0.03 * 7 * duty.meanSpeed * duty.period;
      expect(shaft * 7 * duty.period).toEqual(within(work + lost, 1e-9 * (turnover + lost)));
      kinds.add(sample.mechanism.kind);
    }),
    { seed: 31, numRuns: 250 },
  );
  expect(kinds.size).toBe(6);
});

/** The sample with everything that makes force multiplied. */
function scaled(sample: AnySample, factor: number): AnySample {
  const { mechanism, load, motion } = sample;
  const times = (value = 0): number => value * factor;
  return {
    ...sample,
    mechanism: { ...mechanism, inertia: times(mechanism.inertia), dragTorque: times(mechanism.dragTorque) },
    load: {
      ...load,
      mass: times(load.mass),
      frictionForce: times(load.frictionForce),
      viscous: times(load.viscous),
      force: times(load.force),
      counterbalance: times(load.counterbalance),
      imbalance: times(load.imbalance),
    },
    motion: motion.map((segment) => ({ ...segment, force: times(segment.force), payload: times(segment.payload) })),
  };
}

test("twice the masses, inertias and forces take twice the torque", () => {
  fc.assert(
    fc.property(anySample(), (sample) => {
      const [once, twice] = [dutyOfSample(sample), dutyOfSample(scaled(sample, 2))];
      expect(twice.peakTorque.value).toEqual(near(2 * once.peakTorque.value, 1e-9));
      expect(twice.equivalentTorque).toEqual(near(2 * once.equivalentTorque, 1e-9));
      expect(twice.hangingTorque).toEqual(near(2 * once.hangingTorque, 1e-9));
      expect(twice.largestInertia).toEqual(near(2 * once.largestInertia, 1e-9));
      expect(twice.smallestInertia).toEqual(near(2 * once.smallestInertia, 1e-9));
      expect(twice.peakSpeed).toEqual(once.peakSpeed);
      const power = [0, 2, 2, 2, 0];
      once.gram.forEach((value, k) => {
        const factor = 2 ** [Math.floor(k / 5), k % 5].filter((index) => power[index] === 2).length;
        expect(twice.gram[k]).toEqual(
          within(
            factor * value,
            1e-9 * Math.sqrt((once.gram[6 * Math.floor(k / 5)] ?? 0) * (once.gram[6 * (k % 5)] ?? 0)) * factor,
          ),
        );
      });
    }),
    { seed: 33, numRuns: 150 },
  );
});

test("the outcome does not hang on the units: scaled lengths, times and masses scale every figure", () => {
  // Gravity stays what it is, so a length goes with the square of a time.
  fc.assert(
    fc.property(
      anySample(),
      fc.integer({ min: 2, max: 30 }),
      fc.integer({ min: 1, max: 9 }),
      (sample, tenths, mass) => {
        const time = tenths / 10;
        const length = time ** 2;
        const [plain, other] = [dutyOfSample(sample), dutyOfSample(inOtherUnits(sample, { time, length, mass }))];
        expect(other.peakTorque.value).toEqual(near(plain.peakTorque.value * mass * length, 1e-8));
        expect(other.equivalentTorque).toEqual(near(plain.equivalentTorque * mass * length, 1e-8));
        expect(other.peakSpeed.value).toEqual(near(plain.peakSpeed.value / time, 1e-8));
        expect(other.largestInertia).toEqual(near(plain.largestInertia * mass * length ** 2, 1e-8));
        expect(other.gram[0]).toEqual(near((plain.gram[0] ?? 0) / time ** 4, 1e-8));
      },
    ),
    { seed: 35, numRuns: 150 },
  );
});

function inOtherUnits(
  sample: AnySample,
  { time, length, mass }: Record<"time" | "length" | "mass", number>,
): AnySample {
  const { mechanism, load } = sample;
  const rotary = mechanism.kind === "rotary";
  const way = rotary ? 1 : length;
  const heavy = rotary ? mass * length ** 2 : mass;
  const push = rotary ? mass * length : mass;
  const size =
    "lead" in mechanism
      ? { lead: mechanism.lead * length }
      : "diameter" in mechanism
        ? { diameter: mechanism.diameter * length }
        : {};
  return {
    ...sample,
    cycle: sample.cycle * time,
    start: sample.start * time,
    mechanism: {
      ...mechanism,
      ...size,
      inertia: mechanism.inertia * mass * length ** 2,
      dragTorque: mechanism.dragTorque * mass * length,
    },
    load: {
      ...load,
      mass: (load.mass ?? 0) * heavy,
      frictionForce: (load.frictionForce ?? 0) * push,
      viscous: ((load.viscous ?? 0) * push * time) / way,
      force: (load.force ?? 0) * push,
      counterbalance: (load.counterbalance ?? 0) * push,
      imbalance: (load.imbalance ?? 0) * push,
    },
    motion: sample.motion.map((segment) =>
      inOtherTime({ ...segment, force: segment.force * push, payload: segment.payload * heavy }, { time, way }),
    ),
  };
}

function inOtherTime(segment: Segment, { time, way }: { time: number; way: number }): Segment {
  if (segment.kind === "move")
    return { ...segment, distance: segment.distance * way, time: (segment.time ?? Number.NaN) * time };
  if (segment.kind === "dwell") return { ...segment, time: segment.time * time };
  if (segment.kind === "follow") {
    const { table } = segment;
    const size = table.of === "velocity" ? way / time : way;
    const [times, values] = [table.times.map((t) => t * time), table.values.map((value) => value * size)];
    return { ...segment, table: { ...table, times, values } };
  }
  const down = segment.decelerateTime === undefined ? {} : { decelerateTime: segment.decelerateTime * time };
  return {
    ...segment,
    speed: (segment.speed * way) / time,
    time: segment.time * time,
    accelerateTime: segment.accelerateTime * time,
    ...down,
  };
}

test("without friction and losses, motion run backwards swaps motoring and regenerating", () => {
  const moves = anySample({ lossless: true }).filter(({ motion }) => motion.every(({ kind }) => kind !== "run"));
  fc.assert(
    fc.property(moves, (sample) => {
      const [there, back] = [
        dutyOfSample(sample),
        dutyOfSample({ ...sample, motion: backwards(sample.motion), start: -sample.start }),
      ];
      expect(unswapped(there, back)).toEqual([]);
    }),
    { seed: 37, numRuns: 150 },
  );
});

const share = fc.integer({ min: 0, max: 1000 }).map((step) => step / 1000);
const anyPair: fc.Arbitrary<{ motor: Motor; gearbox: Gearbox | undefined }> = fc
  .tuple(share, share, share, share, fc.boolean())
  .map(([rotor, ratio, loss, drag, geared]) => ({
    motor: motorWith({ rotorInertia: 1e-6 + 2e-4 * rotor, frictionTorque: 0.05 * drag }),
    gearbox: geared
      ? gearboxWith({
          ratio: 1 + 40 * ratio,
          efficiency: 1 - 0.4 * loss,
          backEfficiency: 1 - 0.9 * loss,
          inertia: 1e-5 * drag,
          dragTorque: 0.03 * drag,
        })
      : undefined,
  }));

test("RMS torque by the Gram form is the RMS of the torque over time, by Simpson's rule", () => {
  fc.assert(
    fc.property(anySample(), anyPair, (sample, { motor, gearbox }) => {
      const duty = dutyOfSample(sample);
      const factors = torqueFactors(duty, motor, gearbox);
      const square = duty.pieces.reduce((sum, piece) => {
        const torque = motorTorque(piece, factors);
        return sum + simpson((t) => torque(t) ** 2, piece.from, piece.to, 1024);
      }, 0);
      expect(meanSquareTorque(duty, factors)).toEqual(near(square / duty.period, 1e-9));
    }),
    { seed: 39, numRuns: 120 },
  );
});

test("no sample of a signal lies above its supremum, and some come near it", () => {
  fc.assert(
    fc.property(anySample(), anyPair, (sample, { motor, gearbox }) => {
      const duty = dutyOfSample(sample);
      const torqueOn = (piece: SignalPiece): ((t: number) => number) => {
        const torque = motorTorque(piece, torqueFactors(duty, motor, gearbox));
        return (t) => Math.abs(torque(t));
      };
      const peak = supremum(duty.pieces, torqueOn);
      let most = 0;
      for (const piece of duty.pieces) {
        const torque = torqueOn(piece);
        for (let k = 0; k <= 500; k++) most = Math.max(most, torque(piece.from + ((piece.to - piece.from) * k) / 500));
      }
      expect(most).toBeLessThanOrEqual(peak.value * (1 + 1e-9));
      expect(most).toBeGreaterThanOrEqual(peak.value * (1 - 1e-4));
    }),
    { seed: 41, numRuns: 150 },
  );
});

test("the parts of a cycle add up to the whole", () => {
  fc.assert(
    fc.property(anySample(), share, share, (sample, a, b) => {
      const duty = dutyOfSample(sample);
      const [first, last] = [Math.min(a, b) * duty.period, Math.max(a, b) * duty.period];
      const parts = [
        { from: 0, to: first },
        { from: first, to: last },
        { from: last, to: duty.period },
      ].map((span) => spanDuty(duty, [span]));
      const together = spanDuty(duty, [{ from: 0, to: duty.period }]);
      duty.gram.forEach((value, k) => {
        const scale = Math.sqrt((duty.gram[6 * Math.floor(k / 5)] ?? 0) * (duty.gram[6 * (k % 5)] ?? 0));
        expect(parts.reduce((sum, { gram }) => sum + (gram[k] ?? 0), 0)).toEqual(within(value, 1e-9 * scale + 1e-300));
        expect(together.gram[k]).toEqual(within(value, 1e-9 * scale + 1e-300));
      });
      expect(parts.reduce((sum, { meanSquareSpeed }) => sum + meanSquareSpeed, 0)).toEqual(
        near(duty.meanSquareSpeed, 1e-9),
      );
    }),
    { seed: 43, numRuns: 100 },
  );
});

/** A bound with room for rounding. */
function room(bound: number, scale: number): number {
  return bound * (1 + 1e-9) + 1e-9 * scale;
}

test("for every carried mass in a range, demands stay within the slack of the range's duty", () => {
  fc.assert(
    fc.property(anySample(), share, share, share, anyPair, (sample, low, width, at, { motor, gearbox }) => {
      const rotary = sample.mechanism.kind === "rotary";
      const [from, to] = [low * (rotary ? 0.2 : 10), (low + width) * (rotary ? 0.2 : 10)];
      const mass = from + at * (to - from);
      const ranged = dutyOfSample(sample, { low: from, high: to });
      const exact = dutyOfSample(sample, { low: mass, high: mass });
      const { slack } = ranged;
      expect(exact.peakTorque.value).toEqual(within(ranged.peakTorque.value, room(slack.peak, exact.peakTorque.value)));
      expect(exact.equivalentTorque).toEqual(
        within(ranged.equivalentTorque, room(slack.equivalent, exact.equivalentTorque)),
      );
      expect(exact.hangingTorque).toEqual(within(ranged.hangingTorque, room(slack.hanging, exact.hangingTorque)));
      expect(exact.largestInertia).toEqual(within(ranged.largestInertia, room(slack.inertia, exact.largestInertia)));
      expect(exact.smallestInertia).toEqual(within(ranged.smallestInertia, room(slack.inertia, exact.smallestInertia)));
      const factors = torqueFactors(exact, motor, gearbox);
      const reach = Math.max(...factors.flow.map(Math.abs));
      const rms = Math.sqrt(meanSquareTorque(exact, factors));
      expect(rms).toEqual(within(Math.sqrt(meanSquareTorque(ranged, factors)), room(slack.rms * reach, rms)));
    }),
    { seed: 45, numRuns: 250 },
  );
});
