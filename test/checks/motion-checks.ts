import { timedMove } from "../../src/physics/motion/move-time.ts";
import { coefficients, lawNamed, OURS } from "../physics/law-coefficients.ts";
import { referenceRows } from "../physics/reference.ts";
import { dutyOfSample, LOSSLESS, move } from "../physics/sample-axis.ts";
import { type Check, derivedValue } from "./check.ts";

const TEST = "physics/published-motion.test.ts";
const UNITS = { Cv: "s/T", Ca: "s/T²", Cj: "s/T³", Cm: "s²/T³", Ca_rms: "s/T²" } as const;
type Coefficient = keyof typeof UNITS;
const NAMES: Readonly<Record<Coefficient, string>> = {
  Cv: "peak speed",
  Ca: "peak acceleration",
  Cj: "peak jerk",
  Cm: "peak of speed × acceleration",
  Ca_rms: "RMS acceleration",
};

/** Two printed tables; the first is off the exact values by up to 0.3 %, the second has three digits. */
const TABLES: Readonly<Record<string, { source: string; tolerance: number }>> = {
  "Norton 8-2": { source: "R. L. Norton, Design of Machinery, table 8-2 (read)", tolerance: 0.003 },
  "VDI 2143": { source: "VDI 2143 sheet 1, 1980 (from memory)", tolerance: 0.005 },
};

const found = (law: Parameters<typeof coefficients>[0], name: Coefficient): number =>
  coefficients(law)[name === "Cm" ? "Cm=max|v*a|" : name] ?? Number.NaN;

function printed(): Check[] {
  return referenceRows("published_laws").flatMap((row) => {
    const law = lawNamed(row["law"]);
    const table = TABLES[row["table"] ?? ""];
    if (table === undefined) throw new Error(`no table is called ${row["table"]}`);
    const names = (["Cv", "Ca", "Cj", "Cm"] as const).filter((name) => Number.isFinite(Number(row[name] || "none")));
    return names.map((name) => ({
      id: law,
      formula: `${NAMES[name]} ${name}`,
      ...table,
      published: Number(row[name]),
      unit: UNITS[name],
      ours: () => found({ law }, name),
      test: TEST,
    }));
  });
}

function exact(): Check[] {
  return referenceRows("motion_laws").flatMap((row) => {
    const law = OURS[row["law"] ?? ""];
    if (law === null || law === undefined) return [];
    return (["Ca", "Ca_rms"] as const).map((name) => ({
      id: row["law"] ?? "",
      formula: `${NAMES[name]} ${name.replace("_", ",")}`,
      source: "derived, closed form",
      published: Number(row[name]),
      unit: UNITS[name],
      ours: () => found(law, name),
      tolerance: 6e-9,
      test: TEST,
    }));
  });
}

/** Time of a move by its limits [s]. */
function timeOf(distance: number, [maxSpeed, maxAcceleration, maxJerk]: readonly [number, number, number]): number {
  const timed = timedMove(move(distance, { law: "s-curve", maxSpeed, maxAcceleration, maxJerk }));
  return "lacking" in timed ? Number.NaN : timed.time;
}

const SEVEN_PHASES: Pick<Check, "source" | "unit" | "tolerance" | "test"> = {
  source: "L. Biagiotti, C. Melchiorri, Trajectory Planning (2008), 3.4 (from memory)",
  unit: "s",
  tolerance: 1e-9,
  test: "physics/seven-phase.test.ts",
};

const row = (formula: string, published: number, distance: number, limits: readonly [number, number, number]) => ({
  ...SEVEN_PHASES,
  id: "s-curve by limits",
  formula,
  published,
  ours: () => timeOf(distance, limits),
});

function sevenPhases(): Check[] {
  return [
    row("s/v + v/a + a/j: speed and acceleration reached", 1.7, 1, [1, 2, 10]),
    row("s/v + 2√(v/j): speed alone reached", 3, 2, [1, 100, 4]),
    row("a/j + √(a²/j² + 4s/a): acceleration alone reached", 6, 6, [9, 1, 1]),
    row("4·∛(s/2j): jerk alone", 4 * Math.cbrt(1 / 64), 0.25, [9, 99, 8]),
  ];
}

const duty = () =>
  dutyOfSample({
    mechanism: { kind: "belt", diameter: 2, ...LOSSLESS },
    load: { mass: 1 },
    motion: [move(0.5, { time: 0.6 })],
  });

function thirds(): Check[] {
  return [
    {
      ...derivedValue("TRAP-1", "v_peak"),
      formula: "trapezoid of thirds, 1.5·s/T",
      unit: "m/s",
      ours: () => duty().peakSpeed.value,
      test: TEST,
    },
    {
      ...derivedValue("TRAP-1", "a_rms over move"),
      formula: "its RMS acceleration",
      unit: "m/s²",
      ours: () => Math.sqrt(duty().gram[0] ?? 0),
      test: TEST,
    },
  ];
}

/** Motion laws and times of moves. */
export function motionChecks(): Check[] {
  return [...printed(), ...exact(), ...thirds(), ...sevenPhases()];
}
