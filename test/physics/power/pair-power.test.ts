import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { Gearbox, Motor } from "../../../src/machine/catalogue.ts";
import type { Duty, MassRange } from "../../../src/physics/duty/duty.ts";
import { meanSquareTorque, motorTorque, torqueFactors } from "../../../src/physics/limits/pick-duty.ts";
import { motorRating } from "../../../src/physics/limits/rating.ts";
import { busPower, meanOfSign, meanPower, powerPeak } from "../../../src/physics/power/bus-power.ts";
import {
  extremes,
  figuresAt,
  leastPower,
  meanFigures,
  mostPower,
  shareOfMean,
} from "../../../src/physics/power/coefficients.ts";
import { type PairPower, type PowerFigures, pairPower } from "../../../src/physics/power/pair-power.ts";
import { anySample, lengthOf } from "../any-axis.ts";
import { near, within } from "../near.ts";
import { dutyOfSample, MILD_SITE, type Sample } from "../sample-axis.ts";
import { gearboxWith, motorWith } from "../sample-parts.ts";

const MOTOR = motorWith({
  rotorInertia: 4e-5,
  frictionTorque: 0.02,
  resistance: 2,
  stallTorque: 2,
  ratedTorque: 1.5,
  ratedSpeed: 300,
  torqueConstant: 0.7,
});
const GEARBOX = gearboxWith({ ratio: 6, efficiency: 0.93, backEfficiency: 0.85, inertia: 1e-5, dragTorque: 0.01 });
const LOSS = 3;

function powerOf(duty: Duty, motor: Motor, gearbox: Gearbox | undefined): PairPower {
  const rating = motorRating(motor, duty.axis.needs, MILD_SITE);
  return pairPower({ duty, motor, rating, factors: torqueFactors(duty, motor, gearbox), ratio: gearbox?.ratio ?? 1 });
}

function pairOf(sample: Sample, carried?: MassRange): { duty: Duty; pair: PairPower } {
  const duty = dutyOfSample(sample, carried);
  return { duty, pair: powerOf(duty, MOTOR, GEARBOX) };
}

/** Power at the bus from torque and speed, worked out here: P = τω + 3·R·(τ/Kt)² + 3·R·β·ω²/Kt² + loss·|τ|/Kt. */
function plainPower(torque: number, speed: number): number {
  const hot = 1 * ((234.5 + 130) / 259.5);
  const beta = (2 ** 2 - 1.5 ** 2) / 300 ** 2;
  return torque * speed + (3 * hot * (torque ** 2 + beta * speed ** 2)) / 0.7 ** 2 + (LOSS * Math.abs(torque)) / 0.7;
}

test("power at every instant is shaft power, copper, speed loss and the drive's share", () => {
  fc.assert(
    fc.property(anySample(), fc.integer({ min: 0, max: 999 }), (sample, step) => {
      const { duty, pair } = pairOf(sample);
      const factors = torqueFactors(duty, MOTOR, GEARBOX);
      for (const piece of duty.pieces) {
        const time = piece.from + ((piece.to - piece.from) * (step + 0.5)) / 1000;
        const wanted = plainPower(motorTorque(piece, factors)(time), 6 * piece.speed(time));
        const found = figuresAt(pair, { time, inside: time });
        expect(leastPower(found, LOSS)).toEqual(within(wanted, 1e-9 * (Math.abs(wanted) + 1)));
        expect(mostPower(found, LOSS)).toBe(leastPower(found, LOSS));
      }
    }),
    { seed: 61, numRuns: 100 },
  );
});

test("energy: the mean over a cycle is mean shaft power and the heat of ⟨τ²⟩ and ⟨ω²⟩", () => {
  fc.assert(
    fc.property(anySample(), (sample) => {
      const { duty, pair } = pairOf(sample);
      const factors = torqueFactors(duty, MOTOR, GEARBOX);
      const u = [factors.inertia, ...factors.flow, factors.drag];
      const shaft = 6 * duty.power.reduce((sum, value, k) => sum + value * (u[k] ?? 0), 0);
      const hot = (234.5 + 130) / 259.5;
      const beta = (2 ** 2 - 1.5 ** 2) / 300 ** 2;
      const heat = (3 * hot * (meanSquareTorque(duty, factors) + beta * 36 * duty.meanSquareSpeed)) / 0.7 ** 2;
      const { base, current } = meanFigures(pair);
      expect(base).toEqual(within(shaft + heat, 1e-9 * (Math.abs(shaft) + heat)));
      // |τ| lies between ⟨τ²⟩/max|τ| and the RMS.
      expect(current * 0.7).toBeLessThanOrEqual(Math.sqrt(meanSquareTorque(duty, factors)) * (1 + 1e-9));
      const bus = busPower([{ pair, lossPerAmp: LOSS }], 0, pair.period);
      expect(meanPower(bus)).toEqual(near(base + LOSS * current, 1e-9));
      expect(meanOfSign(bus, 1) + meanOfSign(bus, -1)).toEqual(within(meanPower(bus), 1e-9 * meanOfSign(bus, 1)));
      const { most, least } = extremes(pair, LOSS);
      expect(powerPeak(bus, 1).value).toEqual(within(most, 1e-6 * Math.abs(most)));
      expect(powerPeak(bus, -1).value).toEqual(within(-least, 1e-6 * (Math.abs(least) + Math.abs(most))));
    }),
    { seed: 63, numRuns: 120 },
  );
});

