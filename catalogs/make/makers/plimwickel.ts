import {
  DRIVE_COLUMNS,
  GEARBOX_COLUMNS,
  MOTOR_COLUMNS,
  RESISTOR_COLUMNS,
  reworded,
  SUPPLY_COLUMNS,
} from "../columns.ts";
import { type DriveSeries, driveRows } from "../drives.ts";
import { type GearboxSeries, gearboxRows } from "../gearboxes.ts";
import type { Maker } from "../maker.ts";
import { type MotorLine, type MotorRange, motorRows, type Variant } from "../motors.ts";
import { resistorRows } from "../passives.ts";
import type { Column } from "../sheet.ts";
import { supplyRows } from "../supplies.ts";

const VARIANTS: readonly (readonly Variant[])[] = [
  [
    { feedback: "resolver", brake: false },
    { feedback: "encoder-incremental", brake: false },
    { feedback: "resolver", brake: true },
  ],
  [
    { feedback: "encoder-hall", brake: false },
    { feedback: "resolver", brake: false },
    { feedback: "encoder-absolute", brake: true },
  ],
];

function lines(
  width: number,
  stacks: readonly number[],
  rest: Omit<MotorLine, "build" | "width" | "stack">,
): MotorLine[] {
  return stacks.map((stack) => ({ build: "closed-slot", width, stack, ...rest }));
}

const MOTORS: MotorRange = {
  prefix: "PC",
  priceFactor: 0.7,
  leadTime: [15, 45],
  protection: (width) => (width >= 130 ? "IP65" : "IP54"),
  variants: (_winding, index) => VARIANTS[index % VARIANTS.length] ?? [],
  lines: [
    ...lines(60, [50], {
      slots: 12,
      poles: 10,
      limit: 130,
      windings: [
        ["400 V", 4000],
        ["230 V", 3000],
      ],
    }),
    ...lines(80, [60, 95], {
      slots: 12,
      poles: 10,
      limit: 130,
      windings: [
        ["400 V", 3000],
        ["230 V", 2500],
      ],
    }),
    ...lines(100, [60, 100, 140], {
      slots: 12,
      poles: 10,
      limit: 130,
      windings: [
        ["400 V", 3000],
        ["400 V", 2000],
        ["230 V", 2000],
      ],
    }),
    ...lines(130, [90, 150, 210], {
      slots: 18,
      poles: 10,
      limit: 130,
      windings: [
        ["400 V", 2500],
        ["400 V", 1500],
      ],
    }),
    ...lines(160, [100, 160, 220], {
      slots: 24,
      poles: 10,
      limit: 140,
      windings: [
        ["400 V", 2000],
        ["400 V", 1250],
      ],
    }),
  ],
};

const ANGLED: GearboxSeries = {
  prefix: "PA",
  kind: "right-angle",
  grade: "economy",
  sizes: { 80: ["F80", "F60"], 100: ["F100", "F80"], 130: ["F130", "F100"], 160: ["F160", "F130"] },
  ratios: [3, 5, 7, 10, 20, 50],
  leadTime: [18, 45],
};

const INLINE: GearboxSeries = {
  prefix: "PE",
  kind: "inline",
  grade: "economy",
  sizes: {
    60: ["F60"],
    80: ["F80", "F60"],
    100: ["F100", "F80"],
    130: ["F130", "F100"],
    160: ["F160", "F130", "F100"],
  },
  ratios: [3, 5, 7, 10, 25, 80],
  leadTime: [15, 40],
};

const DRIVES: readonly DriveSeries[] = [
  {
    prefix: "PD-",
    bus: "400 V",
    commutation: "sinusoidal",
    feedback: ["resolver", "encoder-incremental", "encoder-hall", "encoder-absolute"],
    single: [4, 8, 14, 22, 32, 45],
    double: [4, 8],
    switching: [8, 8],
    maxFrequency: 500,
    fieldbus: "can",
    safeTorqueOff: "no",
    family: "link-560",
    priceFactor: 0.8,
  },
  {
    prefix: "PS-",
    bus: "230 V",
    commutation: "six-step",
    feedback: ["hall", "encoder-hall"],
    single: [5, 12],
    double: [],
    switching: [16, 16],
    maxFrequency: 400,
    fieldbus: "none",
    safeTorqueOff: "no",
    priceFactor: 0.66,
  },
];

/** Torques in lbf*in and inertias in kg*cm^2: this maker's habit. Factors to N*m and kg*m^2: NIST SP 811, appendix B.8. */
const POUND_INCH = { unit: "lbf*in", factor: 0.112984829 } as const;
const SQUARE_CENTIMETRE = { unit: "kg*cm^2", factor: 1e-4 } as const;
const TORQUES = [
  "stall_torque",
  "rated_torque",
  "peak_torque",
  "peak_torque_at_max_speed",
  "detent_torque",
  "friction_torque",
  "brake_torque",
];

function habits(torques: readonly string[], inertias: readonly string[]): Record<string, Partial<Column>> {
  return {
    ...Object.fromEntries(torques.map((name) => [name, POUND_INCH])),
    ...Object.fromEntries(inertias.map((name) => [name, SQUARE_CENTIMETRE])),
  };
}

/** Large and inexpensive closed-slot motors, economy gearboxes and drives. Invented. */
export function plimwickel(): Maker {
  const motorColumns = reworded(MOTOR_COLUMNS, habits(TORQUES, ["rotor_inertia", "brake_inertia"]));
  const gearboxColumns = reworded(
    GEARBOX_COLUMNS,
    habits(["rated_torque", "acceleration_torque", "emergency_torque", "drag_torque"], ["inertia"]),
  );
  const supplies = supplyRows({
    prefix: "PU-",
    bus: "400 V",
    phases: 3,
    powers: [5000, 10000, 20000],
    feedsBack: false,
    family: "link-560",
    priceFactor: 0.84,
  });
  const resistors = resistorRows("PR-", [
    [82, 150, 780],
    [39, 450, 780],
    [22, 900, 780],
  ]);
  return {
    slug: "plimwickel",
    name: "Plimwickel",
    sheets: [
      { kind: "motors", columns: motorColumns, rows: motorRows(MOTORS) },
      { kind: "gearboxes", columns: gearboxColumns, rows: [...gearboxRows(ANGLED), ...gearboxRows(INLINE)] },
      { kind: "drives", columns: DRIVE_COLUMNS, rows: DRIVES.flatMap(driveRows) },
      { kind: "supplies", columns: SUPPLY_COLUMNS, rows: supplies },
      { kind: "resistors", columns: RESISTOR_COLUMNS, rows: resistors },
    ],
  };
}
