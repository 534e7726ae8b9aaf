import * as fc from "fast-check";
import { expect, test } from "vitest";
import { stopStretches } from "../../../src/physics/duty/stops.ts";
import type { PickDuty } from "../../../src/physics/limits/pick-duty.ts";
import { largestStop, type StopPiece, stopPieces } from "../../../src/physics/power/stop-energy.ts";
import { gridOf, motionOf, sampled } from "../../../src/verify/motion.ts";
import { shaftOf } from "../../../src/verify/shaft.ts";
import { stoppedEnergy } from "../../../src/verify/stop.ts";
import { derivedCase } from "../../oracle/reference-table.ts";
import { anySample } from "../any-axis.ts";
import { near } from "../near.ts";
import { axisOf, cycleOfSample, dutyOfSample, LOSSLESS, move, run, type Sample } from "../sample-axis.ts";
import { driveWith, gearboxWith, motorWith, pickOf } from "../sample-parts.ts";

function piecesOf(sample: Sample, pick: PickDuty, time: number): StopPiece[] {
  return stopPieces(pick, stopStretches({ axis: pick.duty.axis, carried: 0, time }, cycleOfSample(sample)), time);
}

test("a flywheel at 3000/min that stops in 0.2 s returns 442.076 J of its 493.480 J (BUS-1 and BUS-2, derived)", () => {
  const top = (3000 * 2 * Math.PI) / 60;
  const sample: Sample = { load: { mass: 0.01 }, motion: [run(top, 2, { accelerateTime: 1, decelerateTime: 0.5 })] };
  const cold = { torqueConstant: 1.2, windingLimit: 25, referenceAmbient: 20, ratedTorque: 1 };
  const worst = (resistance: number): number =>
    largestStop([piecesOf(sample, pickOf(dutyOfSample(sample), { motor: motorWith({ ...cold, resistance }) }), 0.2)], 2)
      .value;
  expect(worst(1)).toEqual(near(derivedCase("BUS-2", "energy returned to bus"), 1e-6));
  expect(worst(0)).toEqual(near((0.01 * top ** 2) / 2, 1e-9));
});

test("a lossless lift that comes down returns its kinetic energy and its weight's way, m·v²/2 + m·g·v·T/2", () => {
  const sample: Sample = {
    mechanism: { kind: "belt", diameter: 0.1, ...LOSSLESS },
    load: { mass: 20, incline: Math.PI / 2 },
    motion: [run(-0.5, 1, { accelerateTime: 0.4, decelerateTime: 0.4 })],
  };
  const pick = pickOf(dutyOfSample(sample));
  const worst = largestStop([piecesOf(sample, pick, 0.3)], 1);
  expect(worst.value).toEqual(near((20 * 0.5 ** 2) / 2 + (20 * 9.80665 * 0.5 * 0.3) / 2, 1e-9));
  const [first] = piecesOf(sample, pick, 0.3);
  // From rest nothing comes back.
  expect(first?.energy(0)).toBeCloseTo(0, 12);
});

test("several axes stop at once: the worst instant of their sum, not the sum of the worst", () => {
  const motion = [move(1, { time: 1 }), move(-1, { time: 1 })];
  const pieces = (start: number): StopPiece[] => {
    const sample: Sample = { load: { mass: 1 }, motion, start, cycle: 4 };
    return piecesOf(sample, pickOf(dutyOfSample(sample)), 0.1);
  };
  const alone = largestStop([pieces(0)], 4).value;
  expect(largestStop([pieces(0), pieces(2)], 4).value).toEqual(near(alone, 1e-9));
  expect(largestStop([pieces(0), pieces(0)], 4).value).toEqual(near(2 * alone, 1e-9));
});

test("at any instant of any axis: as by stepping through the stop", () => {
  let looked = 0;
  fc.assert(
    fc.property(anySample(), fc.constantFrom(0.02, 0.1, 0.5), (sample, time) => {
      const gearbox = gearboxWith({ ratio: 4, efficiency: 0.9, backEfficiency: 0.8, inertia: 1e-5, dragTorque: 0.02 });
      const motor = motorWith({ rotorInertia: 2e-4, resistance: 1, frictionTorque: 0.03, ratedTorque: 0.8 });
      const drive = driveWith({ lossPerAmp: 2 });
      const pick = pickOf(dutyOfSample(sample), { motor, gearbox, drive });
      const pieces = piecesOf(sample, pick, time);
      const axis = axisOf(sample);
      const motion = motionOf(axis, sample.cycle ?? 0);
      const shaft = shaftOf(axis, 0, sampled(motion, gridOf([motion], motion.period, 4, 8)));
      const { grid } = shaft.sampled;
      const scale = Math.max(
        ...pieces.flatMap(({ from, to, energy }) => [energy(from), energy((from + to) / 2)].map(Math.abs)),
      );
      for (let node = 0; node < grid.time.length; node += 3) {
        const at = grid.time[node] ?? 0;
        const middle = grid.middle[node] ?? at;
        const piece = pieces.find(({ from, to }) => middle >= from && middle <= to);
        const stepped = stoppedEnergy(
          axis,
          shaft,
          { motor, gearbox, drive, inductor: null },
          { node, time, carried: 0 },
        );
        expect(Math.abs((piece?.energy(at) ?? 0) - stepped)).toBeLessThan(2e-3 * Math.max(scale, Math.abs(stepped)));
        looked += 1;
      }
    }),
    { seed: 61, numRuns: 60 },
  );
  expect(looked).toBeGreaterThan(500);
});
