import { overloadTime } from "../../src/physics/limits/heat-limits.ts";
import { terminalVoltage } from "../../src/physics/limits/motor-limits.ts";
import { hotResistance, motorRating } from "../../src/physics/limits/rating.ts";
import { torqueByVoltage } from "../../src/physics/limits/reach.ts";
import { extremes } from "../../src/physics/power/coefficients.ts";
import { pairPower } from "../../src/physics/power/pair-power.ts";
import { limitOf } from "../physics/limit-of.ts";
import { derived, example } from "../physics/reference.ts";
import { BARE_NEEDS, dutyOfSample, dwell, MILD_SITE, run, type Sample } from "../physics/sample-axis.ts";
import { driveWith, motorWith, pickOf } from "../physics/sample-parts.ts";
import { sineMotor } from "../physics/samples.ts";
import { byHand, type Check, derivedValue, printedValue, recomputedValue } from "./check.ts";

const ELECTRICS = "physics/published-electrics.test.ts";
const HEAT = "physics/limits/heat.test.ts";
const PER_MINUTE = (2 * Math.PI) / 60;

/** A motor at its rating, without derating. */
function rated(given: Parameters<typeof motorWith>[0]): Parameters<typeof terminalVoltage>[0] {
  const motor = motorWith(given);
  return { motor, rating: motorRating(motor, BARE_NEEDS, MILD_SITE), phaseInductance: motor.inductance / 2 };
}

/** Torque per ampere at which the terminals take just the shaft's power. */
function constantOf(voltageConstant: number): number {
  const phase = rated({ torqueConstant: 1, voltageConstant, resistance: 0, inductance: 0 });
  return (Math.sqrt(3) * terminalVoltage(phase, 200, 1.7)) / 200;
}

const alignment = (degrees: number): number =>
  motorRating(motorWith(), { ...BARE_NEEDS, commutationError: (degrees * Math.PI) / 180 }, MILD_SITE).alignment;

function constants(): Check[] {
  const motor = motorWith({ torqueConstant: 0.6, resistance: 1.2, windingLimit: 25, referenceAmbient: 20 });
  return [
    {
      ...derivedValue("KT-1", "Kt", "PMSM sinusoidal: Ke=1 V_LLrms/(rad/s)"),
      formula: "K_t = √3·K_e, per A rms and V line-line rms",
      unit: "N*m/A",
      ours: () => constantOf(1),
      test: ELECTRICS,
    },
    {
      ...derivedValue("KT-1", "Kt", "Ke=1 V_LLrms per krpm"),
      formula: "the same per 1000 rpm",
      unit: "N*m/A",
      ours: () => constantOf(1 / (1000 * PER_MINUTE)),
      test: ELECTRICS,
    },
    {
      ...derivedValue("KM-1", "copper loss at T: 3 I^2 R_ph = 1.5 I^2 R_LL; Km=Kt/sqrt(1.5 R_LL)"),
      formula: "motor constant K_t/√(1.5·R_LL): torque per √W of copper loss",
      unit: "N*m/W^0.5",
      ours: () =>
        1 /
        Math.sqrt(extremes(pairPower(pickOf(dutyOfSample({ motion: [dwell(1, { force: 1 })] }), { motor })), 0).most),
      test: "checks/checks.test.ts",
    },
    {
      ...derivedValue("HALL-1", "torque factor cos"),
      formula: "commutation error of 10°: cos δ",
      unit: "1",
      ours: () => alignment(10),
      test: ELECTRICS,
    },
    {
      ...derivedValue("HALL-1", "cos"),
      formula: "commutation error of 30°: cos δ",
      unit: "1",
      ours: () => alignment(30),
      test: ELECTRICS,
    },
  ];
}

