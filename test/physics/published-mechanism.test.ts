import { describe, expect, test } from "vitest";
import { screwEfficiencies } from "../../src/input/screw-efficiencies.ts";
import type { Mechanism } from "../../src/machine/mechanism.ts";
import { gearboxBacklash } from "../../src/physics/limits/gearbox-limits.ts";
import type { JudgeLimit } from "../../src/physics/limits/motor-limits.ts";
import { inertiaRatio } from "../../src/physics/limits/motor-limits.ts";
import type { PickDuty } from "../../src/physics/limits/pick-duty.ts";
import { near, within } from "./near.ts";
import { derived, example } from "./reference.ts";
import { dutyOfSample, dwell, LOSSLESS, move, run, type Sample } from "./sample-axis.ts";
import { gearboxWith, motorWith, pickOf } from "./sample-parts.ts";

/** NIST Special Publication 811 (2008), appendix B. */
const POUND_FORCE = 4.4482216152605;
const INCH = 0.0254;
const PER_MINUTE = (2 * Math.PI) / 60;

function demandOf(judge: JudgeLimit, pick: PickDuty): number {
  const judgement = judge(pick);
  if (judgement?.kind !== "checked") throw new Error("the limit was not checked");
  return judgement.limit.demand;
}

/** τ_in of a motion at one speed [N·m], signed. */
function steadyTorque(sample: Omit<Sample, "motion">, speed: number): number {
  const duty = dutyOfSample({ ...sample, motion: [run(speed, 1)] });
  return duty.pieces[0]?.torque(0.5) ?? Number.NaN;
}

function leadScrew(thread: {
  lead: number;
  pitchDiameter: number;
  frictionCoefficient: number;
  threadAngle: number;
}): Mechanism {
  return { kind: "lead-screw", ...LOSSLESS, ...thread, ...screwEfficiencies(thread) };
}

describe("screws", () => {
  test("W1: a jack of 10 000 lbf, 2 threads per inch (open statics book, 5.6.1 problem 2, read)", () => {
    const thread = { lead: 0.5 * INCH, pitchDiameter: 2 * INCH, frictionCoefficient: 0.2, threadAngle: 0 };
    const axis = { mechanism: leadScrew(thread), load: { force: 10_000 * POUND_FORCE } };
    const raise = steadyTorque(axis, 0.01) / (POUND_FORCE * INCH);
    expect(raise).toEqual(within(Number(example("W1").printed), 5)); // printed 2840: three digits
    expect(raise).toEqual(within(example("W1").recomputed[0] ?? 0, 0.0005));
    // Lowered by the motor, too: the thread locks itself. Derived with the same theory: 1185.360 lbf·in.
    expect(steadyTorque(axis, -0.01) / (POUND_FORCE * INCH)).toEqual(within(-1185.36, 0.0005));
    expect(screwEfficiencies(thread).efficiency).toEqual(within(0.280105, 5e-7));
  });

  test("W2: an Acme screw of 12 500 lbf (Mott, 4th ed., example 17-1, read; 0.3 % off its own formula)", () => {
    const thread = {
      lead: 0.25 * INCH,
      pitchDiameter: 1.3429 * INCH,
      frictionCoefficient: 0.15,
      threadAngle: (14.5 * Math.PI) / 180,
    };
    const axis = { mechanism: leadScrew(thread), load: { force: 12_500 * POUND_FORCE } };
    const raise = steadyTorque(axis, 0.01) / (POUND_FORCE * INCH);
    expect(raise).toEqual(near(1809, 0.005));
    expect(raise).toEqual(within(example("W2").recomputed[0] ?? 0, 0.0005));
    expect(-steadyTorque(axis, -0.01) / (POUND_FORCE * INCH)).toEqual(within(795.724, 0.0005));
    expect(screwEfficiencies(thread).efficiency).toEqual(within(0.275, 0.001));
  });

  test("W3: a square screw of two starts with a collar (Shigley, example 8-1, from memory)", () => {
    const thread = { lead: 0.008, pitchDiameter: 0.03, frictionCoefficient: 0.08, threadAngle: 0 };
    const collar = 6400 * 0.08 * 0.02; // collar friction does not depend on the thread: it is a drag torque
    const axis = { mechanism: { ...leadScrew(thread), dragTorque: collar }, load: { force: 6400 } };
    const [raise = 0, lower = 0, efficiency = 0] = example("W3").recomputed;
    expect(steadyTorque(axis, 0.01)).toEqual(within(26.18, 0.005));
    expect(-steadyTorque(axis, -0.01)).toEqual(within(9.77, 0.005));
    expect(steadyTorque(axis, 0.01)).toEqual(within(raise, 5e-6));
    expect(-steadyTorque(axis, -0.01)).toEqual(within(lower, 5e-7));
    expect((6400 * 0.008) / (2 * Math.PI * steadyTorque(axis, 0.01))).toEqual(within(efficiency, 5e-7));
    expect(efficiency).toEqual(within(0.311, 0.0005));
  });

  test("SCREW-2: a vertical ball screw raises, lowers and holds 50 kg (derived)", () => {
    const backEfficiency = derived("SCREW-2", "eta_back=2-1/eta");
    const mechanism = { ...LOSSLESS, kind: "ball-screw", lead: 0.01, efficiency: 0.9, backEfficiency } as const;
    const axis = { mechanism, load: { mass: 50, incline: Math.PI / 2 } };
    expect(steadyTorque(axis, 0.1)).toEqual(near(derived("SCREW-2", "T_raise"), 1e-12));
    expect(steadyTorque(axis, -0.1)).toEqual(near(derived("SCREW-2", "T_lower_holding (back-driven)"), 1e-12));
    const held = dutyOfSample({ ...axis, motion: [dwell(1)] });
    expect(held.peakTorque.value).toEqual(near(50 * 9.80665 * (0.01 / (2 * Math.PI)), 1e-12)); // no efficiency at rest
    expect(held.hangingTorque).toEqual(near(held.peakTorque.value, 1e-12));
  });
});

