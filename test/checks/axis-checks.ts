import type { ScrewEnds } from "../../src/machine/mechanism.ts";
import { criticalSpeed, torqueRippleOf } from "../../src/physics/limits/axis-limits.ts";
import { antiresonance, resonance } from "../../src/physics/limits/resonance-limits.ts";
import { limitOf } from "../physics/limit-of.ts";
import { derived } from "../physics/reference.ts";
import { dwell, LOSSLESS, run, type Sample } from "../physics/sample-axis.ts";
import { driveWith } from "../physics/sample-parts.ts";
import { byHand, type Check } from "./check.ts";

const PER_MINUTE = (2 * Math.PI) / 60;

/** 80 % of the critical speed over d/L², in 10⁷ mm/min: the factor that ball-screw handbooks give. */
const screwFactor = (ends: ScrewEnds): number =>
  (0.8 * criticalSpeed({ diameter: 0.02, length: 1, ends })) / PER_MINUTE / 20e-6 / 1e7;

const handbook = (ends: ScrewEnds, published: number): Check => ({
  id: "axis.critical_speed",
  formula: `screw, ${ends}: n = f·10⁷·d/L², 80 % of the first critical speed`,
  source: "factors of ball-screw handbooks, three digits or two (from memory)",
  published,
  unit: "× 1e7 mm/min",
  ours: () => screwFactor(ends),
  tolerance: 0.005,
  test: "physics/limits/critical-speed.test.ts",
});

function swinging(): Check[] {
  const masses = { stiffness: 100, motor: 0.0025, load: 0.01 };
  const base = {
    source: "G. Ellis, Control System Design Guide, two-mass model (from memory); by hand",
    unit: "Hz",
    tolerance: 1e-9,
    test: "physics/limits/resonance.test.ts",
    id: "axis.resonance",
  };
  return [
    {
      ...base,
      formula: "allowed: antiresonance √(k/J_L)/2π",
      published: 50 / Math.PI,
      ours: () => antiresonance(masses),
    },
    {
      ...base,
      formula: "beside: resonance √(k·(1/J_M + 1/J_L))/2π",
      published: Math.sqrt(5e4) / (2 * Math.PI),
      ours: () => resonance(masses),
    },
  ];
}

function shafts(): Check[] {
  const radialFactor = 1 / Math.cos(Math.PI / 9);
  const sample: Sample = {
    mechanism: { ...LOSSLESS, kind: "rack", diameter: 0.04, radialFactor },
    load: { frictionForce: 300 },
    motion: [run(0.1, 1)],
  };
  const base = {
    source: "tooth force of an involute gear, textbook of machine elements (from memory); by hand",
    published: 300 / Math.cos(Math.PI / 9),
    unit: "N",
    tolerance: 1e-9,
    formula: "pinion: F_t/cos α, α = 20°",
    test: "physics/limits/shaft-load.test.ts",
  };
  const geared = { gearbox: { ratio: 3, radialLoad: 1000 } };
  return [
    {
      ...base,
      id: "motor.shaft_load",
      ours: () => limitOf("motor.shaft_load", sample, { motor: { radialLoad: 1000 } }).demand,
    },
    { ...base, id: "gearbox.shaft_load", ours: () => limitOf("gearbox.shaft_load", sample, geared).demand },
  ];
}

/** Screws, shafts, resonance, torque at rest and in six steps. */
export function axisChecks(): Check[] {
  const held: Sample = { load: { force: 1 }, motion: [dwell(60)] };
  return [
    handbook("supported-supported", 9.7),
    handbook("fixed-supported", 15.1),
    handbook("fixed-fixed", 21.9),
    ...swinging(),
    ...shafts(),
    {
      id: "axis.torque_ripple",
      formula: "six steps on a sinusoidal voltage, peak to peak: 1 − cos 30°",
      source: "derived, closed form",
      published: 1 - derived("HALL-1", "cos30"),
      unit: "1",
      ours: () => torqueRippleOf(driveWith({ commutation: "six-step" }), 0),
      tolerance: 1e-9,
      test: "physics/limits/torque-ripple.test.ts",
    },
    {
      ...byHand("motor.standstill_torque", 2 / Math.SQRT2),
      formula: "allowed at rest: T0/√2, one phase gets twice the heat",
      unit: "N*m",
      ours: () => limitOf("motor.standstill_torque", held, { motor: { stallTorque: 2, windingTime: 20 } }).allowed,
      test: "physics/limits/rest.test.ts",
    },
  ];
}
