import {
  DRIVE_COLUMNS,
  GEARBOX_COLUMNS,
  INDUCTOR_COLUMNS,
  MOTOR_COLUMNS,
  RESISTOR_COLUMNS,
  reworded,
  SUPPLY_COLUMNS,
} from "../columns.ts";
import { type DriveSeries, driveRows } from "../drives.ts";
import { type GearboxSeries, gearboxRows } from "../gearboxes.ts";
import type { Maker } from "../maker.ts";
import { type MotorLine, type MotorRange, motorRows, type Variant } from "../motors.ts";
import { inductorRows, resistorRows } from "../passives.ts";
import { type SupplySeries, supplyRows } from "../supplies.ts";

const LOW_VOLTAGE: readonly (readonly Variant[])[] = [
  [
    { feedback: "hall", brake: false },
    { feedback: "encoder-hall", brake: false },
    { feedback: "encoder-absolute", brake: false },
    { feedback: "encoder-absolute", brake: true },
  ],
  [
    { feedback: "hall", brake: false },
    { feedback: "encoder-incremental", brake: false },
    { feedback: "encoder-hall", brake: false },
    { feedback: "encoder-hall", brake: true },
    { feedback: "encoder-multiturn", brake: true },
  ],
];

const MAINS: readonly Variant[] = [
  { feedback: "encoder-absolute", brake: false },
  { feedback: "encoder-multiturn", brake: false },
  { feedback: "encoder-multiturn", brake: true },
];

function lines(
  width: number,
  stacks: readonly number[],
  rest: Omit<MotorLine, "build" | "width" | "stack">,
): MotorLine[] {
  return stacks.map((stack) => ({ build: "slotless", width, stack, ...rest }));
}

const MOTORS: MotorRange = {
  prefix: "ZL",
  priceFactor: 1.32,
  leadTime: [14, 40],
  protection: (width) => (width >= 60 ? "IP54" : "IP40"),
  variants: ({ bus }, index) => (bus === "48 V" ? (LOW_VOLTAGE[index % LOW_VOLTAGE.length] ?? []) : MAINS),
  lines: [
    ...lines(40, [25, 40, 60], {
      slots: 0,
      poles: 4,
      limit: 125,
      windings: [
        ["48 V", 6000],
        ["48 V", 4000],
        ["230 V", 6000],
      ],
    }),
    ...lines(60, [30, 50, 75], {
      slots: 0,
      poles: 6,
      limit: 125,
      windings: [
        ["48 V", 4500],
        ["48 V", 3000],
        ["230 V", 4500],
      ],
    }),
  ],
};

const INLINE: GearboxSeries = {
  prefix: "ZP",
  kind: "inline",
  grade: "precision",
  sizes: { 40: ["F40"], 60: ["F60", "F40"], 80: ["F80", "F60"], 100: ["F100", "F80"] },
  ratios: [3, 4, 5, 7, 10, 12, 20, 40, 70],
  leadTime: [20, 42],
};

const ANGLED: GearboxSeries = {
  prefix: "ZA",
  kind: "right-angle",
  grade: "precision",
  sizes: { 60: ["F60", "F40"], 80: ["F80", "F60"] },
  ratios: [5, 10, 28, 64],
  leadTime: [20, 45],
};

const SERIES: Omit<DriveSeries, "prefix" | "bus" | "single" | "double" | "feedback" | "switching"> = {
  commutation: "sinusoidal",
  maxFrequency: 1200,
  fieldbus: "can",
  safeTorqueOff: "yes",
  priceFactor: 1,
};

