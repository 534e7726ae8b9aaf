import { screwEfficiencies } from "../../src/input/screw-efficiencies.ts";
import type { Crank, Mechanism } from "../../src/machine/mechanism.ts";
import { crankAt, winderAt } from "../../src/physics/mechanism/linkage.ts";
import { example } from "../physics/reference.ts";
import { dutyOfSample, LOSSLESS, move, run, type Sample } from "../physics/sample-axis.ts";
import { gearboxWith, pickOf } from "../physics/sample-parts.ts";
import { ROLL } from "../physics/samples.ts";
import { type Check, derivedValue, printedValue, recomputedValue } from "./check.ts";

const TEST = "physics/published-mechanism.test.ts";
const LINKED = "physics/linked-duty.test.ts";
const POUND_FORCE = 4.4482216152605; // NIST SP 811 (2008), appendix B
const INCH = 0.0254;
const PER_MINUTE = (2 * Math.PI) / 60;

/** τ_in at one speed [N·m], signed. */
function steadyTorque(sample: Omit<Sample, "motion">, speed: number): number {
  return dutyOfSample({ ...sample, motion: [run(speed, 1)] }).pieces[0]?.torque(0.5) ?? Number.NaN;
}

function threaded(thread: Parameters<typeof screwEfficiencies>[0], dragTorque = 0): Mechanism {
  return { ...LOSSLESS, kind: "lead-screw", ...thread, ...screwEfficiencies(thread), dragTorque };
}

const JACK = { lead: 0.5 * INCH, pitchDiameter: 2 * INCH, frictionCoefficient: 0.2, threadAngle: 0 };
const ACME = {
  lead: 0.25 * INCH,
  pitchDiameter: 1.3429 * INCH,
  frictionCoefficient: 0.15,
  threadAngle: (14.5 * Math.PI) / 180,
};
const SQUARE = { lead: 0.008, pitchDiameter: 0.03, frictionCoefficient: 0.08, threadAngle: 0 };

const screw = (formula: string, unit: string, ours: () => number) => ({ formula, unit, ours, test: TEST });

function screws(): Check[] {
  const poundInch = POUND_FORCE * INCH;
  const jack = { mechanism: threaded(JACK), load: { force: 10_000 * POUND_FORCE } };
  const acme = { mechanism: threaded(ACME), load: { force: 12_500 * POUND_FORCE } };
  const square = { mechanism: threaded(SQUARE, 6400 * 0.08 * 0.02), load: { force: 6400 } };
  const ball = {
    mechanism: { ...LOSSLESS, kind: "ball-screw", lead: 0.01, efficiency: 0.9, backEfficiency: 2 - 1 / 0.9 },
    load: { mass: 50, incline: Math.PI / 2 },
  } as const;
  return [
    {
      ...printedValue("W1", Number(example("W1").printed), 5e-4),
      ...screw("square thread, raise: F·d/2·tan(λ + ρ)", "lbf*in", () => steadyTorque(jack, 0.01) / poundInch),
    },
    { ...recomputedValue("W1"), ...screw("the same", "lbf*in", () => steadyTorque(jack, 0.01) / poundInch) },
    {
      ...printedValue("W2", 1809, 0.005),
      ...screw("Acme thread, raise (printed 0.3 % off its formula)", "lbf*in", () => {
        return steadyTorque(acme, 0.01) / poundInch;
      }),
    },
    { ...recomputedValue("W2"), ...screw("the same", "lbf*in", () => steadyTorque(acme, 0.01) / poundInch) },
    {
      ...printedValue("W2", 0.275, 0.004),
      ...screw("its efficiency, tan λ/tan(λ + ρ) (three digits)", "1", () => screwEfficiencies(ACME).efficiency),
    },
    {
      ...printedValue("W3", 26.18, 2e-4),
      ...screw("two starts and collar, raise", "N*m", () => steadyTorque(square, 0.01)),
    },
    { ...printedValue("W3", 9.77, 5e-4), ...screw("and lower", "N*m", () => -steadyTorque(square, -0.01)) },
    {
      ...printedValue("W3", 0.311, 1e-3),
      ...screw("its efficiency, F·l/(2π·T)", "1", () => (6400 * 0.008) / (2 * Math.PI * steadyTorque(square, 0.01))),
    },
    {
      ...derivedValue("SCREW-2", "T_raise"),
      ...screw("ball screw, raise: m·g·l/(2π·η)", "N*m", () => steadyTorque(ball, 0.1)),
    },
    {
      ...derivedValue("SCREW-2", "T_lower_holding (back-driven)"),
      ...screw("lower: m·g·l·η_b/2π, η_b = 2 − 1/η", "N*m", () => steadyTorque(ball, -0.1)),
    },
  ];
}

