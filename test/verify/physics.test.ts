import { expect, test } from "vitest";
import type { MoveSegment, RunSegment, Segment } from "../../src/machine/problem.ts";
import { type AxisOracle, axisOracle } from "../../src/verify/axis-oracle.ts";
import { hotResistance, lineVoltage } from "../../src/verify/duty.ts";
import type { AxisPick, PickVerdict } from "../../src/verify/evaluate-pick.ts";
import type { Grid } from "../../src/verify/motion.ts";
import {
  PLAIN_SHAFT,
  plainAxis,
  plainDrive,
  plainGearbox,
  plainLoad,
  plainMotor,
  plainProblem,
} from "../oracle/plain-parts.ts";
import { derivedCase, referenceTable } from "../oracle/reference-table.ts";
import { sampleAxes } from "../oracle/sample-axes.ts";

const up = Math.PI / 2;
const bare = { force: 0, payload: 0 };
const move = (distance: number, time: number, own: Partial<MoveSegment> = {}): MoveSegment => ({
  kind: "move",
  distance,
  time,
  law: "trapezoid",
  ...bare,
  ...own,
});
const run = (speed: number, time: number, own: Partial<RunSegment> = {}): RunSegment => ({
  kind: "run",
  speed,
  time,
  accelerateTime: 0,
  ...bare,
  ...own,
});
const dwell = (time: number): Segment => ({ kind: "dwell", time, ...bare });
const demand = (verdict: PickVerdict, id: string): number =>
  verdict.limits.find((limit) => limit.id === id)?.demand ?? Number.NaN;
const gearless = (): AxisPick => ({ motor: plainMotor(), gearbox: null, drive: plainDrive(), inductor: null });

function oracleOf(axis: ReturnType<typeof plainAxis>, cycle: number): AxisOracle {
  const problem = plainProblem([axis], cycle);
  const [machine] = problem.machines;
  if (machine === undefined) throw new Error("one machine");
  return axisOracle(problem, machine, axis);
}

/** Judges one axis whose list fills the cycle. */
function judged(
  axis: ReturnType<typeof plainAxis>,
  pick: AxisPick,
  cycle: number,
): PickVerdict & { readonly power: Float64Array; readonly grid: Grid } {
  const oracle = oracleOf(axis, cycle);
  return { ...oracle.judge(pick, 0), power: oracle.power(pick, 0), grid: oracle.shaft(0).sampled.grid };
}

test("a vertical ball screw raises and lowers with the torques of SCREW-2 (derived)", () => {
  const mechanism = {
    kind: "ball-screw",
    ...PLAIN_SHAFT,
    lead: 0.01,
    efficiency: 0.9,
    backEfficiency: 2 - 1 / 0.9,
  } as const;
  const load = plainLoad({ mass: 50, incline: up });
  const rising = judged(plainAxis(mechanism, load, [run(0.1, 1)]), gearless(), 1);
  const falling = judged(plainAxis(mechanism, load, [run(-0.1, 1)]), gearless(), 1);
  expect(demand(rising, "motor.peak_torque")).toBeCloseTo(derivedCase("SCREW-2", "T_raise"), 12);
  expect(demand(falling, "motor.peak_torque")).toBeCloseTo(derivedCase("SCREW-2", "T_lower_holding"), 12);
  expect(demand(rising, "motor.brake")).toBeCloseTo((2 * 50 * 9.80665 * 0.01) / (2 * Math.PI), 12);
});

test("a screw jack needs 2840 lbf·in (Housner and Hudson, W1, efficiency derived there)", () => {
  const inch = 0.0254;
  const pound = 4.4482216152605;
  const mechanism = {
    kind: "lead-screw",
    ...PLAIN_SHAFT,
    lead: 0.5 * inch,
    efficiency: 0.280105,
    backEfficiency: -1,
  } as const;
  const axis = plainAxis(mechanism, plainLoad({ force: 10_000 * pound }), [run(0.001, 1)]);
  const torque = demand(judged(axis, gearless(), 1), "motor.peak_torque") / (pound * inch);
  const row = referenceTable("worked_examples.csv").find(({ id }) => id === "W1");
  expect(torque / Number(row?.["printed_answer"])).toBeCloseTo(1, 3);
  expect(torque / Number(row?.["recomputed"])).toBeCloseTo(1, 5);
});

