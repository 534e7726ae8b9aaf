import { leadTime, priceCells, withGaps } from "./cells.ts";
import { type MotorSize, motorSize, type SizeSpec } from "./motor-size.ts";
import { type Bus, designWinding, type Winding } from "./motor-winding.ts";
import { type Random, seeded, spread } from "./seeded.ts";
import { type Row, rounded } from "./sheet.ts";

export type FeedbackKind =
  | "hall"
  | "encoder-incremental"
  | "encoder-hall"
  | "encoder-absolute"
  | "encoder-multiturn"
  | "resolver";

interface FeedbackSpec {
  readonly letter: string;
  readonly price: number;
  /** [mm] */
  readonly length: number;
  /** Counts per turn; Hall signals give three per pole. */
  readonly counts: (poles: number) => number;
}

const FEEDBACK: Readonly<Record<FeedbackKind, FeedbackSpec>> = {
  hall: { letter: "H", price: 0, length: 4, counts: (poles) => 3 * poles },
  "encoder-incremental": { letter: "I", price: 26, length: 12, counts: () => 8192 },
  "encoder-hall": { letter: "C", price: 39, length: 14, counts: () => 10000 },
  resolver: { letter: "R", price: 22, length: 10, counts: () => 4096 },
  "encoder-absolute": { letter: "A", price: 88, length: 17, counts: () => 131072 },
  "encoder-multiturn": { letter: "M", price: 164, length: 21, counts: () => 262144 },
};

const BUS_LETTER: Readonly<Record<Bus, string>> = { "400 V": "H", "230 V": "M", "48 V": "L" };

/** What is built on a winding: a feedback kind, with or without a holding brake. */
export interface Variant {
  readonly feedback: FeedbackKind;
  readonly brake: boolean;
}

/** One size with its windings. */
export interface MotorLine extends SizeSpec {
  readonly windings: readonly (readonly [Bus, number])[];
}

/** A maker's motor range. */
export interface MotorRange {
  readonly prefix: string;
  readonly priceFactor: number;
  readonly leadTime: readonly [number, number];
  readonly protection: (width: number) => string;
  /** Variants of the n-th winding. */
  readonly variants: (winding: Winding, index: number) => readonly Variant[];
  readonly lines: readonly MotorLine[];
}

const OPTIONAL = [
  "peak_current",
  "peak_time",
  "peak_knee_speed",
  "peak_torque_at_max_speed",
  "detent_torque",
  "detents",
  "friction_torque",
  "winding_time",
  "housing_time",
  "winding_share",
  "reference_ambient",
  "resolution",
  "ip",
  "lead_time",
] as const;

function greatestDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestDivisor(b, a % b);
}

/** Detents per turn: least common multiple of slots and poles. Source: machine-design textbooks (from memory). */
function detentCount(slots: number, poles: number): number {
  return (slots * poles) / greatestDivisor(slots, poles);
}

function brakeCells({ stall }: MotorSize): Row {
  const torque = stall * 1.25;
  return { brake_torque: torque, brake_inertia: 4e-6 * torque ** 1.25 };
}

/** Time until a holding brake grips [ms], not always told. Source: common practice, no source. */
function closeTime(torque: number, random: Random): number | undefined {
  const time = 22 * torque ** 0.38 * spread(random, 0.12);
  return random() < 0.15 ? undefined : Math.round(Math.min(120, Math.max(15, time)));
}

function electricalCells(winding: Winding): Row {
  const { size } = winding;
  return {
    stall_torque: size.stall,
    rated_torque: winding.ratedTorque,
    rated_speed: winding.ratedSpeed,
    peak_torque: size.peak,
    peak_current: (size.peak / winding.torqueConstant) * size.saturation,
    max_speed: winding.maxSpeed,
    peak_knee_speed: winding.kneeSpeed,
    peak_torque_at_max_speed: winding.peakTorqueAtMaxSpeed,
    torque_constant: winding.torqueConstant,
    voltage_constant: (winding.voltageConstant * 1000 * Math.PI) / 30,
    resistance: winding.resistance,
    inductance: winding.inductance * 1000,
  };
}

function thermalCells({ size }: Winding): Row {
  const scale = size.width / 40;
  return {
    peak_time: Math.round(10 * (1.5 + 0.7 * scale)) / 10,
    winding_time: Math.round(13 * scale ** 0.95),
    housing_time: Math.round(90 * scale ** 0.8) * 10,
    winding_share: size.build === "slotless" ? 0.5 : 0.4,
    winding_limit: size.limit,
    reference_ambient: 40,
  };
}

function smoothnessCells({ size }: Winding, random: Random): Row {
  const friction_torque = 0.006 * size.stall + 0.003 * (size.width / 40) ** 1.5;
  if (size.build === "slotless") return { friction_torque, detent_torque: random() < 0.5 ? 0 : undefined };
  return {
    friction_torque,
    slots: size.slots,
    detent_torque: size.detent,
    detents: detentCount(size.slots, size.poles),
  };
}

function bodyCells({ size }: Winding, { feedback, brake }: Variant): Row {
  const { length } = FEEDBACK[feedback];
  const brakeMass = brake ? 0.25 * (1.25 * size.stall) ** 0.7 : 0;
  return {
    rotor_inertia: size.inertia,
    mass: size.mass + 0.004 * length + brakeMass,
    length: Math.round(size.length + length + (brake ? 14 + 0.32 * size.width : 0)),
    width: size.width,
    radial_load: rounded(500 * (size.width / 60) ** 1.6, 2),
    ...(brake ? brakeCells(size) : {}),
  };
}

/** [EUR] */
function listPrice({ size, ratedSpeed }: Winding, { feedback, brake }: Variant, factor: number): number {
  const body = (110 + 0.7 * size.width + 80 * size.stall ** 0.84 + ratedSpeed / 1000) * factor;
  return body + FEEDBACK[feedback].price + (brake ? 58 + 21 * size.stall ** 0.75 : 0);
}

function motorRow(winding: Winding, variant: Variant, range: MotorRange): Row {
  const { size, bus, ratedSpeed } = winding;
  const { letter, counts } = FEEDBACK[variant.feedback];
  const windingCode = `${BUS_LETTER[bus]}${ratedSpeed / 100}`;
  const part = `${range.prefix}${size.width}-${size.stack}-${windingCode}-${letter}${variant.brake ? "B" : ""}`;
  const random = seeded(part);
  const row: Row = {
    part,
    frame: `F${size.width}`,
    construction: size.build,
    feedback: variant.feedback,
    poles: size.poles,
    winding_for: bus,
    resolution: counts(size.poles),
    ip: range.protection(size.width),
    ...electricalCells(winding),
    ...thermalCells(winding),
    ...smoothnessCells(winding, random),
    ...bodyCells(winding, variant),
    // A stream of its own, so that the other cells stay what they are.
    ...(variant.brake ? { brake_close_time: closeTime(1.25 * size.stall, seeded(`${part}/brake`)) } : {}),
    ...priceCells(random, listPrice(winding, variant, range.priceFactor)),
    lead_time: leadTime(random, ...range.leadTime),
  };
  return withGaps(row, OPTIONAL, random);
}

/** All motors of a range, winding by winding. */
export function motorRows(range: MotorRange): Row[] {
  const windings = range.lines.flatMap(({ windings: wanted, ...spec }) => {
    const size = motorSize(spec);
    return wanted.map(([bus, speed]) => designWinding(size, bus, speed));
  });
  return windings.flatMap((winding, index) =>
    range.variants(winding, index).map((variant) => motorRow(winding, variant, range)),
  );
}