test("no instant lies outside the extremes, nor above the bus's peak", () => {
  fc.assert(
    fc.property(anySample(), anySample(), (one, other) => {
      const pairs = [one, { ...other, cycle: one.cycle, start: 0.3 }].map((sample, k) =>
        k === 0 ? pairOf(one).pair : shared(sample, one.cycle),
      );
      const bus = busPower(
        pairs.map((pair) => ({ pair, lossPerAmp: LOSS })),
        12,
        one.cycle,
      );
      const [most, back] = [powerPeak(bus, 1).value, powerPeak(bus, -1).value];
      for (let k = 0; k < 2000; k++) {
        const time = ((k + 0.5) / 2000) * one.cycle;
        const sum = pairs.reduce((all, pair) => all + leastPower(figuresAt(pair, { time, inside: time }), LOSS), 12);
        expect(sum).toBeLessThanOrEqual(most + 1e-6 * Math.abs(most));
        expect(-sum).toBeLessThanOrEqual(back + 1e-6 * (Math.abs(back) + Math.abs(most)));
      }
    }),
    { seed: 65, numRuns: 40 },
  );
});

/** The sample's motion squeezed into another cycle. */
function shared(
  sample: ReturnType<typeof anySample> extends fc.Arbitrary<infer S> ? S : never,
  cycle: number,
): PairPower {
  const length = sample.motion.reduce((sum, segment) => sum + lengthOf(segment), 0);
  const factor = (cycle / length) * (1 - 1e-12);
  const motion = sample.motion.map((segment) => {
    if (segment.kind === "run") {
      const down = segment.decelerateTime === undefined ? {} : { decelerateTime: segment.decelerateTime * factor };
      return { ...segment, time: segment.time * factor, accelerateTime: segment.accelerateTime * factor, ...down };
    }
    if (segment.kind === "follow") {
      const { table } = segment;
      return { ...segment, table: { ...table, times: table.times.map((t) => t * factor) } };
    }
    return { ...segment, time: (segment.time ?? 0) * factor };
  });
  return pairOf({ ...sample, motion, cycle }).pair;
}

test("shares of the cycle add up to its mean", () => {
  const share = fc.integer({ min: 0, max: 1000 }).map((step) => step / 1000);
  fc.assert(
    fc.property(anySample(), share, share, (sample, a, b) => {
      const { pair } = pairOf(sample);
      const [first, last] = [Math.min(a, b) * pair.period, Math.max(a, b) * pair.period];
      const inner = shareOfMean(pair, [{ from: first, to: last }]);
      const outer = shareOfMean(pair, [
        { from: 0, to: first },
        { from: last, to: pair.period },
      ]);
      const whole = meanFigures(pair);
      expect(inner.current + outer.current).toEqual(near(whole.current, 1e-9));
      expect(inner.base + outer.base).toEqual(within(whole.base, 1e-9 * (Math.abs(inner.base) + Math.abs(outer.base))));
    }),
    { seed: 67, numRuns: 100 },
  );
});

/** True where a known power lies between the bounds of a range, to rounding. */
function holds(bounds: PowerFigures, known: PowerFigures): boolean {
  const power = leastPower(known, LOSS);
  const room = 1e-9 * (Math.abs(power) + Math.abs(mostPower(bounds, LOSS)) + 1);
  return power >= leastPower(bounds, LOSS) - room && power <= mostPower(bounds, LOSS) + room;
}

test("with a range of carried mass, power at any mass of it lies between least and most", () => {
  const share = fc.integer({ min: 0, max: 1000 }).map((step) => step / 1000);
  let loose = 0;
  fc.assert(
    fc.property(anySample(), share, share, share, (sample, low, width, at) => {
      const size = sample.mechanism.kind === "rotary" ? 0.2 : 10;
      const range = { low: low * size, high: (low + width) * size };
      const mass = range.low + at * (range.high - range.low);
      const ranged = pairOf(sample, range).pair;
      const exact = pairOf(sample, { low: mass, high: mass }).pair;
      const seen = [{ bounds: meanFigures(ranged), known: meanFigures(exact) }];
      for (let k = 0; k < 40; k++) {
        const time = ((k + 0.37) / 40) * exact.period;
        seen.push({
          bounds: figuresAt(ranged, { time, inside: time }),
          known: figuresAt(exact, { time, inside: time }),
        });
      }
      expect(seen.filter(({ bounds, known }) => !holds(bounds, known))).toEqual([]);
      loose += seen.filter(({ bounds }) => mostPower(bounds, LOSS) > leastPower(bounds, LOSS)).length;
    }),
    { seed: 69, numRuns: 150 },
  );
  expect(loose).toBeGreaterThan(1000);
});