test("a hoist accelerates with 60.2586 N·m (W5 with standard gravity)", () => {
  const mechanism = { kind: "belt", ...PLAIN_SHAFT, diameter: 0.4, inertia: 10 } as const;
  const axis = plainAxis(mechanism, plainLoad({ mass: 70, incline: up }), [run(1, 1, { accelerateTime: 1 })]);
  const held = { ...axis, motion: [...axis.motion, run(0, 1, { accelerateTime: 1 }), dwell(1)] };
  const pick = { ...gearless(), motor: plainMotor({ rotorInertia: 0.8 }), gearbox: plainGearbox({ ratio: 5 }) };
  expect(demand(judged(held, pick, 3), "motor.peak_torque")).toBeCloseTo(60.25862, 5);
});

test("a belt axis through a 5:1 gearbox (BELT-1, derived)", () => {
  // The derived case takes the pulleys through the gearbox like everything else on the load's side.
  const mechanism = { kind: "belt", ...PLAIN_SHAFT, diameter: 0.05, inertia: 2e-4 } as const;
  const motion = [run(2, 0.4, { accelerateTime: 0.4 }), run(2, 0.5, { decelerateTime: 0.4 }), dwell(0.1)];
  const gearbox = plainGearbox({ efficiency: 0.95, backEfficiency: 0.95, inertia: 2e-5 });
  const axis = plainAxis(mechanism, plainLoad({ mass: 20, frictionForce: 30 }), motion, { inertiaRatio: 10 });
  const got = judged(axis, { ...gearless(), gearbox, motor: plainMotor({ rotorInertia: 1e-4 }) }, 1);
  expect((demand(got, "motor.speed") * 60) / (2 * Math.PI)).toBeCloseTo(derivedCase("BELT-1", "n_motor"), 8);
  expect(demand(got, "motor.inertia_ratio") * 1e-4).toBeCloseTo(derivedCase("BELT-1", "J_reflected_to_motor"), 12);
  const withoutRotor = demand(got, "motor.peak_torque") - 1e-4 * 5 * (5 / 0.025);
  expect(withoutRotor).toBeCloseTo(derivedCase("BELT-1", "T_motor_accel_const_force"), 9);
});

test("an accelerating conveyor (CONV-1, derived)", () => {
  const mechanism = { kind: "rollers", ...PLAIN_SHAFT, diameter: 0.08, inertia: 0.004, efficiency: 0.9 } as const;
  const load = plainLoad({ mass: 60, frictionCoefficient: 0.2 });
  const motion = [run(0.5, 2, { accelerateTime: 0.5, decelerateTime: 0.5 })];
  const axis = plainAxis(mechanism, load, motion);
  const shaft = oracleOf(axis, 2).shaft(0);
  const steady = shaft.torque.findIndex((_, k) => shaft.acceleration[k] === 0);
  expect(shaft.torque[steady]).toBeCloseTo(derivedCase("CONV-1", "T_drive steady"), 9);
  const accelerating = (shaft.torque[1] ?? 0) - 0.004 * (1 / 0.04);
  expect((accelerating * 0.9) / 0.04).toBeCloseTo(derivedCase("CONV-1", "F_total accel"), 9);
});

