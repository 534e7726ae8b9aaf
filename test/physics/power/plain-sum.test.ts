import * as fc from "fast-check";
import { expect, test } from "vitest";
import { torqueFactors } from "../../../src/physics/limits/pick-duty.ts";
import { motorRating } from "../../../src/physics/limits/rating.ts";
import { busPower, meanOfSign, meanPower, powerPeak, worstWindow } from "../../../src/physics/power/bus-power.ts";
import { type PairPower, pairPower } from "../../../src/physics/power/pair-power.ts";
import { anySample } from "../any-axis.ts";
import { within } from "../near.ts";
import { dutyOfSample, MILD_SITE } from "../sample-axis.ts";
import { gearboxWith, motorWith } from "../sample-parts.ts";

const MOTOR = motorWith({
  rotorInertia: 4e-5,
  frictionTorque: 0.02,
  resistance: 2,
  stallTorque: 2,
  torqueConstant: 0.7,
});
const GEARBOX = gearboxWith({ ratio: 6, efficiency: 0.93, backEfficiency: 0.85, inertia: 1e-5, dragTorque: 0.01 });

/** The sum without short cuts: base and current of each piece, read apart. */
interface Plain {
  readonly spans: readonly (readonly [number, number])[];
  readonly at: (t: number, inside: number) => number;
}

function plainSum(pairs: readonly PairPower[], lossPerAmp: number, constant: number, period: number): Plain {
  const times = new Set([0, period, ...pairs.flatMap(({ pieces }) => pieces.flatMap(({ from, to }) => [from, to]))]);
  const sorted = [...times].toSorted((a, b) => a - b);
  const figures = { base: 0, current: 0, looseBase: 0, looseCurrent: 0 };
  return {
    spans: sorted.slice(1).map((to, k) => [sorted[k] ?? 0, to] as const),
    at: (t, inside) =>
      pairs.reduce((sum, { pieces }) => {
        const piece = pieces.find(({ to }) => to >= inside);
        piece?.read(t, figures);
        return piece === undefined ? sum : sum + figures.base + lossPerAmp * figures.current;
      }, constant),
  };
}

/** Integral by Simpson's rule in 400 steps. */
function simpson(f: (t: number) => number, from: number, to: number): number {
  const h = (to - from) / 400;
  let sum = f(from) + f(to);
  for (let k = 1; k < 400; k++) sum += (k % 2 === 0 ? 2 : 4) * f(from + k * h);
  return (sum * h) / 3;
}

test("peak, mean and energy of a bus are those of a sum that takes no short cuts", () => {
  fc.assert(
    fc.property(anySample(), fc.double({ min: -50, max: 50, noNaN: true }), (sample, constant) => {
      const duty = dutyOfSample(sample);
      const parts = [undefined, GEARBOX];
      const pairs = parts.map((gearbox) =>
        pairPower({
          duty,
          motor: MOTOR,
          rating: motorRating(MOTOR, duty.axis.needs, MILD_SITE),
          factors: torqueFactors(duty, MOTOR, gearbox),
          ratio: gearbox?.ratio ?? 1,
        }),
      );
      const loads = pairs.map((pair) => ({ pair, lossPerAmp: 3 }));
      const bus = busPower(loads, constant, duty.period);
      const plain = plainSum(pairs, 3, constant, duty.period);
      let [most, least, all, taken, scale] = [-Infinity, Infinity, 0, 0, Math.abs(constant)];
      for (const [from, to] of plain.spans) {
        const middle = (from + to) / 2;
        const power = (t: number): number => plain.at(t, middle);
        for (let k = 0; k <= 400; k++) {
          const value = power(from + ((to - from) * k) / 400);
          [most, least] = [Math.max(most, value), Math.min(least, value)];
        }
        all += simpson(power, from, to);
        taken += simpson((t) => Math.max(0, power(t)), from, to);
      }
      scale += Math.max(Math.abs(most), Math.abs(least));
      // A sampled peak lies below the true one by what the curve turns in half a step; the true one is met by the sum itself.
      for (const [sign, sampled] of [
        [1, most],
        [-1, -least],
      ] as const) {
        const peak = powerPeak(bus, sign);
        expect(peak.value).toBeGreaterThanOrEqual(sampled - 1e-12 * scale);
        expect(peak.value).toEqual(within(sampled, 1e-4 * scale));
        expect(peak.value).toEqual(within(sign * plain.at(peak.time, peak.inside), 1e-12 * scale));
      }
      expect(meanPower(bus) * duty.period).toEqual(within(all, 1e-9 * scale * duty.period));
      expect(meanOfSign(bus, 1) * duty.period).toEqual(within(taken, 1e-4 * scale * duty.period));
      expect(meanOfSign(bus, 1) + meanOfSign(bus, -1)).toEqual(within(meanPower(bus), 1e-12 * scale));
      expect(worstWindow(bus)).toBe(worstWindow(bus));
    }),
    { seed: 83, numRuns: 60 },
  );
});