function copper(): Check[] {
  const iec = { source: "IEC 60034-1, constant 234.5 K (from memory); derived", test: ELECTRICS, unit: "1" };
  return [
    {
      ...derivedValue("TH-1", "R=R20(234.5+100)/(234.5+20)"),
      ...iec,
      formula: "copper from 20 to 100 °C",
      ours: () => hotResistance(1, 100) / hotResistance(1, 20),
    },
    {
      ...derivedValue("TH-1", "ratio", ";20->155"),
      ...iec,
      formula: "copper from 20 to 155 °C",
      ours: () => hotResistance(1, 155) / hotResistance(1, 20),
    },
    {
      ...derivedValue("TH-1", "ratio", ";25->155"),
      ...iec,
      formula: "copper from 25 to 155 °C",
      ours: () => hotResistance(1, 155),
    },
    {
      id: "TH-1",
      source: "temperature coefficient of copper 0.00393/K, handbooks (from memory)",
      published: derived("TH-1", "R=R20(1+.00393*80)"),
      tolerance: 1e-4,
      formula: "copper from 20 to 100 °C by its coefficient",
      unit: "1",
      ours: () => hotResistance(1, 100) / hotResistance(1, 20),
      test: "checks/checks.test.ts",
    },
  ];
}

function voltages(): Check[] {
  const phase = rated(sineMotor());
  const found = (): number => terminalVoltage(phase, 3000 * PER_MINUTE, derived("KT-1", "Kt = 3/2 p lambda (pk)") * 10);
  return [
    {
      ...derivedValue("VLIM-1", "V_LL_rms"),
      formula: "motor.voltage: √3·√((K_e·ω/√3 + R·i)² + (ω_e·L·i)²)",
      unit: "V",
      ours: found,
      test: ELECTRICS,
    },
    {
      ...derivedValue("VLIM-1", "V_phase_pk"),
      formula: "the same per phase, peak",
      unit: "V",
      ours: () => found() / Math.sqrt(1.5),
      test: ELECTRICS,
    },
    {
      id: "VLIM-1",
      source: "derived, closed form",
      published: derived("KT-1", "Kt = 3/2 p lambda (pk)") * 10,
      tolerance: 1e-9,
      formula: "largest torque at that voltage: i = (V² − E²)/(E·R + √(V²·Z² − E²·X²)), 10 A peak",
      unit: "N*m",
      ours: () => torqueByVoltage(phase, 3000 * PER_MINUTE, derived("VLIM-1", "V_LL_rms")),
      test: "physics/limits/reach.test.ts",
    },
  ];
}

const ALONE = { windingShare: 1, windingLimit: 100, referenceAmbient: 40 };
const HOUR = 3600;

/** Highest winding temperature [°C] after so much torque for so long from cold, beside a turning loss. */
function heated(motor: Parameters<typeof motorWith>[0], sample: Sample): number {
  return limitOf("motor.winding_temperature", sample, { motor: { ...ALONE, ...motor } }).demand;
}

const fromCold = (torque: number, time: number, tau: number): Sample => ({
  motion: [dwell(time, { force: torque }), dwell(400 * tau)],
});

/**
 * Torque, as a multiple of the rated one, that brings a winding just to its limit: copper loss 1 and constant loss `a` at the
 * rated point. The rise is linear in the square of the torque, so two runs tell it.
 */
function permissible(tau: number, time: number, a: number): number {
  const motor = { windingTime: tau, stallTorque: Math.sqrt(1 + a), ratedTorque: 1, ratedSpeed: 10, peakTorque: 9 };
  const rise = (torque: number): number => {
    const turning = {
      load: { frictionForce: torque },
      motion: [run(10, time, { accelerateTime: 1e-4, decelerateTime: 1e-4 }), dwell(60 * tau)],
    };
    return (heated(motor, a === 0 ? fromCold(torque, time, tau) : turning) - 40) / 60;
  };
  const [one, two] = [rise(1), rise(2)];
  return Math.sqrt(1 + ((1 - one) * 3) / (two - one));
}

