import { expect, test } from "vitest";
import { timeAtPeak } from "../../../src/physics/limits/peak-time.ts";
import { pickDuty } from "../../../src/physics/limits/pick-duty.ts";
import { near } from "../near.ts";
import { dutyOfSample, dwell, LOSSLESS, MILD_SITE, move, type Sample } from "../sample-axis.ts";
import { driveWith, motorWith } from "../sample-parts.ts";

function timeOf(sample: Sample): number {
  const parts = { motor: motorWith({}), gearbox: undefined, drive: driveWith({}), inductor: undefined };
  return timeAtPeak(pickDuty(dutyOfSample(sample), parts, { site: MILD_SITE, bus: { low: 500, high: 600 } }));
}

const TURNED = { mechanism: { kind: "rotary", ...LOSSLESS } as const, load: { mass: 0.01 } };

test("a trapezoid asks for its peak while it speeds up, and over the end of the cycle where it does so there", () => {
  // Source: definition. Equal ramps of 0.2 s at constant torque; with friction only the way up is at the peak.
  const motion = [move(2, { time: 0.6 }), dwell(0.4)];
  expect(timeOf({ ...TURNED, motion })).toEqual(near(0.2, 1e-9));
  const load = { mass: 0.01, frictionForce: 0.05 };
  expect(timeOf({ ...TURNED, load, motion, cycle: 1, start: 0.9 })).toEqual(near(0.2, 1e-9));
});

test("triangles there and back are at their peak all the time; a harmonic move is at its peak for acos 0.95 of its half wave at either end", () => {
  const back = [move(2, { law: "triangle", time: 0.4 }), move(-2, { law: "triangle", time: 0.4 })];
  expect(timeOf({ ...TURNED, motion: back })).toEqual(near(0.8, 1e-9));
  // Acceleration (π/T)²·s/2·cos(π·t/T): above 95 % for T·acos(0.95)/π at the start and as long at the end.
  const motion = [move(2, { law: "harmonic", time: 0.5 }), dwell(0.5)];
  expect(timeOf({ ...TURNED, motion })).toEqual(near((0.5 * Math.acos(0.95)) / Math.PI, 1e-6));
});
