import type { Winder } from "../../src/machine/mechanism.ts";
import { derived } from "./reference.ts";
import { dwell, LOSSLESS, move, run, type Sample } from "./sample-axis.ts";
import type { motorWith } from "./sample-parts.ts";

const PER_MINUTE = (2 * Math.PI) / 60;

/** Two seconds at 10 rad/s against a friction of 3 N·m. */
export const TURNING: Sample = { load: { mass: 0.05, frictionForce: 3 }, motion: [run(10, 2)] };

/** A weight of 4 kg on a belt of 25 mm radius, up 0.2 m in 1 s and down again, a second's rest after each. */
export const LIFT: Sample = {
  mechanism: { kind: "belt", diameter: 0.05, ...LOSSLESS },
  load: { mass: 4, incline: Math.PI / 2 },
  motion: [move(0.2, { time: 1 }), dwell(1), move(-0.2, { time: 1 }), dwell(1)],
  cycle: 4,
};

/** Speed of the reversing drive of example W9 [rad/s], and its cycle. */
export const REVERSING_SPEED = 200 * PER_MINUTE;
export const REVERSING: Sample = {
  load: { mass: 10_000 },
  motion: [
    run(REVERSING_SPEED, 10, { force: 25_000 }),
    run(REVERSING_SPEED, 1),
    run(-REVERSING_SPEED, 6, { accelerateTime: 5 }),
    run(-REVERSING_SPEED, 15, { force: -20_000 }),
    run(-REVERSING_SPEED, 1),
    run(REVERSING_SPEED, 6, { accelerateTime: 5 }),
  ],
};

/** The roll of WIND-1. */
export const ROLL: Winder = {
  kind: "winder",
  coreDiameter: 0.1,
  startDiameter: 0.5,
  webWidth: 0.5,
  webDensity: 900,
  webThickness: 50e-6,
  tension: 100,
  ...LOSSLESS,
};

/** The motor of KT-1 and VLIM-1, its resistance as at 25 °C. */
export function sineMotor(): NonNullable<Parameters<typeof motorWith>[0]> {
  return {
    poles: 8,
    torqueConstant: derived("KT-1", "Kt = 3/sqrt2 p lambda (rms)"),
    voltageConstant: derived("KT-1", "Ke_LLrms = sqrt(3/2) p lambda"),
    resistance: 1,
    inductance: 0.008,
    windingLimit: 25,
    referenceAmbient: 20,
  };
}
