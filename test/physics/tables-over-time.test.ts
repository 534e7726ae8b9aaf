import { expect, test } from "vitest";
import type { Measured, TimeSeries } from "../../src/machine/mechanism.ts";
import { meanSquareTorque, motorTorque, torqueFactors } from "../../src/physics/limits/pick-duty.ts";
import { near, within } from "./near.ts";
import { dutyOfSample, dwell, follow, LOSSLESS, move, type Sample } from "./sample-axis.ts";
import { gearboxWith, motorWith } from "./sample-parts.ts";

const at = (list: readonly number[], k: number): number => list[k] ?? Number.NaN;

const SPEEDS: TimeSeries = { times: [0, 0.2, 0.5, 0.7, 0.9, 1.2], values: [0, 30, 30, -10, 0, 0] };

/** A shaft that turns an inertia against friction that grows with speed: its torque is a straight line on each stretch. */
const TURNED: Sample = {
  mechanism: { kind: "rotary", ...LOSSLESS },
  load: { mass: 0.02, viscous: 0.05 },
  motion: [follow("velocity", SPEEDS)],
};

/** The torque of that shaft as a table: two rows a hair apart where the acceleration jumps. */
function measuredTable(): { speed: TimeSeries; torque: TimeSeries } {
  const hair = 1e-10;
  const rows = SPEEDS.times.slice(1).flatMap((to, k) => {
    const from = at(SPEEDS.times, k);
    const [v0, v1] = [at(SPEEDS.values, k), at(SPEEDS.values, k + 1)];
    const inertial = (0.02 * (v1 - v0)) / (to - from);
    const begin = k === 0 ? 0 : from + hair;
    const speedAt = (t: number): number => v0 + ((v1 - v0) * (t - from)) / (to - from);
    return [begin, to].map((t) => ({ t, speed: speedAt(t), torque: inertial + 0.05 * speedAt(t) }));
  });
  const times = rows.map(({ t }) => t);
  return {
    speed: { times, values: rows.map(({ speed }) => speed) },
    torque: { times, values: rows.map(({ torque }) => torque) },
  };
}

test("a measured shaft asks of its motor what the axis it was measured on asks", () => {
  const { speed, torque } = measuredTable();
  const mechanism: Measured = { kind: "measured", file: "m.csv", speed, torque, ...LOSSLESS };
  const measured = dutyOfSample({ mechanism, motion: [follow("velocity", speed)] });
  const turned = dutyOfSample(TURNED);
  const gearbox = gearboxWith({ ratio: 5, efficiency: 0.9, backEfficiency: 0.7, dragTorque: 0.02, inertia: 1e-5 });
  const factors = torqueFactors(turned, motorWith({ rotorInertia: 5e-5, frictionTorque: 0.01 }), gearbox);
  expect(meanSquareTorque(measured, factors)).toEqual(near(meanSquareTorque(turned, factors), 1e-7));
  expect(measured.peakTorque.value).toEqual(near(turned.peakTorque.value, 1e-9));
  expect(measured.equivalentTorque).toEqual(near(turned.equivalentTorque, 1e-7));
  expect(measured.peakSpeed.value).toEqual(near(30, 1e-12));
  measured.power.forEach((mean, k) => expect(mean).toEqual(within(turned.power[k] ?? 0, 1e-6)));
});

test("what a measured shaft holds at rest is what its brake has to hold", () => {
  const speed = { times: [0, 0.2, 0.4, 1], values: [0, 5, 0, 0] };
  const torque = { times: [0, 0.4, 1], values: [2, 2, 3] };
  const mechanism: Measured = { kind: "measured", file: "m.csv", speed, torque, ...LOSSLESS };
  const sample = { mechanism, motion: [follow("velocity", speed)], cycle: 2 };
  const duty = dutyOfSample(sample);
  expect(duty.hangingTorque).toEqual(near(3, 1e-12));
  // The rest of the cycle holds the last row's torque.
  expect(duty.pieces.at(-1)?.torque(1.9)).toEqual(near(3, 1e-12));
});

