import { electricalFrequency, rippleCurrent } from "../../src/physics/limits/drive-limits.ts";
import { allowedVoltage } from "../../src/physics/limits/motor-limits.ts";
import { altitudeFactor, busVoltage, cabinetFactor } from "../../src/physics/limits/rating.ts";
import { derived, referenceRows } from "../physics/reference.ts";
import { MILD_SITE } from "../physics/sample-axis.ts";
import { driveWith, motorWith } from "../physics/sample-parts.ts";
import { type Check, derivedValue } from "./check.ts";

const TEST = "physics/published-electrics.test.ts";
const PER_MINUTE = (2 * Math.PI) / 60;

const rectified = (mains: number, phases: 1 | 3) => busVoltage({ id: "main" }, { ...MILD_SITE, mains, phases });

const dcRow = (formula: string, unit: string, ours: () => number) => ({ formula, unit, ours, test: TEST });

function rectifiers(): Check[] {
  return [
    {
      ...derivedValue("INV-1", "mean dc", "", 5e-4),
      ...dcRow("three phases, mean: 3√2/π = 1.3505, used as 1.35", "V", () => rectified(400, 3).low),
    },
    { ...derivedValue("INV-1", "peak dc", "400 V;"), ...dcRow("peak: √2 × 400 V", "V", () => rectified(400, 3).high) },
    { ...derivedValue("INV-1", "peak dc", "230 V"), ...dcRow("one phase, peak", "V", () => rectified(230, 1).high) },
    { ...derivedValue("INV-1", "peak dc", "480 V"), ...dcRow("peak: √2 × 480 V", "V", () => rectified(480, 3).high) },
    {
      ...derivedValue("INV-1", "ratio", "SVPWM"),
      ...dcRow("space-vector limit, line-line rms over bus: 1/√2", "1", () => allowedVoltage(1, 0)),
    },
    {
      ...derivedValue("VLIM-1", "min DC bus (SVPWM) = sqrt3 V_ph_pk"),
      ...dcRow("bus that gives 103.4 V line-line rms", "V", () => derived("VLIM-1", "V_LL_rms") / allowedVoltage(1, 0)),
    },
    {
      ...derivedValue("VLIM-1", "electrical frequency"),
      ...dcRow("drive.frequency: n/60·poles/2", "Hz", () =>
        electricalFrequency(motorWith({ poles: 8 }), 3000 * PER_MINUTE),
      ),
    },
  ];
}

function ripples(): Check[] {
  const unit = rippleCurrent(driveWith({ switchingFrequency: 1 }), 1, 1);
  const rows = referenceRows("pwm_ripple").filter((row) => row["modulation"] === "sv");
  const most = (column: string): number => Math.max(...rows.map((row) => Number(row[column])));
  const chopped = rippleCurrent(driveWith({ commutation: "six-step", switchingFrequency: 10_000 }), 300, 0.001);
  const stepped =
    "derived numerically; background: G. Grandi, J. Loncarski on ripple of three-phase inverters (abstract read)";
  const base = { id: "drive.ripple_current", test: TEST };
  return [
    {
      ...base,
      formula: "drive.ripple_current: space vectors, RMS 0.02515·U/(L·f)",
      source: stepped,
      published: most("k_rms"),
      unit: "1",
      ours: () => unit.rms,
      tolerance: 3e-4,
    },
    {
      ...base,
      formula: "peak to peak U/(6·L·f)",
      source: stepped,
      published: most("k_pp_max (dIpp=k*Vdc/(L*f))"),
      unit: "1",
      ours: () => unit.peakToPeak,
      tolerance: 1e-4,
    },
    {
      ...base,
      formula: "six-step, unipolar: U/(4·L_LL·f) peak to peak",
      source: "derived, closed form",
      published: 300 / (4 * 0.002 * 10_000),
      unit: "A",
      ours: () => chopped.peakToPeak,
      tolerance: 1e-9,
    },
    {
      ...base,
      formula: "its RMS: a triangle's, over √12",
      source: "derived, closed form",
      published: 300 / (4 * 0.002 * 10_000) / Math.sqrt(12),
      unit: "A",
      ours: () => chopped.rms,
      tolerance: 1e-9,
    },
  ];
}

function deratings(): Check[] {
  const manuals = {
    source: "two drive hardware manuals (read)",
    unit: "1",
    tolerance: 1e-9,
    test: TEST,
    id: "derating",
  };
  return [
    {
      ...manuals,
      formula: "altitude 1500 m: −1 % per 100 m above 1000 m",
      published: 0.95,
      ours: () => altitudeFactor(1500),
    },
    {
      ...manuals,
      formula: "cabinet at 50 °C: −1 % per K above 40 °C",
      published: 0.9,
      ours: () => cabinetFactor({ ...MILD_SITE, cabinetAmbient: 50 }),
    },
  ];
}

/** Rectifier, modulation, ripple, deratings. */
export function driveChecks(): Check[] {
  return [...rectifiers(), ...ripples(), ...deratings()];
}
