import { leadTime, priceCells, withGaps } from "./cells.ts";
import { seeded, spread } from "./seeded.ts";
import { type Row, rounded } from "./sheet.ts";

type Grade = "economy" | "standard" | "precision";
type GearboxKind = "inline" | "right-angle";

/** A maker's gearbox series: every ratio in every size. */
export interface GearboxSeries {
  readonly prefix: string;
  readonly kind: GearboxKind;
  readonly grade: Grade;
  /** Widths [mm], each with the motor frames that fit. */
  readonly sizes: Readonly<Record<number, readonly string[]>>;
  readonly ratios: readonly number[];
  readonly leadTime: readonly [number, number];
}

/** Planetary stages that make up each ratio. */
const STAGES: Readonly<Record<number, readonly number[]>> = {
  3: [3],
  4: [4],
  5: [5],
  7: [7],
  10: [10],
  12: [4, 3],
  16: [4, 4],
  20: [5, 4],
  25: [5, 5],
  28: [4, 7],
  35: [5, 7],
  40: [10, 4],
  50: [10, 5],
  70: [10, 7],
  64: [4, 4, 4],
  80: [5, 4, 4],
  100: [5, 5, 4],
};

interface GradeSpec {
  readonly torque: number;
  readonly acceleration: number;
  readonly emergency: number;
  readonly efficiency: number;
  /** One-stage backlash of a 60 mm size [arcmin]. */
  readonly backlash: number;
  readonly stiffness: number;
  readonly price: number;
  readonly maxSpeed: number;
}

/** Invented, within common practice (no source). */
const GRADES: Readonly<Record<Grade, GradeSpec>> = {
  economy: {
    torque: 0.72,
    acceleration: 1.62,
    emergency: 3.1,
    efficiency: 0.965,
    backlash: 12,
    stiffness: 0.75,
    price: 0.63,
    maxSpeed: 6000,
  },
  standard: {
    torque: 1,
    acceleration: 1.8,
    emergency: 3.5,
    efficiency: 0.97,
    backlash: 7,
    stiffness: 1,
    price: 1,
    maxSpeed: 7000,
  },
  precision: {
    torque: 1.08,
    acceleration: 1.9,
    emergency: 3.8,
    efficiency: 0.972,
    backlash: 2.5,
    stiffness: 1.3,
    price: 1.5,
    maxSpeed: 8000,
  },
};

/** Last-stage ratios of 4 and 5 carry most torque; small planets of 7 and 10 less. Common practice, no source. */
const STAGE_TORQUE: Readonly<Record<number, number>> = { 3: 0.86, 4: 1, 5: 0.98, 7: 0.82, 10: 0.6 };

interface Build {
  readonly series: GearboxSeries;
  readonly width: number;
  readonly ratio: number;
  readonly stages: readonly number[];
  readonly angled: boolean;
}

function torqueCells({ series, width, stages }: Build, vary: () => number): Row {
  const grade = GRADES[series.grade];
  const last = STAGE_TORQUE[stages.at(-1) ?? 4] ?? 1;
  const rated = rounded(30 * grade.torque * last * (width / 60) ** 2.95 * vary(), 2);
  return {
    rated_torque: rated,
    acceleration_torque: rounded(rated * grade.acceleration * vary(), 2),
    emergency_torque: rounded(rated * grade.emergency * vary(), 2),
    stiffness: rounded(2.4 * grade.stiffness * (width / 60) ** 3.3 * vary(), 2),
  };
}

function inputCells({ series, width, stages, angled }: Build, vary: () => number): Row {
  const grade = GRADES[series.grade];
  const scale = width / 60;
  const first = 0.55 + 1.4 / (stages[0] ?? 4);
  const efficiency = grade.efficiency - 0.03 * (stages.length - 1) - (angled ? 0.025 : 0);
  return {
    efficiency: rounded(efficiency, 3),
    back_efficiency: rounded(2 - 1 / efficiency, 3),
    inertia: 1.2e-5 * scale ** 4.7 * first * (angled ? 1.8 : 1) * (stages.length > 1 ? 0.92 : 1) * vary(),
    drag_torque: rounded(0.02 * scale ** 2.4 * (angled ? 1.3 : 1) * (stages.length > 1 ? 0.85 : 1) * vary(), 2),
    rated_input_speed: width <= 60 ? 4000 : width <= 100 ? 3500 : 3000,
    max_input_speed: Math.max(6000, grade.maxSpeed - (width > 80 ? 500 : 0) - (width > 120 ? 500 : 0)),
    backlash: backlash(grade.backlash, width, stages.length + (angled ? 1 : 0)),
  };
}

function backlash(base: number, width: number, meshes: number): number {
  return Math.round(2 * base * (60 / width) ** 0.35 * (1 + 0.25 * (meshes - 1))) / 2;
}

function bodyCells({ series, width, stages, angled }: Build, vary: () => number): Row {
  const scale = width / 60;
  const more = stages.length - 1;
  return {
    mass: rounded(0.9 * scale ** 2.8 * (1 + 0.27 * more) * (angled ? 1.55 : 1) * vary(), 3),
    radial_load: rounded(1600 * GRADES[series.grade].torque * scale ** 1.9, 2),
    length: Math.round((62 + 18 * more + (angled ? 32 : 0)) * scale),
  };
}

function gearboxPrice({ series, width, stages, angled, ratio }: Build): number {
  const stageFactor = 1 + 0.31 * (stages.length - 1);
  return (
    (70 + 170 * (width / 60) ** 2.05) * GRADES[series.grade].price * stageFactor * (angled ? 1.52 : 1) + ratio / 10
  );
}

const OPTIONAL = ["back_efficiency", "emergency_torque", "stiffness", "drag_torque", "length", "lead_time"] as const;

function gearboxRow(series: GearboxSeries, width: number, ratio: number): Row {
  const part = `${series.prefix}${width}-${ratio}`;
  const random = seeded(part);
  const stages = STAGES[ratio] ?? [];
  const build: Build = { series, width, ratio, stages, angled: series.kind === "right-angle" };
  const vary = (): number => spread(random, 0.015);
  const row: Row = {
    part,
    frame: `P${width}`,
    motor_frames: series.sizes[width]?.join(";"),
    kind: series.kind,
    ratio,
    stages: stages.length,
    grade: series.grade,
    ...torqueCells(build, vary),
    ...inputCells(build, vary),
    ...bodyCells(build, vary),
    ...priceCells(random, gearboxPrice(build)),
    lead_time: leadTime(random, ...series.leadTime),
  };
  return withGaps(row, OPTIONAL, random);
}

/** All gearboxes of a series, size by size. */
export function gearboxRows(series: GearboxSeries): Row[] {
  return Object.keys(series.sizes).flatMap((width) =>
    series.ratios.map((ratio) => gearboxRow(series, Number(width), ratio)),
  );
}
