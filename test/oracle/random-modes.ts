import type { Measured, TimeSeries } from "../../src/machine/mechanism.ts";
import type { Machine, ModeAxis, Segment } from "../../src/machine/problem.ts";
import { Dice } from "./random.ts";
import type { RandomMachine } from "./random-machine.ts";

/** The same motion, faster or slower, or shorter. */
function changed(segment: Segment, times: number, size: number): Segment {
  if (segment.kind === "follow") return segment;
  if (segment.kind === "run") {
    const { accelerateTime, decelerateTime } = segment;
    const ramps = {
      accelerateTime: accelerateTime * times,
      ...(decelerateTime === undefined ? {} : { decelerateTime: decelerateTime * times }),
    };
    return { ...segment, ...ramps, speed: segment.speed * size, time: segment.time * times };
  }
  if (segment.kind === "dwell") return { ...segment, time: segment.time * times };
  const { maxSpeed, maxAcceleration, maxJerk } = segment;
  const limits = {
    ...(maxSpeed === undefined ? {} : { maxSpeed: (maxSpeed * size) / times }),
    ...(maxAcceleration === undefined ? {} : { maxAcceleration: (maxAcceleration * size) / times ** 2 }),
    ...(maxJerk === undefined ? {} : { maxJerk: (maxJerk * size) / times ** 3 }),
  };
  return {
    ...segment,
    ...limits,
    distance: segment.distance * size,
    ...(segment.time === undefined ? {} : { time: segment.time * times }),
  };
}

/** What was measured of a shaft in a mode: other speeds and torques, over other times. */
function measuredIn(dice: Dice, mechanism: Measured, times: number): ModeAxis {
  const scaled = ({ times: rows, values }: TimeSeries, size: number): TimeSeries => ({
    times: rows.map((row) => row * times),
    values: values.map((value) => value * size),
  });
  const speed = scaled(mechanism.speed, dice.between(0.6, 1.15));
  const file = "measured-there.csv";
  const segment = { kind: "follow", file, table: { of: "velocity", ...speed }, force: 0, payload: 0 } as const;
  const torque = scaled(mechanism.torque, dice.between(0.6, 1.2));
  return { motion: [segment], mechanism: { ...mechanism, file, speed, torque } };
}

/** A mode in which some axes move otherwise and the others stand. */
function modeOf(dice: Dice, machine: Machine, id: string, share: number): Machine["modes"][number] {
  const times = dice.between(0.85, 1.3);
  const axes = new Map<string, ModeAxis>();
  for (const axis of machine.axes) {
    if (axis.mechanism.kind === "measured") {
      if (dice.chance(0.6)) axes.set(axis.id, measuredIn(dice, axis.mechanism, times));
      continue;
    }
    if (dice.chance(0.3)) continue;
    const size = dice.between(0.6, 1.15);
    const motion = axis.motion.map((segment) => changed(segment, times, size));
    const load = dice.chance(0.4) ? { load: { ...axis.load, mass: axis.load.mass * dice.between(0.7, 1.2) } } : {};
    axes.set(axis.id, { motion, ...load });
  }
  return { id, share, cycle: machine.cycle * times, axes };
}

/** A random machine that also runs in one or two other modes for a share of its time. */
export function withModes({ problem, catalogue }: RandomMachine, seed: number): RandomMachine {
  const dice = new Dice(seed);
  const machines = problem.machines.map((machine) => {
    const modes = [modeOf(dice, machine, "other format", dice.between(0.05, 0.5))];
    if (dice.chance(0.4)) modes.push(modeOf(dice, machine, "cleaning", dice.between(0.05, 0.4)));
    return { ...machine, modes };
  });
  return { catalogue, problem: { ...problem, machines } };
}
