import * as fc from "fast-check";
import { expect, test } from "vitest";
import { heatFormsOf, largestHeat } from "../../src/candidates/heat-form.ts";
import {
  largestSquareTorque,
  largestWindingHeat,
  windingResponses,
  windingWeights,
} from "../../src/physics/limits/heat-limits.ts";
import { anySample } from "../physics/any-axis.ts";
import { dutyOfSample } from "../physics/sample-axis.ts";
import { motorWith, pickOf } from "../physics/sample-parts.ts";

const between = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });

const ROUNDING = 1e-9;

/** Own oracle: the response filtered piece by piece (`largestResponse`), which has published checks of its own. */
test("the largest heat lies between the bounds that the form gives it", () => {
  let [judged, narrow] = [0, 0];
  fc.assert(
    fc.property(anySample(), between(0.2, 60), between(0.2, 600), between(0, 1), (sample, fast, slow, share) => {
      const duty = dutyOfSample(sample);
      const motor = motorWith({ housingTime: slow, windingShare: share });
      const source = pickOf(duty, { motor });
      const { factors } = source;
      const forms = heatFormsOf(duty);
      const questions = [
        {
          range: largestHeat(forms, [{ time: fast, weight: 1 }], { factors, weights: { torque: 1, speed: 0 } }),
          exact: largestSquareTorque(source, fast).value,
        },
        {
          range: largestHeat(forms, windingResponses(motor, fast), { factors, weights: windingWeights(source) }),
          exact: largestWindingHeat(source, fast, 0).value,
        },
      ];
      for (const { range, exact } of questions) {
        if (range === undefined) continue;
        expect(range.least).toBeLessThanOrEqual(exact * (1 + ROUNDING));
        expect(range.most).toBeGreaterThanOrEqual(exact * (1 - ROUNDING));
        judged += 1;
        if (range.most < 1.2 * range.least) narrow += 1;
      }
    }),
    { seed: 5, numRuns: 200 },
  );
  expect(judged).toBeGreaterThan(250);
  expect(narrow).toBeGreaterThan(100);
});

test("no form is made for a time constant that is short against a piece of the motion", () => {
  fc.assert(
    fc.property(anySample(), (sample) => {
      const duty = dutyOfSample(sample);
      const longest = Math.max(...duty.pieces.map(({ from, to }) => to - from));
      expect(heatFormsOf(duty)(longest / 100)).toBeUndefined();
      expect(heatFormsOf(duty)(longest)).toBeDefined();
    }),
    { seed: 6, numRuns: 20 },
  );
});
