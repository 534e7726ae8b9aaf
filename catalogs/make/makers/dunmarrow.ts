import {
  DRIVE_COLUMNS,
  GEARBOX_COLUMNS,
  INDUCTOR_COLUMNS,
  MOTOR_COLUMNS,
  RESISTOR_COLUMNS,
  SUPPLY_COLUMNS,
} from "../columns.ts";
import { type DriveSeries, driveRows } from "../drives.ts";
import { type GearboxSeries, gearboxRows } from "../gearboxes.ts";
import type { Maker } from "../maker.ts";
import { type MotorLine, type MotorRange, motorRows, type Variant } from "../motors.ts";
import { inductorRows, resistorRows } from "../passives.ts";
import { type SupplySeries, supplyRows } from "../supplies.ts";

const SERVO: readonly (readonly Variant[])[] = [
  [
    { feedback: "encoder-absolute", brake: false },
    { feedback: "encoder-multiturn", brake: true },
    { feedback: "resolver", brake: false },
  ],
  [
    { feedback: "encoder-absolute", brake: true },
    { feedback: "encoder-multiturn", brake: false },
    { feedback: "resolver", brake: true },
  ],
  [
    { feedback: "encoder-absolute", brake: false },
    { feedback: "encoder-absolute", brake: true },
    { feedback: "resolver", brake: false },
  ],
];

const LOW_VOLTAGE: readonly Variant[] = [
  { feedback: "encoder-hall", brake: false },
  { feedback: "encoder-absolute", brake: false },
  { feedback: "encoder-absolute", brake: true },
];

function lines(
  width: number,
  stacks: readonly number[],
  rest: Omit<MotorLine, "build" | "width" | "stack">,
): MotorLine[] {
  return stacks.map((stack) => ({ build: "slotted", width, stack, ...rest }));
}

const MOTORS: MotorRange = {
  prefix: "DS",
  priceFactor: 1,
  leadTime: [10, 30],
  protection: () => "IP65",
  variants: ({ bus }, index) => (bus === "48 V" ? LOW_VOLTAGE : (SERVO[index % SERVO.length] ?? [])),
  lines: [
    ...lines(40, [30, 45], {
      slots: 9,
      poles: 6,
      limit: 130,
      windings: [
        ["230 V", 5000],
        ["48 V", 4000],
      ],
    }),
    ...lines(60, [30, 50, 75], {
      slots: 12,
      poles: 8,
      limit: 130,
      windings: [
        ["400 V", 5000],
        ["230 V", 4000],
        ["48 V", 3000],
      ],
    }),
    ...lines(80, [35], {
      slots: 12,
      poles: 8,
      limit: 130,
      windings: [
        ["400 V", 4500],
        ["400 V", 3000],
        ["230 V", 3000],
        ["48 V", 2500],
      ],
    }),
    ...lines(80, [60, 90], {
      slots: 12,
      poles: 8,
      limit: 130,
      windings: [
        ["400 V", 4500],
        ["400 V", 3000],
        ["230 V", 3000],
      ],
    }),
    ...lines(100, [50, 90, 130], {
      slots: 24,
      poles: 8,
      limit: 130,
      windings: [
        ["400 V", 4000],
        ["400 V", 2500],
        ["230 V", 2500],
      ],
    }),
    ...lines(130, [70, 125, 190], {
      slots: 18,
      poles: 8,
      limit: 130,
      windings: [
        ["400 V", 3000],
        ["400 V", 2000],
      ],
    }),
  ],
};

const GEARBOXES: GearboxSeries = {
  prefix: "DG",
  kind: "inline",
  grade: "standard",
  sizes: {
    40: ["F40"],
    60: ["F60", "F40"],
    80: ["F80", "F60"],
    100: ["F100", "F80", "F60"],
    130: ["F130", "F100", "F80"],
  },
  ratios: [3, 4, 5, 7, 10, 16, 20, 25, 35, 50, 100],
  leadTime: [12, 28],
};

const MAINS_DRIVE: Omit<DriveSeries, "bus" | "single" | "double" | "feedback"> = {
  prefix: "DD-",
  commutation: "sinusoidal",
  switching: [16, 8],
  maxFrequency: 600,
  fieldbus: "ethernet",
  safeTorqueOff: "yes",
  priceFactor: 1,
};

const DRIVES: readonly DriveSeries[] = [
  {
    ...MAINS_DRIVE,
    bus: "400 V",
    family: "link-560",
    feedback: ["encoder-absolute", "encoder-multiturn", "resolver"],
    single: [1.6, 3.15, 6.3, 10, 16, 25, 31.5, 50],
    double: [3.15, 6.3, 10, 16],
  },
  {
    ...MAINS_DRIVE,
    bus: "230 V",
    family: "link-320",
    feedback: ["encoder-incremental", "encoder-hall", "encoder-absolute", "encoder-multiturn", "resolver"],
    single: [1.6, 3.15, 6.3, 10, 16],
    double: [1.6, 3.15, 6.3],
  },
];

const SUPPLIES: readonly SupplySeries[] = [
  {
    prefix: "DU-",
    bus: "400 V",
    phases: 3,
    powers: [3000, 6000, 12000, 24000, 40000],
    feedsBack: false,
    family: "link-560",
    priceFactor: 1,
  },
  {
    prefix: "DU-",
    bus: "400 V",
    phases: 3,
    powers: [15000, 30000],
    feedsBack: true,
    family: "link-560",
    priceFactor: 1,
  },
  {
    prefix: "DU-",
    bus: "230 V",
    phases: 1,
    powers: [750, 1500, 3000],
    feedsBack: false,
    family: "link-320",
    priceFactor: 1,
  },
];

/** The broad slotted range, with drives, supplies and everything around them. Invented. */
export function dunmarrow(): Maker {
  const resistors = resistorRows("DR-", [
    [100, 100, 780],
    [68, 220, 780],
    [47, 350, 780],
    [33, 600, 780],
    [18, 1200, 780],
    [10, 2200, 780],
    [82, 100, 395],
  ]);
  return {
    slug: "dunmarrow",
    name: "Dunmarrow",
    sheets: [
      { kind: "motors", columns: MOTOR_COLUMNS, rows: motorRows(MOTORS) },
      { kind: "gearboxes", columns: GEARBOX_COLUMNS, rows: gearboxRows(GEARBOXES) },
      { kind: "drives", columns: DRIVE_COLUMNS, rows: DRIVES.flatMap(driveRows) },
      { kind: "supplies", columns: SUPPLY_COLUMNS, rows: SUPPLIES.flatMap(supplyRows) },
      { kind: "resistors", columns: RESISTOR_COLUMNS, rows: resistors },
      {
        kind: "inductors",
        columns: INDUCTOR_COLUMNS,
        rows: inductorRows("DL-", [
          [1, 16],
          [2.2, 10],
          [4.7, 6.3],
        ]),
      },
    ],
  };
}