function heating(): Check[] {
  const [minutes = 0] = example("W15").recomputed;
  const measured = { windingTime: 60 * minutes, stallTorque: 3, ratedTorque: 3 };
  const rise = (time: number): number => heated(measured, fromCold(3, 60 * time, 60 * minutes)) - 40;
  const cold = { windingTime: 3 * HOUR, windingLimit: 120, stallTorque: 1, ratedTorque: 1 };
  const [, hours = 0] = example("W18").recomputed;
  const w15 = { source: example("W15").source, tolerance: 1e-6, unit: "K", test: HEAT, id: "W15" };
  return [
    {
      ...w15,
      formula: "motor.winding_temperature: rise after 40 min, time constant 57.71 min",
      published: 30,
      ours: () => rise(40),
    },
    { ...w15, formula: "rise after 80 min", published: 45, ours: () => rise(80) },
    {
      ...printedValue("W18", 0.95 * 120, 1e-6),
      formula: "temperature after 2.59 time constants",
      unit: "degC",
      ours: () => heated(cold, fromCold(1, hours * HOUR, 3 * HOUR)),
      test: "checks/checks.test.ts",
    },
    {
      ...recomputedValue("W12"),
      formula: "10 min from cold, time constant 60 min: P/√(1 − e^(−t/τ))",
      unit: "kW",
      ours: () => 20 * permissible(60 * 60, 600, 0),
      test: "checks/checks.test.ts",
    },
    {
      ...recomputedValue("W13", 0, 1e-5),
      formula: "half an hour to continuous: P/√((1 + a)/(1 − e^(−t/τ)) − a)",
      unit: "kW",
      ours: () => 100 / permissible(80 * 60, 1800, 0.49),
      test: "checks/checks.test.ts",
    },
    {
      ...printedValue("W17", 1.23973, 1e-5),
      formula: "permissible overload with a constant loss",
      unit: "1",
      ours: () => permissible(1.5 * HOUR, 2 * HOUR, 0.5),
      test: HEAT,
    },
  ];
}

// Largest torque for a share of a short cycle: its continuous torque is met exactly.
const factor = (share: number): number =>
  1 / limitOf("motor.continuous_torque", { motion: [dwell(share, { force: 1 }), dwell(1 - share)] }).demand;

function dutyCycles(): Check[] {
  return [
    {
      ...derivedValue("TH-3", "sqrt(1/ED) torque factor (loss ~ T^2 only, short cycle)"),
      formula: "motor.continuous_torque at 40 % of the time: 1/√0.4",
      unit: "1",
      ours: () => factor(0.4),
      test: "checks/checks.test.ts",
    },
    {
      ...derivedValue("TH-3", "factor"),
      formula: "motor.continuous_torque at 25 % of the time: 1/√0.25",
      unit: "1",
      ours: () => factor(0.25),
      test: "checks/checks.test.ts",
    },
  ];
}

/** Time a drive's overload stands so many times its continuous current, from a preload [s]. */
function overloaded(times: number, preload: number): number {
  const drive = { peakTime: -60 * Math.log(1 - 1 / times ** 2), peakCurrent: 5 * times, continuousCurrent: 5 };
  const state = (time: number): number => {
    const motion = [
      ...(preload > 0 ? [dwell(6000, { force: 5 * preload })] : [dwell(6000)]),
      dwell(time, { force: 5 * times }),
    ];
    return limitOf("drive.overload", { motion }, { drive }).demand;
  };
  let [low, high] = [0.1, 60];
  for (let k = 0; k < 60; k++) {
    const middle = (low + high) / 2;
    if (state(middle) < 1) low = middle;
    else high = middle;
  }
  return low;
}

const row = (formula: string, ours: () => number) => ({ formula, unit: "s", ours, test: HEAT });

function overloads(): Check[] {
  return [
    {
      ...derivedValue("TH-2", "t=-tau ln(1-1/k^2)"),
      ...row("drive.overload: twice, from cold: −τ·ln(1 − 1/k²)", () => overloaded(2, 0)),
    },
    { ...derivedValue("TH-2", "t", ";k=3"), ...row("drive.overload: three times, from cold", () => overloaded(3, 0)) },
    {
      ...derivedValue("TH-2", "t=tau ln((k^2-p^2)/(k^2-1))"),
      ...row("drive.overload: three times, after half for long", () => overloaded(3, 0.5)),
    },
    {
      ...byHand("drive.overload", 60),
      ...row(
        "time constant from a peak time: −t/ln(1 − 1/k²)",
        () =>
          overloadTime(driveWith({ peakTime: derived("TH-2", "t", ";k=3"), peakCurrent: 15, continuousCurrent: 5 })) ??
          0,
      ),
    },
  ];
}

/** Motor constants, copper, voltage, heat, overload. */
export function motorChecks(): Check[] {
  return [...constants(), ...copper(), ...voltages(), ...dutyCycles(), ...heating(), ...overloads()];
}
