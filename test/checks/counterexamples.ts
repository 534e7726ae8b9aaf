import type { LimitId } from "../../src/machine/limit.ts";
import type { SampleParts } from "../physics/limit-of.ts";
import { dwell, LOSSLESS, move, run, type Sample } from "../physics/sample-axis.ts";

/** An axis and its parts. */
interface Setting {
  readonly sample: Sample;
  readonly parts: SampleParts;
}

/** Raising the input moves the limit against what one might expect. */
export interface Counterexample {
  readonly input: string;
  readonly limit: LimitId;
  readonly effect: "lowers" | "raises";
  readonly why: string;
  readonly before: Setting;
  readonly after: Setting;
}

const LIFT = { ...LOSSLESS, kind: "rack", diameter: 0.05 } as const;

/** A rack lowered and raised under weight: kg, counterbalance [N], friction [N]. */
function hung(mass: number, counterbalance: number): Setting {
  const motion = [move(-0.3, { time: 1 }), dwell(1), move(0.3, { time: 1 }), dwell(1)];
  const load = { mass, incline: Math.PI / 2, counterbalance };
  return { sample: { mechanism: LIFT, load, motion, needs: { brake: true } }, parts: { motor: { brakeTorque: 2 } } };
}

/** A conveyor that only lowers at one speed. */
function lowering(mass: number, frictionForce: number, backEfficiency = 1): Setting {
  const load = { mass, incline: Math.PI / 2, frictionForce };
  return { sample: { mechanism: { ...LIFT, backEfficiency }, load, motion: [run(-0.5, 2)] }, parts: {} };
}

/** A turntable up to speed slowly and braked hard. */
function braked(friction: number, efficiency: number): Setting {
  const motion = [run(10, 2, { accelerateTime: 1, decelerateTime: 0.1 }), dwell(1)];
  return {
    sample: { load: { mass: 1e-3, frictionForce: friction }, motion },
    parts: { motor: { rotorInertia: 0.02 }, gearbox: { ratio: 2, efficiency, backEfficiency: 0 } },
  };
}

/** A fast roller against little friction, whose motor loses much with speed. */
function fast(stallTorque: number): Setting {
  const motor = { stallTorque, ratedTorque: 1, ratedSpeed: 100 };
  return { sample: { load: { frictionForce: 0.1 }, motion: [run(90, 1)] }, parts: { motor } };
}

/** A pull over so much time, then rest up to 4 s. */
function pulled(time: number): Setting {
  const motion = [move(1, { time }), dwell(4 - time)];
  return { sample: { load: { mass: 0.01, frictionForce: 2 }, motion }, parts: {} };
}

/** A load that hangs still while the cycle goes on. */
function held(rest: number): Setting {
  const sample: Sample = {
    mechanism: { ...LIFT, backEfficiency: 0.5 },
    load: { mass: 5, incline: Math.PI / 2 },
    motion: [run(-0.5, 2, { accelerateTime: 0.1, decelerateTime: 0.1 }), dwell(rest)],
  };
  return { sample, parts: {} };
}

function pulse(continuousCurrent: number): Setting {
  return {
    sample: { motion: [dwell(1, { force: 10 }), dwell(500)] },
    parts: { drive: { continuousCurrent, peakCurrent: 10, peakTime: 3 } },
  };
}

function regenerating(resistance: number): Setting {
  const motor = { resistance, torqueConstant: 1, voltageConstant: 0.5, inductance: 1e-6 };
  return { sample: { motion: [run(100, 1, { force: -2 })] }, parts: { motor } };
}

function geared(ratio: number): Setting {
  const motion = [move(3, { time: 1 }), dwell(1)];
  return { sample: { load: { mass: 0.09 }, motion }, parts: { motor: { rotorInertia: 1e-4 }, gearbox: { ratio } } };
}