const DRIVES: readonly DriveSeries[] = [
  {
    ...SERIES,
    prefix: "ZD-",
    bus: "48 V",
    family: "low-48",
    feedback: ["encoder-incremental", "encoder-hall", "encoder-absolute", "encoder-multiturn"],
    single: [2.5, 6, 12, 20, 32],
    double: [6, 12],
    switching: [40, 20],
  },
  {
    ...SERIES,
    prefix: "ZH-",
    bus: "48 V",
    family: "low-48",
    commutation: "six-step",
    feedback: ["hall", "encoder-hall"],
    single: [4, 10, 25],
    double: [],
    switching: [32, 16],
    fieldbus: "none",
    safeTorqueOff: "no",
    priceFactor: 0.68,
  },
  {
    ...SERIES,
    prefix: "ZM-",
    bus: "230 V",
    fieldbus: "ethernet",
    feedback: ["encoder-absolute", "encoder-multiturn"],
    single: [2, 4, 8],
    double: [2, 4],
    switching: [16, 16],
    priceFactor: 1.1,
  },
];

const SUPPLIES: readonly SupplySeries[] = [
  { prefix: "ZU-", bus: "48 V", phases: 1, powers: [480, 960], feedsBack: false, family: "low-48", priceFactor: 1 },
  { prefix: "ZU-", bus: "48 V", phases: 3, powers: [1500, 3000], feedsBack: false, family: "low-48", priceFactor: 1 },
];

/** One ozf*in in N*m, and one oz*in*s^2 in kg*m^2. Source: NIST SP 811, appendix B.8. */
const OUNCE_INCH = 0.00706155181;
const torque = (header: string) => ({ header, unit: "ozf*in", factor: OUNCE_INCH });
const inertia = (header: string) => ({ header, unit: "oz*in*s^2", factor: OUNCE_INCH });

/** This maker's own headers, told to the program by the mapping in catalog.json. */
const MOTOR_HEADERS = {
  part: { header: "order code" },
  feedback: { header: "sensor" },
  stall_torque: torque("torque at standstill oz-in"),
  rated_torque: torque("nominal torque oz-in"),
  rated_speed: { header: "nominal speed rpm" },
  peak_torque: torque("short-time torque oz-in"),
  peak_torque_at_max_speed: torque("short-time torque at top speed oz-in"),
  max_speed: { header: "top speed rpm" },
  voltage_constant: { header: "back EMF V rms per 1000 rpm" },
  rotor_inertia: inertia("rotor oz-in-s2"),
  detent_torque: torque("cogging oz-in"),
  friction_torque: torque("friction oz-in"),
  brake_torque: torque("brake holds oz-in"),
  brake_inertia: inertia("brake oz-in-s2"),
};
const GEARBOX_HEADERS = {
  part: { header: "order code" },
  inertia: { header: "inertia at input kg cm2", unit: "kg*cm^2", factor: 1e-4 },
  backlash: { header: "play arc minutes" },
};

/** Slotless motors for 48 V and small mains axes, precision gearboxes. Invented. */
export function zefferlode(): Maker {
  const inductors = inductorRows("ZI-", [
    [0.047, 32],
    [0.1, 25],
    [0.22, 12],
    [0.47, 6],
    [1, 4],
  ]);
  return {
    slug: "zefferlode",
    name: "Zefferlode",
    sheets: [
      { kind: "motors", columns: reworded(MOTOR_COLUMNS, MOTOR_HEADERS), rows: motorRows(MOTORS) },
      {
        kind: "gearboxes",
        columns: reworded(GEARBOX_COLUMNS, GEARBOX_HEADERS),
        rows: [...gearboxRows(INLINE), ...gearboxRows(ANGLED)],
      },
      { kind: "drives", columns: DRIVE_COLUMNS, rows: DRIVES.flatMap(driveRows) },
      { kind: "supplies", columns: SUPPLY_COLUMNS, rows: SUPPLIES.flatMap(supplyRows) },
      {
        kind: "resistors",
        columns: RESISTOR_COLUMNS,
        rows: resistorRows("ZR-", [
          [2.2, 60, 56],
          [1, 150, 56],
        ]),
      },
      { kind: "inductors", columns: INDUCTOR_COLUMNS, rows: inductors },
    ],
  };
}
