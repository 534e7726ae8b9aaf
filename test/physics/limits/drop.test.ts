import * as fc from "fast-check";
import { expect, test } from "vitest";
import { dropOf } from "../../../src/physics/limits/drop.ts";
import { positionAt, speedAt } from "../../../src/physics/motion/curve.ts";
import { anySample, between } from "../any-axis.ts";
import { near } from "../near.ts";
import { cycleOfSample, dutyOfSample, dwell, LOSSLESS, move, run, type Sample } from "../sample-axis.ts";
import { gearboxWith, motorWith, pickOf } from "../sample-parts.ts";

const G = 9.80665;
const RACK = {
  ...LOSSLESS,
  kind: "rack",
  diameter: 0.05,
  efficiency: 0.5,
  backEfficiency: 0.5,
  inertia: 2e-3,
} as const;
const PARTS = {
  motor: motorWith({ rotorInertia: 1e-3, brakeInertia: 5e-4, frictionTorque: 0.2 }),
  gearbox: gearboxWith({ ratio: 4, inertia: 1e-4, efficiency: 0.7, backEfficiency: 0.5 }),
};

/** A weight on a rack, down and up 0.4 m in 0.8 s each. */
function lift(load: Sample["load"]): Sample {
  const motion = [move(-0.4, { time: 0.8 }), dwell(0.3), move(0.4, { time: 0.8 }), dwell(0.3)];
  return { mechanism: RACK, load: { incline: Math.PI / 2, ...load }, motion };
}

test("10 kg on a rack behind 4:1 drop for 60 ms: by hand, without friction or efficiency", () => {
  const drop = dropOf(pickOf(dutyOfSample(lift({ mass: 10, frictionForce: 30 })), PARTS), 0.06);
  // 16 × 1.6 g·m² before the gearbox, 2 g·m² on the pinion, and 10 kg at 25 mm.
  const acceleration = (10 * G * 0.025) / (16 * 1.6e-3 + 2e-3 + 10 * 0.025 ** 2);
  const fallen = 0.025 * acceleration * 0.5 * 0.06 ** 2;
  expect(drop.fromStandstill).toEqual(near(fallen, 1e-12));
  // Thirds: 1.5 × 0.4 m / 0.8 s is its largest speed down.
  expect(drop.fromMotion).toEqual(near(0.75 * 0.06 + fallen, 1e-9));
});

test("a free weight falls as bodies do: half a metre less than 5 m in the first second (Galileo's law, ½·g·t²)", () => {
  const mechanism = { ...LOSSLESS, kind: "belt", diameter: 0.2 } as const;
  const load = { mass: 3, incline: Math.PI / 2 };
  const drop = dropOf(pickOf(dutyOfSample({ mechanism, load, motion: [dwell(1)] })), 1);
  expect(drop).toEqual({ fromStandstill: near(4.903325, 1e-12), fromMotion: near(4.903325, 1e-12) });
});

test("what only rises has no speed to fall with, and what a counterbalance holds does not fall", () => {
  const rising = { ...lift({ mass: 10 }), motion: [run(0.5, 2)] };
  const up = dropOf(pickOf(dutyOfSample(rising), PARTS), 0.06);
  expect(up.fromMotion).toEqual(near(up.fromStandstill, 1e-12));
  const balanced = dropOf(pickOf(dutyOfSample(lift({ mass: 10, counterbalance: 10 * G })), PARTS), 0.06);
  expect(balanced.fromStandstill).toBeLessThan(1e-12);
  // More than balanced: it falls upwards.
  const over = dropOf(
    pickOf(dutyOfSample({ ...rising, load: { incline: Math.PI / 2, mass: 10, counterbalance: 150 } }), PARTS),
    0.06,
  );
  expect(over.fromMotion).toEqual(near(0.5 * 0.06 + over.fromStandstill, 1e-9));
});

/** Weight and imbalance less counterbalance along the motion [N], rotary [N·m]. */
function pull(sample: Required<Pick<Sample, "mechanism" | "load" | "motion">>, segment: number, q: number): number {
  const { load, mechanism, motion } = sample;
  const { mass = 0, incline = 0, counterbalance = 0, imbalance = 0, imbalanceAngle = 0, tilt = 0 } = load;
  const carried = mass + (motion[segment]?.payload ?? 0);
  const weight = mechanism.kind === "rotary" ? 0 : carried * G * Math.sin(incline);
  return weight + G * Math.sin(tilt) * imbalance * Math.cos(q + imbalanceAngle) - counterbalance;
}

test("no fall that begins in the cycle is longer, stepped through time with what pulls there", () => {
  let reached = 0;
  fc.assert(
    fc.property(anySample(), between(0.015, 0.12), between(0, 1), (sample, time, at) => {
      const drop = dropOf(pickOf(dutyOfSample(sample), PARTS), time);
      const cycle = cycleOfSample(sample);
      const instant = at * cycle.period;
      const piece = cycle.pieces.find(({ from, to }) => from <= instant && instant <= to);
      if (piece === undefined) return;
      const { mechanism, load, motion } = sample;
      const travel =
        "lead" in mechanism ? mechanism.lead / (2 * Math.PI) : "diameter" in mechanism ? mechanism.diameter / 2 : 1;
      const start = positionAt(piece.curve, instant - piece.from);
      const force = pull({ mechanism, load, motion }, piece.segment, start);
      const mass = (load.mass ?? 0) + (motion[piece.segment]?.payload ?? 0);
      const rotor = 16 * (1e-3 + 5e-4 + 1e-4 + mechanism.couplingInertia) + mechanism.inertia;
      const acceleration = -force / (mass + rotor / travel ** 2);
      let [q, v] = [start, speedAt(piece.curve, instant - piece.from)];
      for (let k = 0; k < 200; k++) {
        const step = time / 200;
        q += v * step + (acceleration * step ** 2) / 2;
        v += acceleration * step;
      }
      const fallen = (q - start) * -Math.sign(force);
      expect(fallen).toBeLessThanOrEqual(drop.fromMotion * (1 + 1e-9) + 1e-12);
      if (fallen > 0.5 * drop.fromMotion && fallen > 0) reached += 1;
    }),
    { seed: 71, numRuns: 300 },
  );
  expect(reached).toBeGreaterThan(15);
});

test("a longer time drops farther, more rotor inertia less", () => {
  fc.assert(
    fc.property(anySample(), between(0.015, 0.12), (sample, time) => {
      const duty = dutyOfSample(sample);
      const base = dropOf(pickOf(duty, PARTS), time);
      const later = dropOf(pickOf(duty, PARTS), 1.5 * time);
      const heavier = dropOf(pickOf(duty, { ...PARTS, motor: motorWith({ rotorInertia: 2e-3 }) }), time);
      expect(later.fromMotion).toBeGreaterThanOrEqual(1.5 * base.fromMotion * (1 - 1e-12));
      expect(later.fromStandstill).toEqual(near(2.25 * base.fromStandstill, 1e-9));
      expect(heavier.fromStandstill).toBeLessThanOrEqual(base.fromStandstill);
    }),
    { seed: 72, numRuns: 100 },
  );
});