function saturated(torqueConstant: number): Setting {
  const motor = { torqueConstant, stallTorque: 1, peakTorque: 3, peakCurrent: 4 };
  return { sample: { motion: [dwell(1, { force: 4 })] }, parts: { motor } };
}

const TORQUE = "motor.continuous_torque";

/** Where a rule of thumb fails. */
export const COUNTEREXAMPLES: readonly Counterexample[] = [
  {
    input: "payload of a counterbalanced axis",
    limit: "motor.brake",
    effect: "lowers",
    why: "up to the counterbalance, weight takes from what hangs",
    before: hung(2, 50),
    after: hung(4, 50),
  },
  {
    input: "payload of a counterbalanced axis",
    limit: TORQUE,
    effect: "lowers",
    why: "the same, with little acceleration",
    before: hung(2, 50),
    after: hung(4, 50),
  },
  {
    input: "payload lowered against friction greater than its weight",
    limit: TORQUE,
    effect: "lowers",
    why: "the weight drives what the motor drove",
    before: lowering(1, 40),
    after: lowering(3, 40),
  },
  {
    input: "friction of a lowering axis",
    limit: TORQUE,
    effect: "lowers",
    why: "friction holds what the motor held",
    before: lowering(5, 0),
    after: lowering(5, 20),
  },
  {
    input: "back efficiency of a lowering axis",
    limit: TORQUE,
    effect: "raises",
    why: "more of the weight comes back to the motor",
    before: lowering(5, 0, 0.5),
    after: lowering(5, 0, 0.9),
  },
  {
    input: "rest of an axis that holds a load",
    limit: TORQUE,
    effect: "raises",
    why: "at rest the whole weight is held, while lowering only the share that comes back",
    before: held(1),
    after: held(3),
  },
  {
    input: "friction of an axis braked harder than it is sped up",
    limit: "motor.peak_torque",
    effect: "lowers",
    why: "the peak lies in braking, and friction brakes along",
    before: braked(0, 0.5),
    after: braked(0.2, 0.5),
  },
  {
    input: "gearbox efficiency of an axis braked harder than it is sped up",
    limit: "motor.peak_torque",
    effect: "raises",
    why: "the rotor has to be braked, and losses brake along",
    before: braked(0.2, 0.5),
    after: braked(0.2, 0.95),
  },
  {
    input: "stall torque, rated torque unchanged",
    limit: TORQUE,
    effect: "raises",
    why: "β = (T0² − T_r²)/n_r² says that more is lost with speed; little torque at high speed then heats more",
    before: fast(1.2),
    after: fast(1.6),
  },
  {
    input: "time of a move against friction, in a cycle that stays",
    limit: TORQUE,
    effect: "raises",
    why: "friction heats for longer than acceleration saves",
    before: pulled(1),
    after: pulled(2),
  },
  {
    input: "gear ratio below √(J_load/J_motor)",
    limit: TORQUE,
    effect: "lowers",
    why: "the load's inertia counts with 1/i²",
    before: geared(10),
    after: geared(20),
  },
  {
    input: "gear ratio above √(J_load/J_motor)",
    limit: TORQUE,
    effect: "raises",
    why: "the rotor has to turn faster",
    before: geared(40),
    after: geared(80),
  },
  {
    input: "resistance of a motor that regenerates",
    limit: "motor.voltage",
    effect: "lowers",
    why: "the drop over the resistance stands against the back-EMF",
    before: regenerating(1),
    after: regenerating(5),
  },
  {
    input: "torque constant, beyond the peak torque of a motor whose peak current is given",
    limit: "drive.peak_current",
    effect: "raises",
    why: "the saturated line starts lower and is steeper; such a pick fails on its peak torque",
    before: saturated(1),
    after: saturated(1.5),
  },
  {
    input: "the drive's continuous current, peak current and time unchanged",
    limit: "drive.overload",
    effect: "raises",
    why: "the same peak time from a higher continuous current means a shorter time constant; never above 1 from cold",
    before: pulse(2),
    after: pulse(8),
  },
];
