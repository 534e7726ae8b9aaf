import type { Measured, Mechanism, Winder } from "../../src/machine/mechanism.ts";
import type { Axis, Machine, Problem, Segment } from "../../src/machine/problem.ts";
import { Dice } from "./random.ts";
import { FREE } from "./random-axis.ts";
import type { RandomMachine } from "./random-machine.ts";

type Base = Pick<
  Mechanism,
  "efficiency" | "backEfficiency" | "inertia" | "dragTorque" | "couplingInertia" | "stiffness"
>;

/** Of every crank drawn here [m]: what a rotary axis asks is divided by it. */
const RADIUS = 0.1;

function slimmed(segment: Segment, times: number): Segment {
  return { ...segment, force: segment.force * times, payload: segment.payload * times ** 2 };
}

function baseOf({ efficiency, backEfficiency, inertia, dragTorque, couplingInertia }: Mechanism): Base {
  return { efficiency, backEfficiency, inertia, dragTorque, couplingInertia, stiffness: 2e5 };
}

/** A crank whose slider weighs on it about as the rotary load did. */
function asCrank(dice: Dice, axis: Axis): Axis {
  const { load } = axis;
  const crank = {
    kind: "crank",
    radius: RADIUS,
    rod: dice.between(0.2, 0.5),
    offset: dice.between(-0.02, 0.02),
  } as const;
  return {
    ...axis,
    mechanism: { ...baseOf(axis.mechanism), ...crank, startAngle: dice.between(-3, 3) },
    load: {
      ...load,
      mass: load.mass / RADIUS ** 2,
      frictionForce: load.frictionForce / RADIUS,
      viscous: load.viscous / RADIUS ** 2,
      force: load.force / RADIUS,
      counterbalance: 0,
      imbalance: 0,
      incline: dice.of([0, 0.5]),
    },
    motion: axis.motion.map((segment) => slimmed(segment, 1 / RADIUS)),
  };
}

/** A winder whose web moves as the belt did. */
function asWinder(dice: Dice, axis: Axis, diameter: number): Axis {
  const roll: Omit<Winder, keyof Base | "kind"> = {
    coreDiameter: diameter,
    startDiameter: diameter * dice.between(1.3, 2),
    webWidth: 0.2,
    webDensity: 800,
    webThickness: dice.spread(1e-5, 5e-4),
    tension: dice.between(0, 60),
  };
  return {
    ...axis,
    mechanism: { ...baseOf(axis.mechanism), kind: "winder", ...roll },
    load: { ...axis.load, incline: 0, counterbalance: 0 },
  };
}

/** A shaft of which only speed and torque are known. */
function asMeasured(dice: Dice, axis: Axis): Axis {
  const [rise, run] = [dice.between(0.1, 0.2), dice.between(0.05, 0.15)];
  const times = [0, rise, rise + run, 2 * rise + run];
  const [speed, push, drag] = [dice.between(3, 15), dice.between(0.1, 0.6), dice.between(0, 0.1)];
  const mechanism: Measured = {
    kind: "measured",
    file: "measured.csv",
    ...baseOf(axis.mechanism),
    speed: { times, values: [0, speed, speed, 0] },
    torque: { times, values: [push, push + drag, drag, drag - push] },
  };
  const table = { of: "velocity", ...mechanism.speed } as const;
  return {
    ...axis,
    mechanism,
    endless: true,
    load: FREE,
    motion: [{ kind: "follow", file: mechanism.file, table, force: 0, payload: 0 }],
  };
}

function linkedAxis(dice: Dice, axis: Axis): Axis {
  const { mechanism } = axis;
  if (mechanism.kind === "rotary") return dice.chance(0.5) ? asCrank(dice, axis) : asMeasured(dice, axis);
  if (mechanism.kind === "belt") return asWinder(dice, axis, mechanism.diameter);
  return axis;
}

/** Twins and axes that carry or ride stay what they are. */
function linkedMachine(dice: Dice, machine: Machine): Machine {
  const held = new Set(machine.samePick.flat());
  for (const { id, carriedBy } of machine.axes) if (carriedBy !== undefined) held.add(id).add(carriedBy);
  return { ...machine, axes: machine.axes.map((axis) => (held.has(axis.id) ? axis : linkedAxis(dice, axis))) };
}

/** A random machine whose belts are winders, and whose rotary axes are cranks or measured shafts. */
export function withLinks({ problem, catalogue }: RandomMachine, seed: number): RandomMachine {
  const dice = new Dice(seed);
  const linked: Problem = { ...problem, machines: problem.machines.map((machine) => linkedMachine(dice, machine)) };
  return { catalogue, problem: linked };
}