test("RMS torque of a trapezoid with friction (RMS-1, derived)", () => {
  const axis = plainAxis({ kind: "rotary", ...PLAIN_SHAFT }, plainLoad({ mass: 1, frictionForce: 1 }), [
    run(0.5, 0.5, { accelerateTime: 0.1, decelerateTime: 0.1 }),
    dwell(0.5),
  ]);
  const got = judged(axis, gearless(), 1);
  expect(demand(got, "motor.continuous_torque")).toBeCloseTo(derivedCase("RMS-1", "T_rms"), 7);
});

test("cubic mean torque and mean speed of a gearbox (GEAR-3, derived; form of Mott, eq. 14-11)", () => {
  const rpm = (2 * Math.PI) / 60;
  const motion = [
    run(1000 * rpm, 0.1, { force: 40 }),
    run(1500 * rpm, 0.3, { force: 20 }),
    run(1000 * rpm, 0.1, { force: 35 }),
    dwell(0.5),
  ];
  const axis = plainAxis({ kind: "rotary", ...PLAIN_SHAFT }, plainLoad(), motion, {}, { endless: true });
  const got = judged(axis, { ...gearless(), gearbox: plainGearbox({ ratio: 1 }) }, 1);
  expect(demand(got, "gearbox.mean_torque")).toBeCloseTo(derivedCase("GEAR-3", "T2m"), 9);
  expect(demand(got, "gearbox.mean_speed") / rpm).toBeCloseTo(derivedCase("GEAR-3", "n_mean over cycle"), 8);
});

/** Motor torque that accelerates 0.09 kg·m² at 20 rad/s² with a rotor of 1e-4 kg·m² [N·m]. */
function torqueAt(ratio: number): number {
  const motion = [run(2, 0.2, { accelerateTime: 0.1, decelerateTime: 0.1 }), dwell(0.8)];
  const axis = plainAxis({ kind: "rotary", ...PLAIN_SHAFT }, plainLoad({ mass: 0.09 }), motion);
  const pick = { ...gearless(), motor: plainMotor({ rotorInertia: 1e-4 }), gearbox: plainGearbox({ ratio }) };
  return demand(judged(axis, pick, 1), "motor.peak_torque");
}

test("least motor torque lies at the matched ratio and rises by 8.33 % at 1.5 times it (GEAR-1, derived)", () => {
  expect(torqueAt(30)).toBeCloseTo(derivedCase("GEAR-1", "T_motor at i_opt"), 9);
  expect(torqueAt(45) / torqueAt(30)).toBeCloseTo(derivedCase("GEAR-1", "T(1.5 i_opt)"), 9);
  expect(torqueAt(20) / torqueAt(30)).toBeCloseTo(derivedCase("GEAR-1", "T(1.5 i_opt)"), 9);
});

test("line voltage of a sinusoidal machine (VLIM-1, derived)", () => {
  const motor = plainMotor({
    poles: 8,
    torqueConstant: derivedCase("KT-1", "Kt = 3/sqrt2 p lambda (rms)"),
    voltageConstant: derivedCase("KT-1", "Ke_LLrms = sqrt(3/2) p lambda"),
    resistance: 1,
    inductance: 8e-3,
  });
  const current = 10 / Math.SQRT2;
  const voltage = lineVoltage(motor, current * motor.torqueConstant, (3000 * 2 * Math.PI) / 60, 0, 1);
  expect(voltage).toBeCloseTo(derivedCase("VLIM-1", "V_LL_rms"), 8);
  const frequency = judged(
    plainAxis({ kind: "rotary", ...PLAIN_SHAFT }, plainLoad(), [run((3000 * 2 * Math.PI) / 60, 1)]),
    { ...gearless(), drive: plainDrive({ maxFrequency: 400 }) },
    1,
  );
  expect(demand(frequency, "drive.frequency")).toBeCloseTo(derivedCase("VLIM-1", "electrical frequency"), 9);
});

test("hot resistance by the copper constant 234.5 (TH-1, derived; IEC 60034-1 from memory)", () => {
  const cold = hotResistance(plainMotor({ windingLimit: 25 }));
  expect(cold).toBeCloseTo(0.5, 12);
  expect(hotResistance(plainMotor({ windingLimit: 155 })) / cold).toBeCloseTo(1.5009633911368014, 12);
});