test("a force from a table adds the work of its mean where the axis moves evenly, and is held where it stands", () => {
  const table = { times: [0, 0.25, 0.75, 1], values: [0, 40, -20, 10] };
  const bare = { mechanism: { kind: "belt", diameter: 0.1, ...LOSSLESS } as const, load: { mass: 5 } };
  const motion = [
    move(0.4, { law: "triangle", time: 1, forceTable: table }),
    dwell(0.5, { forceTable: table }),
    move(-0.4, { time: 1 }),
  ];
  const plain = dutyOfSample({
    ...bare,
    motion: [move(0.4, { law: "triangle", time: 1 }), dwell(0.5), move(-0.4, { time: 1 })],
  });
  const forced = dutyOfSample({ ...bare, motion });
  const work = (duty: typeof plain): number => {
    const [, motoring = 0, regenerating = 0, resting = 0] = duty.power;
    return (motoring + regenerating + resting) * duty.period;
  };
  // ∫F·v dt by Simpson's rule on the same rows: F straight, v straight (triangle), so exact on each stretch.
  const forceAt = (t: number): number => {
    const k = Math.max(
      1,
      table.times.findIndex((row) => row >= t),
    );
    const [t0, t1] = [at(table.times, k - 1), at(table.times, k)];
    const [f0, f1] = [at(table.values, k - 1), at(table.values, k)];
    return f0 + ((f1 - f0) * (t - t0)) / (t1 - t0);
  };
  // A triangle's speed rises and falls in straight lines: 1.6 m/s per second for 0.4 m in a second.
  const powerAt = (t: number): number => forceAt(t) * 1.6 * Math.min(t, 1 - t);
  const borders = [0, 0.25, 0.5, 0.75, 1];
  const wanted = borders.slice(1).reduce((sum, to, k) => {
    const from = borders[k] ?? 0;
    const middle = (from + to) / 2;
    return sum + ((to - from) / 6) * (powerAt(from) + 4 * powerAt(middle) + powerAt(to));
  }, 0);
  expect(work(forced) - work(plain)).toEqual(near(wanted, 1e-9));
  const held = forced.pieces.filter(({ turning, from }) => turning === 0 && from < 1.4);
  expect(held.map(({ from, torque }) => torque(from))).toEqual([0, 2].map((torque) => within(torque, 1e-12)));
  expect(held.at(-1)?.torque(1.5)).toEqual(within(10 * 0.05, 1e-9));
});

test("a load's table runs from where the list begins, wraps with the cycle and stays after its last row", () => {
  const forceTable = { times: [0, 0.5], values: [10, 30] };
  const duty = dutyOfSample({
    mechanism: { kind: "rotary", ...LOSSLESS },
    load: { forceTable },
    motion: [dwell(0.6)],
    cycle: 1,
    start: 0.7,
  });
  const torqueAt = (t: number): number =>
    duty.pieces.find(({ from, to }) => from <= t && t <= to)?.torque(t) ?? Number.NaN;
  expect([0.71, 0.95, 0.1, 0.3, 0.65].map(torqueAt)).toEqual([10.4, 20, 26, 30, 30].map((f) => within(f, 1e-9)));
});

test("the motor's torque under a table is the same read either way", () => {
  const table = { times: [0, 0.3, 1], values: [5, -5, 20] };
  const duty = dutyOfSample({
    mechanism: { kind: "belt", diameter: 0.08, ...LOSSLESS, efficiency: 0.9, backEfficiency: 0.8, inertia: 1e-4 },
    load: { mass: 3, viscous: 4, forceTable: table },
    motion: [move(0.3, { law: "polynomial-5", time: 1 })],
  });
  const gearbox = gearboxWith({ ratio: 3, efficiency: 0.95 });
  const factors = torqueFactors(duty, motorWith({ rotorInertia: 2e-5 }), gearbox);
  for (const piece of duty.pieces) {
    const torque = motorTorque(piece, factors);
    for (const share of [0.1, 0.5, 0.9]) {
      const t = piece.from + share * (piece.to - piece.from);
      const plain = factors.inertia * piece.acceleration(t) + factors.flow[piece.flow] * piece.torque(t);
      expect(torque(t)).toEqual(within(plain + factors.drag * piece.turning, 1e-9));
    }
  }
});