function beltsAndRollers(): Check[] {
  const belt = dutyOfSample({
    mechanism: { ...LOSSLESS, kind: "belt", diameter: 0.05, inertia: 2e-4 },
    load: { mass: 20, frictionForce: 30 },
    motion: [run(2, 1, { accelerateTime: 0.4, decelerateTime: 0.4 })],
  });
  const gearbox = gearboxWith({ ratio: 5, efficiency: 0.95, inertia: 2e-5 });
  const rack = dutyOfSample({
    mechanism: { ...LOSSLESS, kind: "rack", diameter: 0.04 },
    load: { mass: 100 },
    motion: [move(1, { time: 1 })],
  });
  const conveyor: Omit<Sample, "motion"> = {
    mechanism: { ...LOSSLESS, kind: "rollers", diameter: 0.08, efficiency: 0.9, inertia: 4e-3 },
    load: { mass: 60, frictionCoefficient: 0.2 },
  };
  return [
    {
      ...derivedValue("BELT-1", "T_motor_accel_const_force (inertia of load side and friction through eta)"),
      formula: "belt behind a gearbox: ((J·α + F·r)/(i·η)) + J_gearbox·i·α",
      unit: "N*m",
      ours: () => pickOf(belt, { gearbox }).peakTorque.value,
      test: TEST,
    },
    {
      ...derivedValue("BELT-1", "n_motor"),
      formula: "motor speed i·v/r",
      unit: "rpm",
      ours: () => (5 * belt.peakSpeed.value) / PER_MINUTE,
      test: TEST,
    },
    {
      ...derivedValue("RACK-1", "travel per rev"),
      formula: "rack: π·module·teeth",
      unit: "m",
      ours: () => 2 * Math.PI * rack.travel,
      test: TEST,
    },
    {
      ...derivedValue("RACK-1", "J_reflected at pinion"),
      formula: "m·r²",
      unit: "kg*m^2",
      ours: () => rack.largestInertia,
      test: TEST,
    },
    {
      ...derivedValue("CONV-1", "T_drive steady"),
      formula: "rollers: μ·m·g·r/η",
      unit: "N*m",
      ours: () => steadyTorque(conveyor, 0.5),
      test: TEST,
    },
    {
      ...derivedValue("CONV-1", "J at drive roller"),
      formula: "m·r² + ΣJ",
      unit: "kg*m^2",
      ours: () => dutyOfSample({ ...conveyor, motion: [run(0.5, 2)] }).largestInertia,
      test: TEST,
    },
  ];
}

const held = (): { torque: number; speed: number } => {
  // Nearly no web is wound: what counts is the full roll at line speed.
  const mechanism = { ...ROLL, webThickness: 1e-12 };
  const ramps = { accelerateTime: 0.1, decelerateTime: 0.1 };
  const { pieces } = dutyOfSample({ mechanism, motion: [run(2, 1, ramps)] });
  const piece = pieces.find(({ from, to }) => from < 0.5 && to > 0.5);
  return { torque: piece?.torque(0.5) ?? Number.NaN, speed: piece?.speed(0.5) ?? Number.NaN };
};

const windRow = (output: string, formula: string, unit: string, ours: () => number): Check => {
  return { ...derivedValue("WIND-1", output), formula, unit, ours, test: LINKED };
};

function winders(): Check[] {
  const rest = { position: 0, speed: 2, acceleration: 0 };
  const cylinder = (coreDiameter: number): number =>
    winderAt({ ...ROLL, coreDiameter, startDiameter: 0.1, webWidth: 0.05, webDensity: 7850 }, rest).turning;
  return [
    windRow("J_roll", "winder: full roll ½·π·ρ·b·(R⁴ − r⁴)", "kg*m^2", () => winderAt(ROLL, rest).turning),
    windRow("omega full", "ω = v/R", "rad/s", () => winderAt(ROLL, rest).shaftSpeed),
    windRow("T full", "tension × R", "N*m", () => held().torque),
    windRow("power (constant)", "tension × v", "W", () => held().torque * held().speed),
    {
      ...derivedValue("CYL-1", "J=pi rho L D^4/32"),
      formula: "solid cylinder (a roll without a core)",
      unit: "kg*m^2",
      ours: () => cylinder(0),
      test: "checks/checks.test.ts",
    },
    {
      ...derivedValue("CYL-2", "J=pi rho L (D^4-d^4)/32"),
      formula: "hollow cylinder (a roll on its core)",
      unit: "kg*m^2",
      ours: () => cylinder(0.06),
      test: "checks/checks.test.ts",
    },
  ];
}

function cranks(): Check[] {
  const crank: Crank = { ...LOSSLESS, kind: "crank", radius: 0.05, rod: 0.18, offset: 0, startAngle: 0 };
  const at = (position: number) => crankAt(crank, { position, speed: 30, acceleration: 0 });
  const source = "textbook of machine dynamics (from memory)";
  const base = { id: "crank", source, tolerance: 1e-9, test: LINKED };
  const far = { formula: "outer dead centre: r·ω²·(1 + r/l)", published: 45 * (1 + 5 / 18), unit: "m/s²" };
  const near = { formula: "inner dead centre: r·ω²·(1 − r/l)", published: 45 * (1 - 5 / 18), unit: "m/s²" };
  return [
    { ...base, ...far, ours: () => -at(0).loadAcceleration },
    { ...base, ...near, ours: () => at(Math.PI).loadAcceleration },
    {
      ...base,
      formula: "rod at right angles to the crank: v = r·ω·√(1 + r²/l²)",
      published: 0.05 * 30 * Math.sqrt(1 + (0.05 / 0.18) ** 2),
      unit: "m/s",
      ours: () => Math.abs(at(Math.atan2(0.18, 0.05)).loadSpeed),
    },
  ];
}

/** Screws, belt, rack, rollers, winder and crank. */
export function mechanismChecks(): Check[] {
  return [...screws(), ...beltsAndRollers(), ...winders(), ...cranks()];
}