describe("belt, rack, rollers", () => {
  test("BELT-1: 20 kg on a belt behind a 5:1 gearbox (derived)", () => {
    const mechanism = { ...LOSSLESS, kind: "belt", diameter: 0.05, inertia: 2e-4 } as const;
    const duty = dutyOfSample({
      mechanism,
      load: { mass: 20, frictionForce: 30 },
      motion: [run(2, 1, { accelerateTime: 0.4, decelerateTime: 0.4 })],
    });
    const gearbox = gearboxWith({ ratio: 5, efficiency: 0.95, inertia: 2e-5 });
    const reflected = demandOf(inertiaRatio, pickOf(duty, { gearbox, motor: motorWith({ rotorInertia: 1 }) }));
    expect(reflected).toEqual(near(derived("BELT-1", "J_reflected_to_motor"), 1e-12));
    const torque = pickOf(duty, { gearbox }).peakTorque.value;
    expect(torque).toEqual(
      near(derived("BELT-1", "T_motor_accel_const_force (inertia of load side and friction through eta)"), 1e-12),
    );
    expect((5 * duty.peakSpeed.value) / PER_MINUTE).toEqual(near(derived("BELT-1", "n_motor"), 1e-12));
  });

  test("RACK-1: a pinion of module 2 mm and 20 teeth under 100 kg (derived)", () => {
    const mechanism = { ...LOSSLESS, kind: "rack", diameter: 0.002 * 20 } as const;
    const duty = dutyOfSample({ mechanism, load: { mass: 100 }, motion: [move(1, { time: 1 })] });
    expect(duty.travel).toEqual(near(derived("RACK-1", "pinion pitch radius"), 1e-12));
    expect(2 * Math.PI * duty.travel).toEqual(near(derived("RACK-1", "travel per rev"), 1e-12));
    expect(duty.largestInertia).toEqual(near(derived("RACK-1", "J_reflected at pinion"), 1e-12));
  });

  test("CONV-1: a flat conveyor starts and runs (derived)", () => {
    const mechanism = { ...LOSSLESS, kind: "rollers", diameter: 0.08, efficiency: 0.9, inertia: 2 * 2e-3 } as const;
    const axis = { mechanism, load: { mass: 60, frictionCoefficient: 0.2 } };
    const duty = dutyOfSample({ ...axis, motion: [run(0.5, 2, { accelerateTime: 0.5, decelerateTime: 0.5 })] });
    const turned = 1 / 0.04; // rad/s² of the rollers at 1 m/s²
    expect(((duty.peakTorque.value - 4e-3 * turned) * 0.9) / 0.04).toEqual(
      near(derived("CONV-1", "F_total accel"), 1e-12),
    );
    expect(duty.largestInertia).toEqual(near(derived("CONV-1", "J at drive roller"), 1e-12));
    expect(steadyTorque(axis, 0.5)).toEqual(near(derived("CONV-1", "T_drive steady"), 1e-12));
  });
});

/** A run that speeds up for a second at this acceleration, holds and slows down. */
function at(acceleration: number): Pick<Sample, "motion"> {
  return { motion: [run(acceleration, 3, { accelerateTime: 1, decelerateTime: 1 })] };
}