test("a stopping flywheel returns 442.076 J to the bus (BUS-2, derived)", () => {
  const top = (3000 * 2 * Math.PI) / 60;
  const motion = [run(top, 1, { accelerateTime: 0.8, decelerateTime: 0.2 })];
  const axis = plainAxis({ kind: "rotary", ...PLAIN_SHAFT }, plainLoad({ mass: 0.01 }), motion, {}, { endless: true });
  const pick = { ...gearless(), motor: plainMotor({ torqueConstant: 1.2, rotorInertia: 1e-15 }) };
  const { power, grid } = judged(axis, pick, 1);
  const stop = power.map((p, k) => ((grid.middle[k] ?? 0) > 0.8 ? -p : 0));
  const returned = stop.reduce((sum, p, k) => sum + p * (grid.weight[k] ?? 0), 0);
  expect(returned).toBeCloseTo(derivedCase("BUS-2", "energy returned to bus"), 6);
});

test("over a cycle the motor's work is what friction and drag take (energy balance)", () => {
  let looked = 0;
  for (const { axis, cycle } of sampleAxes()) {
    const { load, mechanism } = axis;
    const { torque, speed, weight, direction, sampled: motion, kappa } = oracleOf(axis, cycle).shaft(0);
    // The runs end 0.02 behind their start: only level axes balance there.
    const normal = mechanism.kind === "rotary" ? 0 : load.mass * 9.80665 * Math.cos(load.incline);
    let work = 0;
    let taken = 0;
    let turnover = 0;
    for (let k = 0; k < weight.length; k++) {
      const w = weight[k] ?? 0;
      const rate = speed[k] ?? 0;
      const segment = axis.motion[motion.segment[k] ?? -1];
      const friction = (segment?.frictionForce ?? load.frictionForce) + load.frictionCoefficient * normal;
      work += w * (torque[k] ?? 0) * rate;
      turnover += w * Math.abs((torque[k] ?? 0) * rate);
      taken += w * Math.abs(rate) * (mechanism.dragTorque + friction * kappa) * Math.abs(direction[k] ?? 0);
      taken += w * load.viscous * (rate * kappa) ** 2;
    }
    expect(Math.abs(work - taken)).toBeLessThan(1e-7 * turnover);
    looked++;
  }
  expect(looked).toBe(55);
});

test("commutation error takes torque with its cosine (HALL-1, derived)", () => {
  const error = (10 * Math.PI) / 180;
  const axis = plainAxis({ kind: "rotary", ...PLAIN_SHAFT }, plainLoad({ mass: 1 }), [move(1, 1)], {
    commutationError: error,
  });
  const got = judged(axis, gearless(), 1);
  const allowed = (id: string): number => got.limits.find((limit) => limit.id === id)?.allowed ?? Number.NaN;
  expect(allowed("motor.continuous_torque") / 100).toBeCloseTo(derivedCase("HALL-1", "torque factor cos"), 12);
  expect(allowed("motor.peak_torque") / 300).toBeCloseTo(derivedCase("HALL-1", "torque factor cos"), 12);
});

test("ripple current uses the largest coefficient of the published-form table (pwm_ripple.csv, derived)", () => {
  const axis = plainAxis({ kind: "rotary", ...PLAIN_SHAFT }, plainLoad(), [move(1, 1)]);
  const got = judged(axis, gearless(), 1);
  const table = referenceTable("pwm_ripple.csv").filter((row) => row["modulation"] === "sv");
  const largest = Math.max(...table.map((row) => Number(row["k_rms"])));
  const unit = (Math.SQRT2 * 400 * 1.1) / (0.5e-3 * 16000);
  expect(demand(got, "drive.ripple_current") / unit).toBeCloseTo(largest, 9);
});
