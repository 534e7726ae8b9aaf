import { leadTime, priceCells, withGaps } from "./cells.ts";
import type { Bus } from "./motor-winding.ts";
import type { FeedbackKind } from "./motors.ts";
import { between, seeded, spread } from "./seeded.ts";
import { type Row, rounded } from "./sheet.ts";

/** A series of drives that share everything but their current. */
export interface DriveSeries {
  readonly prefix: string;
  readonly bus: Bus;
  readonly commutation: "sinusoidal" | "six-step";
  readonly feedback: readonly FeedbackKind[];
  /** Continuous currents per channel [A rms] with one channel, and of the modules with two. */
  readonly single: readonly number[];
  readonly double: readonly number[];
  /** [kHz], for the smallest and the largest current */
  readonly switching: readonly [number, number];
  readonly maxFrequency: number;
  readonly fieldbus: string;
  readonly safeTorqueOff: "yes" | "no";
  readonly family?: string;
  readonly priceFactor: number;
}

interface BusSpec {
  readonly letter: string;
  readonly max: number;
  readonly min: number;
  readonly lossPerAmp: number;
  /** Capacitance of a module and of each ampere [uF]. */
  readonly capacitance: readonly [number, number];
  /** Width of a module and of each ampere [mm]. */
  readonly width: readonly [number, number];
  readonly price: readonly [number, number];
}

/** Invented, within common practice (no source): bus_max above the chopper, bus_min below low mains. */
const BUSES: Readonly<Record<Bus, BusSpec>> = {
  "400 V": {
    letter: "H",
    max: 850,
    min: 280,
    lossPerAmp: 3.1,
    capacitance: [80, 34],
    width: [41, 2.9],
    price: [255, 40],
  },
  "230 V": {
    letter: "M",
    max: 420,
    min: 120,
    lossPerAmp: 2.3,
    capacitance: [200, 90],
    width: [36, 2.4],
    price: [190, 29],
  },
  "48 V": {
    letter: "L",
    max: 75,
    min: 20,
    lossPerAmp: 1.7,
    capacitance: [400, 130],
    width: [28, 1.1],
    price: [118, 9],
  },
};

function powerCells(series: DriveSeries, current: number, channels: number): Row {
  const bus = BUSES[series.bus];
  const random = seeded(`power/${series.prefix}/${current}`);
  const peak = rounded(current * (3 - 0.9 * Math.min(1, current / 50)) * spread(random, 0.02), 3);
  const [slow, share] = [series.switching[1], current / Math.max(...series.single, ...series.double)];
  const module = channels === 1 ? 1 : 1.75;
  return {
    continuous_current: current,
    peak_current: peak,
    peak_time: rounded(between(random, 2, 4), 2),
    switching_frequency: share > 0.6 ? slow : series.switching[0],
    fixed_loss: rounded((7 + 0.55 * current) * (channels === 1 ? 1 : 1.5) * spread(random, 0.04), 3),
    loss_per_amp: rounded(bus.lossPerAmp * (series.commutation === "six-step" ? 0.93 : 1) * spread(random, 0.03), 3),
    capacitance: Math.round((bus.capacitance[0] + bus.capacitance[1] * current * module) / 10) * 10,
    width: Math.round((bus.width[0] + bus.width[1] * current) * (channels === 1 ? 1 : 1.4)),
  };
}

function drivePrice(series: DriveSeries, current: number, channels: number): number {
  const [base, perAmp] = BUSES[series.bus].price;
  return (base + perAmp * current ** 0.93) * series.priceFactor * (channels === 1 ? 1 : 1.63);
}

const OPTIONAL = ["max_frequency", "lead_time"] as const;

function driveRow(series: DriveSeries, current: number, channels: number): Row {
  const bus = BUSES[series.bus];
  const part = `${series.prefix}${bus.letter}${current}${channels === 1 ? "" : `x${channels}`}`;
  const random = seeded(part);
  const row: Row = {
    part,
    channels,
    bus_max: bus.max,
    bus_min: bus.min,
    bus_family: series.family,
    feedback: series.feedback.join(";"),
    commutation: series.commutation,
    max_frequency: series.maxFrequency,
    fieldbus: series.fieldbus,
    safe_torque_off: series.safeTorqueOff,
    ...powerCells(series, current, channels),
    ...priceCells(random, drivePrice(series, current, channels)),
    lead_time: leadTime(random, 8, 32),
  };
  return withGaps(row, OPTIONAL, random);
}

/** All drives of a series: one channel, then two. */
export function driveRows(series: DriveSeries): Row[] {
  return [
    ...series.single.map((current) => driveRow(series, current, 1)),
    ...series.double.map((current) => driveRow(series, current, 2)),
  ];
}