describe("gears", () => {
  test("GEAR-1: the ratio of least torque for a pure inertia (derived)", () => {
    const duty = dutyOfSample({ load: { mass: 0.09 }, ...at(20) });
    const torqueAt = (ratio: number): number =>
      pickOf(duty, { motor: motorWith({ rotorInertia: 1e-4 }), gearbox: gearboxWith({ ratio }) }).peakTorque.value;
    const best = derived("GEAR-1", "i_opt");
    expect(torqueAt(best)).toEqual(near(derived("GEAR-1", "T_motor at i_opt = 2 alpha sqrt(JL Jm)"), 1e-12));
    expect(torqueAt(best * 1.001)).toBeGreaterThan(torqueAt(best));
    expect(torqueAt(best / 1.001)).toBeGreaterThan(torqueAt(best));
    const factor = derived("GEAR-1", "T(1.5 i_opt)/T(i_opt)");
    expect(torqueAt(45) / torqueAt(best)).toEqual(near(factor, 1e-12));
    expect(torqueAt(20) / torqueAt(best)).toEqual(near(factor, 1e-12));
  });

  test("GEAR-2: the same with a constant load torque (derived)", () => {
    const duty = dutyOfSample({ load: { mass: 0.09, force: 2 }, ...at(20) });
    const torqueAt = (ratio: number): number =>
      pickOf(duty, { motor: motorWith({ rotorInertia: 1e-4 }), gearbox: gearboxWith({ ratio }) }).peakTorque.value;
    const best = derived("GEAR-2", "i_opt");
    expect(torqueAt(best * 1.001)).toBeGreaterThan(torqueAt(best));
    expect(torqueAt(best / 1.001)).toBeGreaterThan(torqueAt(best));
    expect(torqueAt(best)).toEqual(near(2 * Math.sqrt(1e-4 * 20 * (0.09 * 20 + 2)), 1e-12));
  });

  test("W4: inertias of motor, pinion, gear and load at the motor (Budynas, solutions, 16-26, read)", () => {
    // IM 10, IP 1, IL 100, ratio 10, gear 10⁴ times the pinion.
    const duty = dutyOfSample({
      mechanism: { ...LOSSLESS, kind: "rotary", inertia: 1e4 },
      load: { mass: 100 },
      ...at(0.1),
    });
    const pick = pickOf(duty, {
      motor: motorWith({ rotorInertia: 10 }),
      gearbox: gearboxWith({ ratio: 10, inertia: 1 }),
    });
    expect(pick.peakTorque.value).toEqual(near(Number(example("W4").printed), 1e-12)); // at 1 rad/s² of the motor
    expect(demandOf(inertiaRatio, pick)).toEqual(near((1 + 100 + 1) / 10, 1e-12));
  });

  test("W5: a hoist accelerates 70 kg upward (course example 2.1, read)", () => {
    // The printed answer uses g = 9.81 m/s²: its weight enters as a force.
    const mechanism = { ...LOSSLESS, kind: "rollers", diameter: 0.4, inertia: 10 } as const;
    const parts = { motor: motorWith({ rotorInertia: 0.8 }), gearbox: gearboxWith({ ratio: 5 }) };
    const theirs = pickOf(dutyOfSample({ mechanism, load: { mass: 70, force: 70 * 9.81 }, ...at(1) }), parts);
    expect(theirs.peakTorque.value).toEqual(within(Number(example("W5").printed), 0.05));
    expect(theirs.peakTorque.value).toEqual(within(example("W5").recomputed[0] ?? 0, 0.0005));
    const ours = pickOf(dutyOfSample({ mechanism, load: { mass: 70, incline: Math.PI / 2 }, ...at(1) }), parts);
    expect(ours.peakTorque.value).toEqual(within(60.25862, 5e-6)); // worked out again with 9.80665 m/s²
  });

  test("W7: a geared load and a lifted load on one motor (electric-drives textbook, example 2.1, read)", () => {
    const omega = 1420 * PER_MINUTE;
    const geared = dutyOfSample({ load: { mass: 10, force: 10 }, motion: [run(omega / 10, 1)] });
    const gear = pickOf(geared, { gearbox: gearboxWith({ ratio: 10, efficiency: 0.9 }) });
    const drum = { ...LOSSLESS, kind: "rollers", diameter: (2 * 1.5) / omega, efficiency: 0.85 } as const;
    const lifted = dutyOfSample({ mechanism: drum, load: { mass: 1000, force: 1000 * 9.81 }, motion: [run(1.5, 1)] });
    const torque = gear.peakTorque.value + pickOf(lifted).peakTorque.value;
    const inertia = 0.2 + geared.largestInertia / 100 + lifted.largestInertia;
    const [wantedInertia = 0, wantedTorque = 0] = example("W7").recomputed;
    expect(torque).toEqual(within(117.53, 0.005));
    expect(torque).toEqual(within(wantedTorque, 5e-7));
    expect(inertia).toEqual(within(0.4, 0.05));
    expect(inertia).toEqual(within(wantedInertia, 5e-7));
    expect(torque * omega).toEqual(within(17_476.989, 0.0005));
  });

  test("GEAR-4: three arc minutes at 25 mm and on a 10 mm lead (derived)", () => {
    const arcMinute = derived("GEAR-4", "rad");
    expect(arcMinute).toEqual(near(Math.PI / 180 / 60, 1e-12));
    const gearbox = gearboxWith({ ratio: 5, backlash: 3 * arcMinute });
    const lost = (mechanism: Mechanism): number =>
      demandOf(
        gearboxBacklash,
        pickOf(dutyOfSample({ mechanism, needs: { backlash: 1 }, motion: [move(1, { time: 1 })] }), { gearbox }),
      );
    expect(1000 * lost({ ...LOSSLESS, kind: "belt", diameter: 0.05 })).toEqual(
      near(derived("GEAR-4", "lost motion"), 1e-12),
    );
    expect(1000 * lost({ ...LOSSLESS, kind: "ball-screw", lead: 0.01 })).toEqual(
      near(derived("GEAR-4", "lost motion at screw"), 1e-12),
    );
  });
});
