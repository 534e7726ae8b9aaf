import * as fc from "fast-check";
import { expect, test } from "vitest";
import { dutyHull, gearDuty, hullPeak, meanSquare } from "../../src/candidates/gear-duty.ts";
import { anySample } from "../physics/any-axis.ts";
import { near } from "../physics/near.ts";
import { dutyOfSample } from "../physics/sample-axis.ts";
import { gearboxWith, motorWith, pickOf } from "../physics/sample-parts.ts";

const between = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });

const anyParts = fc.record({
  ratio: between(1, 60),
  efficiency: between(0.6, 1),
  backEfficiency: between(0, 0.95),
  geared: fc.boolean(),
  inertia: between(1e-6, 1e-2),
  gearInertia: between(0, 1e-3),
  drag: between(0, 0.2),
});

test("through any gearbox the RMS torque is the exact one and the peak is below it by two thousandths at most", () => {
  let [judged, lowest] = [0, 1];
  fc.assert(
    fc.property(anySample(), anyParts, (sample, { ratio, efficiency, backEfficiency, geared, ...parts }) => {
      const duty = dutyOfSample(sample);
      const { inertia, gearInertia, drag } = parts;
      const gearbox = geared
        ? gearboxWith({ ratio, efficiency, backEfficiency, inertia: gearInertia, dragTorque: drag / 2 })
        : undefined;
      const motor = motorWith({ rotorInertia: inertia, frictionTorque: drag });
      const exact = pickOf(duty, { motor, ...(gearbox === undefined ? {} : { gearbox }) });
      const seen = gearDuty(duty, dutyHull(duty), gearbox);
      expect(Math.sqrt(meanSquare(seen, exact.factors.inertia, exact.factors.drag))).toEqual(
        near(exact.rmsTorque, 1e-9),
      );
      const peak = hullPeak(seen, exact.factors.inertia, exact.factors.drag);
      expect(peak).toBeLessThanOrEqual(exact.peakTorque.value * (1 + 1e-9));
      expect(peak).toBeGreaterThanOrEqual(0.998 * exact.peakTorque.value);
      lowest = Math.min(lowest, peak / exact.peakTorque.value);
      judged += 1;
    }),
    { seed: 31, numRuns: 600 },
  );
  expect(judged).toBe(600);
  expect(lowest).toBeLessThan(1);
});
