import { expect, test } from "vitest";
import { dutyOfSample, move, run } from "./sample-axis.ts";

test("peaks tell the instant they first happen, also in the first piece", () => {
  const duty = dutyOfSample({ load: { mass: 1, viscous: 2 }, motion: [move(3, { time: 1 })] });
  expect(duty.peakSpeed.value).toBeCloseTo(4.5, 9);
  expect(duty.peakSpeed.at).toBeCloseTo(1 / 3, 9);
  expect(duty.peakTorque.value).toBeCloseTo(13.5 + 9, 9);
  expect(duty.peakTorque.at).toBeCloseTo(1 / 3, 9);
});

test("an axis that runs all the time has its peak at time 0", () => {
  const duty = dutyOfSample({ load: { viscous: 2 }, motion: [run(3, 1)] });
  expect(duty.peakTorque).toEqual({ at: 0, value: 6 });
});
