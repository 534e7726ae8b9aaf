import * as fc from "fast-check";
import { expect, test } from "vitest";
import { supremum } from "../../src/physics/duty/duty.ts";
import { meanSquareTorque, motorTorque, torqueFactors } from "../../src/physics/limits/pick-duty.ts";
import { dutyOf } from "../../src/verify/duty.ts";
import { gridOf, motionOf, sampled } from "../../src/verify/motion.ts";
import { shaftOf } from "../../src/verify/shaft.ts";
import { anySample } from "../physics/any-axis.ts";
import { near } from "../physics/near.ts";
import { axisOf, dutyOfSample } from "../physics/sample-axis.ts";
import { gearboxWith, motorWith } from "../physics/sample-parts.ts";

test("axes that follow a table demand what the second evaluator steps through", () => {
  const motor = motorWith({ rotorInertia: 4e-5, frictionTorque: 0.01 });
  const gearbox = gearboxWith({ ratio: 5, efficiency: 0.9, backEfficiency: 0.8, dragTorque: 0.02, inertia: 1e-5 });
  const seen = { position: 0, velocity: 0 };
  const following = anySample().filter(({ motion }) => motion.some(({ kind }) => kind === "follow"));
  fc.assert(
    fc.property(following, (sample) => {
      const axis = axisOf(sample);
      const ours = dutyOfSample(sample);
      const motion = motionOf(axis, sample.cycle);
      const shaft = shaftOf(axis, 0, sampled(motion, gridOf([motion], motion.period, 1600, 1600)));
      const theirs = dutyOf(axis, shaft, motor, gearbox, 0);
      const factors = torqueFactors(ours, motor, gearbox);
      const peak = supremum(ours.pieces, (piece) => {
        const torque = motorTorque(piece, factors);
        return (t) => Math.abs(torque(t));
      });
      expect(Math.sqrt(meanSquareTorque(ours, factors))).toEqual(near(theirs.rmsTorque, 1e-4));
      expect(peak.value).toEqual(near(theirs.peakTorque, 1e-4));
      expect(ours.peakTorque.value).toEqual(near(theirs.outputPeak, 1e-4));
      expect(ours.equivalentTorque).toEqual(near(theirs.outputMean, 1e-4));
      expect(ours.peakSpeed.value * 5).toEqual(near(theirs.topSpeed, 1e-4));
      expect(ours.meanSpeed * 5).toEqual(near(theirs.meanSpeed, 1e-6));
      expect(Math.sqrt(ours.meanSquareSpeed) * 5).toEqual(near(theirs.rmsSpeed, 1e-6));
      for (const segment of sample.motion) if (segment.kind === "follow") seen[segment.table.of] += 1;
    }),
    { seed: 71, numRuns: 80, endOnFailure: true },
  );
  expect(Math.min(seen.position, seen.velocity)).toBeGreaterThan(20);
});
