import { expect, test } from "vitest";
import { dutyOfSample, LOSSLESS, move, run } from "./sample-axis.ts";

const BELT = { kind: "belt", diameter: 0.05, ...LOSSLESS } as const;

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

test("rounding at the end of a move does not turn friction round", () => {
  // Lowered with 10 kg that ride down alone: friction helps to hold all the way, so the largest torque is far below m·g + friction.
  const time = 1.9443754994184237;
  const down = move(-0.05, { law: "modified-trapezoid", time, payload: 10 });
  const duty = dutyOfSample({
    load: { mass: 5, incline: Math.PI / 2, frictionForce: 60 },
    mechanism: BELT,
    motion: [down],
  });
  expect(duty.pieces.map(({ turning }) => turning)).not.toContain(1);
  const most = 15 * (9.80665 + (0.05 * 4.88812376) / time ** 2) - 60;
  expect(duty.peakTorque.value / BELT.diameter).toBeCloseTo(most / 2, 4);
});

test("a ramp that reverses over many turns of an imbalance is integrated exactly", () => {
  const motion = [
    run(40, 3, { accelerateTime: 2 }),
    run(-40, 5, { accelerateTime: 4 }),
    run(40, 3, { accelerateTime: 4 - 1 }),
  ];
  const duty = dutyOfSample({
    load: { imbalance: 1, tilt: Math.PI / 2, frictionForce: 15 },
    motion: [...motion, run(-40, 2, { accelerateTime: 1, decelerateTime: 1 })],
  });
  // Mean square of friction and imbalance g·cos(q), by the trapezoidal rule over the same speeds.
  let [square, position] = [0, 0];
  const steps = 400_000;
  const { period, pieces } = duty;
  for (let k = 0; k < steps; k++) {
    const t = ((k + 0.5) / steps) * period;
    const piece = pieces.find(({ from, to }) => t >= from && t <= to);
    const speed = piece?.speed(t) ?? Number.NaN;
    square += (15 * Math.sign(speed) + 9.80665 * Math.cos(position + (speed * period) / steps / 2)) ** 2 / steps;
    position += (speed * period) / steps;
  }
  const torque = [1, 2, 3].reduce((sum, k) => sum + (duty.gram[6 * k] ?? 0), 0);
  expect(torque / square).toBeCloseTo(1, 5);
});
