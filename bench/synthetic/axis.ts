import { between, type Random } from "../../catalogs/make/seeded.ts";
import { rounded } from "../../catalogs/make/sheet.ts";

/** An axis as the problem file has it. */
export type AxisJson = Readonly<Record<string, unknown>>;

/** An axis with a rough guess of what it takes, for limits that shall be tight. */
export interface DrawnAxis {
  readonly json: AxisJson;
  /** At its worst instant [W]. */
  readonly peak: number;
  /** Over the cycle [W]. */
  readonly mean: number;
  readonly isLow: boolean;
}

/** Seconds of the machine's cycle. */
export const CYCLE = 5;

const LAWS = ["polynomial-5", "modified-sine", "s-curve", "trapezoid", "cycloidal"];

/** m·a·v at its worst over m·s²/T³ of a move by the usual laws; from their coefficients, rounded up. */
const MOVE_POWER = 6.5;

interface Place {
  readonly id: string;
  readonly carriedBy?: string;
}

/** A kind of axis: its figures drawn at random around those of the shipped grading line. */
type Kind = (random: Random, place: Place) => DrawnAxis;

const text = (value: number, unit: string): string => `${rounded(value, 3)} ${unit}`;

/** There and back within the cycle: two moves with rests between them. */
function reciprocating(random: Random, stroke: number, unit: string, time: number): AxisJson {
  const law = LAWS[Math.floor(random() * LAWS.length)];
  const rest = (0.25 + 0.15 * random()) * CYCLE;
  return {
    start: text(between(random, 0, 0.9 * CYCLE), "s"),
    motion: [
      { move: text(stroke, unit), time: text(time, "s"), law },
      { dwell: text(rest, "s") },
      { move: text(-stroke, unit), time: text(time, "s"), law },
    ],
  };
}

function drawn(
  json: AxisJson,
  { peak, share, isLow = false }: { peak: number; share: number; isLow?: boolean },
): DrawnAxis {
  return { json, peak, mean: 0.3 * peak * share, isLow };
}

function head({ id, carriedBy }: Place): AxisJson {
  return { id, ...(carriedBy === undefined ? {} : { carried_by: carriedBy }) };
}

const shuttle: Kind = (random, place) => {
  const [mass, stroke, time] = [between(random, 15, 45), between(random, 500, 1100), between(random, 0.65, 0.9)];
  const json = {
    ...head(place),
    mechanism: { kind: "belt", diameter: "63.66 mm", efficiency: 0.94, inertia: "6.5 kg*cm^2" },
    load: { mass: text(mass, "kg"), friction_force: text(15 + mass, "N") },
    ...reciprocating(random, stroke, "mm", time),
  };
  const move = stroke / 1000;
  return drawn(json, {
    peak: (MOVE_POWER * 1.3 * mass * move ** 2) / time ** 3 + ((15 + mass) * 2 * move) / time,
    share: (2 * time) / CYCLE,
  });
};

const lift: Kind = (random, place) => {
  const [mass, stroke, time] = [between(random, 4, 12), between(random, 120, 260), between(random, 0.35, 0.5)];
  const json = {
    ...head(place),
    mechanism: {
      kind: "ball-screw",
      lead: "20 mm",
      efficiency: 0.9,
      back_efficiency: 0.8,
      inertia: "1.1 kg*cm^2",
      drag_torque: "0.05 N*m",
    },
    load: { mass: text(mass, "kg"), friction_force: text(12 + mass, "N"), incline: "90 deg" },
    ...reciprocating(random, stroke, "mm", time),
  };
  const move = stroke / 1000;
  const power = (MOVE_POWER * mass * move ** 2) / time ** 3 + ((12 + 11 * mass) * 2 * move) / time;
  return drawn(json, { peak: 1.5 * power, share: (2 * time) / CYCLE });
};

const turner: Kind = (random, place) => {
  const [inertia, time] = [between(random, 30, 90), between(random, 0.25, 0.4)];
  const json = {
    ...head(place),
    mechanism: { kind: "rotary" },
    load: { inertia: text(inertia, "kg*cm^2"), friction_torque: text(0.04 + inertia / 1000, "N*m") },
    ...reciprocating(random, 90, "deg", time),
    needs: { backlash: "15 arcmin" },
  };
  const peak = 30 + (MOVE_POWER * inertia * 1e-4 * (Math.PI / 2) ** 2) / time ** 3;
  return drawn(json, { peak, share: (2 * time) / CYCLE, isLow: true });
};

