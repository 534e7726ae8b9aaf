import type { Inductor } from "../../src/machine/catalogue.ts";
import type { LimitId } from "../../src/machine/limit.ts";
import { limitOf, type SampleParts } from "../physics/limit-of.ts";
import { dwell, LOSSLESS, move, run, type Sample } from "../physics/sample-axis.ts";
import { LIFT, TURNING } from "../physics/samples.ts";
import { byHand, type Check } from "./check.ts";

const TEST = "physics/limits.test.ts";
const G = 9.80665;
const KAPPA = 0.01 / (2 * Math.PI);

const STARTING: Sample = {
  ...TURNING,
  motion: [run(10, 2, { accelerateTime: 1, decelerateTime: 1 }), dwell(2)],
  needs: { gearboxShock: 1.5 },
};
const GEARED: SampleParts = { motor: { rotorInertia: 1e-3 }, gearbox: { ratio: 4, emergencyTorque: 50 } };
const SCREW: Sample = {
  mechanism: { ...LOSSLESS, kind: "ball-screw", lead: 0.01, inertia: 1e-5 },
  load: { mass: 20 },
  motion: [move(0.1, { time: 1 })],
  needs: { detent: 100, speedRipple: 0.1, smoothFrom: 0.001, resolution: 1e-6 },
};
const FINE: SampleParts = {
  motor: { detentTorque: 0.02, detents: 24, rotorInertia: 5e-5, resolution: 4096 },
  gearbox: { ratio: 5 },
};
const INDUCTOR: Inductor = {
  kind: "inductor",
  maker: "invented",
  part: "L",
  prices: [],
  texts: {},
  inductance: 0.004,
  continuousCurrent: 9,
};

interface Case {
  readonly id: LimitId;
  readonly rule: string;
  readonly by: number;
  readonly sample: Sample;
  readonly parts?: SampleParts;
  readonly side?: "demand" | "allowed";
}

const UNITS: Readonly<Record<string, string>> = { motor: "N*m", gearbox: "N*m", drive: "A", inductor: "A" };

function row({ id, rule, by, sample, parts, side = "demand" }: Case): Check {
  const unit = OWN_UNITS[id] ?? UNITS[id.split(".")[0] ?? ""] ?? "";
  return { ...byHand(id, by), formula: rule, unit, ours: () => limitOf(id, sample, parts)[side], test: TEST };
}

const OWN_UNITS: Readonly<Partial<Record<LimitId, string>>> = {
  "motor.speed": "rad/s",
  "motor.inertia_ratio": "1",
  "motor.detent": "N",
  "motor.speed_ripple": "1",
  "motor.resolution": "m",
  "gearbox.max_speed": "rad/s",
};

function motorLimits(): Check[] {
  const falling = { stallTorque: 5, ratedTorque: 4, ratedSpeed: 30 };
  const bent = { peakTorque: 6, peakKneeSpeed: 5, maxSpeed: 25, peakTorqueAtMaxSpeed: 2 };
  const margins = { torqueMargin: 0.15, speedMargin: 0.1 };
  const inertia = 5e-5 + (1e-5 + 20 * KAPPA ** 2) / 25;
  return [
    row({
      id: "motor.continuous_torque",
      rule: "√(⟨T²⟩ + β·⟨n²⟩)·(1 + margin), β = (T0² − T_r²)/n_r²",
      by: Math.sqrt(9 + 0.01 * 100) * 1.15,
      sample: { ...TURNING, needs: margins },
      parts: { motor: falling },
    }),
    row({
      id: "motor.peak_torque",
      rule: "m·(g + a)·r + J·a/r",
      by: 4 * (G + 0.9) * 0.025 + (1e-3 * 0.9) / 0.025,
      sample: LIFT,
      parts: { motor: { rotorInertia: 1e-3 } },
    }),
    row({
      id: "motor.torque_at_speed",
      rule: "allowed: a quarter of the way from 6 to 2 N*m",
      by: 5,
      sample: TURNING,
      parts: { motor: bent },
      side: "allowed",
    }),
    row({
      id: "motor.speed",
      rule: "i·ω·(1 + margin)",
      by: 77,
      sample: { ...TURNING, needs: margins },
      parts: { gearbox: { ratio: 7 } },
    }),
    row({
      id: "motor.inertia_ratio",
      rule: "(J_gearbox + J_load/i²)/J_motor",
      by: (2e-5 + 0.05 / 100) / 5e-5,
      sample: TURNING,
      parts: { motor: { rotorInertia: 5e-5 }, gearbox: { ratio: 10, inertia: 2e-5 } },
    }),
    row({ id: "motor.detent", rule: "T_d·i·2π/lead", by: (0.02 * 5) / KAPPA, sample: SCREW, parts: FINE }),
    row({
      id: "motor.speed_ripple",
      rule: "T_d/(J·N_d·ω²)",
      by: 0.02 / (inertia * 24 * ((5 * 0.001) / KAPPA) ** 2),
      sample: SCREW,
      parts: FINE,
    }),
    row({
      id: "motor.brake",
      rule: "m·g·r·2/i",
      by: (4 * G * 0.025 * 2) / 3,
      sample: { ...LIFT, needs: { brake: true } },
      parts: { motor: { brakeTorque: 1 }, gearbox: { ratio: 3 } },
    }),
    row({ id: "motor.resolution", rule: "lead/(i·counts)", by: 0.01 / (5 * 4096), sample: SCREW, parts: FINE }),
  ];
}

function gearboxLimits(): Check[] {
  return [
    row({ id: "gearbox.peak_torque", rule: "(T + J·α)·shock", by: 3.5 * 1.5, sample: STARTING, parts: GEARED }),
    row({
      id: "gearbox.emergency_torque",
      rule: "i·(T/i + J_motor·i·α)",
      by: (3.5 / 4 + 1e-3 * 4 * 10) * 4,
      sample: STARTING,
      parts: GEARED,
    }),
    row({ id: "gearbox.max_speed", rule: "i·ω", by: 40, sample: STARTING, parts: GEARED }),
  ];
}

function driveLimits(): Check[] {
  const margin: Sample = { ...TURNING, needs: { currentMargin: 0.1, commutationError: Math.PI / 3 } };
  const motor = { torqueConstant: 0.5, stallTorque: 2, peakTorque: 8, peakCurrent: 28 };
  return [
    row({
      id: "drive.continuous_current",
      rule: "T_rms/(K_t·cos δ)·(1 + margin)",
      by: 12 * 1.1,
      sample: margin,
      parts: { motor },
    }),
    row({
      id: "drive.peak_current",
      rule: "saturated: two thirds of the way from 4 to 28 A, × (1 + margin)",
      by: 20 * 1.1,
      sample: margin,
      parts: { motor },
    }),
    row({
      id: "inductor.continuous_current",
      rule: "T_rms/(K_t·cos δ)",
      by: 12,
      sample: margin,
      parts: { motor, inductor: INDUCTOR },
    }),
  ];
}

/** Limits of motor, gearbox and drive that follow from rules of the trade. */
export function limitChecks(): Check[] {
  return [...motorLimits(), ...gearboxLimits(), ...driveLimits()];
}