const infeed: Kind = (random, place) => {
  const [mass, speed, time] = [between(random, 15, 50), between(random, 0.3, 0.7), between(random, 1.2, 3)];
  const json = {
    ...head(place),
    endless: true,
    start: text(between(random, 0, 1.5), "s"),
    mechanism: { kind: "rollers", diameter: "60 mm", efficiency: 0.9, inertia: "24 kg*cm^2" },
    load: { mass: text(mass, "kg"), friction_coefficient: 0.06 },
    motion: [{ run: text(speed, "m/s"), time: text(time, "s"), accelerate_time: "0.2 s", decelerate_time: "0.2 s" }],
  };
  return drawn(json, { peak: 1.5 * (mass * speed * (speed / 0.2 + 0.6)), share: time / CYCLE });
};

const indexer: Kind = (random, place) => {
  const [mass, step, time] = [between(random, 12, 30), between(random, 40, 80), between(random, 0.18, 0.3)];
  const law = LAWS[Math.floor(random() * LAWS.length)];
  const pause = { dwell: text(CYCLE / 4 - 0.4, "s") };
  const advance = { move: text(step, "mm"), time: text(time, "s"), law };
  const json = {
    ...head(place),
    endless: true,
    start: text(between(random, 0, 1), "s"),
    mechanism: { kind: "belt", diameter: "76.4 mm", efficiency: 0.93, inertia: "12 kg*cm^2" },
    load: { mass: text(mass, "kg"), friction_force: text(20 + mass, "N") },
    motion: [advance, pause, advance, pause, advance, pause, advance],
    needs: { backlash: "0.2 mm" },
  };
  const move = step / 1000;
  return drawn(json, {
    peak: (MOVE_POWER * 1.5 * mass * move ** 2) / time ** 3 + ((20 + mass) * 2 * move) / time,
    share: (4 * time) / CYCLE,
  });
};

const press: Kind = (random, place) => {
  const [mass, force, stroke] = [
    between(random, 5, 12),
    between(random, 150, 400),
    Math.round(between(random, 60, 110)),
  ];
  const time = between(random, 0.35, 0.5);
  const against = text(-force, "N");
  const json = {
    ...head(place),
    start: text(between(random, 0, 0.9 * CYCLE), "s"),
    mechanism: { kind: "rack", diameter: "40 mm", efficiency: 0.92, inertia: "1.8 kg*cm^2" },
    load: { mass: text(mass, "kg"), incline: "90 deg", friction_force: "20 N" },
    motion: [
      { move: text(-stroke, "mm"), time: text(time, "s") },
      { move: "-10 mm", time: "0.2 s", law: "harmonic", force: against },
      { dwell: "0.5 s", force: against },
      { move: text(stroke + 10, "mm"), time: text(time, "s") },
    ],
  };
  const move = stroke / 1000;
  const power = (MOVE_POWER * mass * move ** 2) / time ** 3 + ((20 + 10 * mass) * 2 * move) / time;
  return drawn(json, { peak: 1.2 * power, share: (2 * time) / CYCLE });
};

/** Of three axes that ride on one another, from the ground up; and of those that stand alone. */
const STACK: readonly Kind[] = [shuttle, lift, turner];
const ALONE: readonly Kind[] = [infeed, turner, indexer, press, shuttle, lift];

/** So many axes of a machine: first the stacks that make up the share of carrying ones, then single ones in turn. */
export function drawAxes(count: number, carried: number, random: Random): DrawnAxis[] {
  const stacked =
    Math.min(Math.round((carried * count) / STACK.length), Math.floor(count / STACK.length)) * STACK.length;
  return Array.from({ length: count }, (_, at) => {
    const level = at % STACK.length;
    if (at >= stacked) return (ALONE[(at - stacked) % ALONE.length] ?? press)(random, { id: `axis-${at + 1}` });
    const place = { id: `axis-${at + 1}`, ...(level === 0 ? {} : { carriedBy: `axis-${at}` }) };
    return (STACK[level] ?? press)(random, place);
  });
}
