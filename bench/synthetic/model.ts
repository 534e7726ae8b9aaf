import { type Random, streamFrom } from "../../catalogs/make/seeded.ts";
import type { Column, CountCap, Group, ModelPart, SelectionModel, SharedRow } from "../../src/model/selection.ts";

/** Size of an invented order: axes, motors on offer, and how much of it each axis can use. */
export interface Size {
  readonly axes: number;
  readonly motors: number;
  readonly gearboxes: number;
  readonly drives: number;
  /** Instants at which power is shared. */
  readonly instants: number;
  /** Caps on distinct motors, frames, drives and makers. */
  readonly isCapped: boolean;
  /** false: distinct motors, frames, gearboxes, drives and makers cost nothing. Default true. */
  readonly hasVariety?: boolean;
  /** What hardly suffices besides; default nothing. */
  readonly tight?: "cabinet" | "supply";
}

const origin = { kind: "test", id: "synthetic" } as const;

/** How far between the least possible and what the cheapest columns would take a tight limit lies. */
const TIGHT_CABINET = 0.25;
const TIGHT_SUPPLIES = [0.2, 0.3, 0.4];

/** A part on offer. */
interface Offer {
  /** Index into the model's parts; those of its maker and frame likewise. */
  readonly index: number;
  readonly rating: number;
  /** [cent] */
  readonly price: number;
  readonly maker: number;
  readonly frame: number;
  readonly mass: number;
}

/** All parts of an invented order. */
interface Offers {
  readonly parts: readonly ModelPart[];
  readonly makers: readonly number[];
  readonly frames: readonly number[];
  readonly motors: readonly Offer[];
  readonly gearboxes: readonly Offer[];
  readonly drives: readonly Offer[];
}

/** The columns of an axis, with what each of them takes. */
interface Demand {
  readonly columns: readonly Column[];
  /** Cabinet width [mm] by column. */
  readonly widths: Float64Array;
  /** Power by column, before the instant's share. */
  readonly powers: Float64Array;
  /** By instant: power drawn by column. */
  readonly slots: readonly Float64Array[];
}

/**
 * An invented order in the shape of the real job, without engineering: axes that need some torque and power, parts
 * whose price grows with their size, variety charges for motors, frames, gearboxes, drives and makers, one supply for
 * all. Money in cents. The same seed and size give the same order.
 */
export function syntheticModel(seed: number, size: Size): SelectionModel {
  const random = streamFrom(seed);
  const offers = offersOf(size, random);
  const demands = Array.from({ length: size.axes }, () => demandOf(offers, size.instants, random));
  const supplies = suppliesOf(demands, size.tight === "supply");
  const axes = demands.map(({ columns }, axis) => group(`axis ${axis}`, columns));
  const supply = supplies.map((power, at) => ({
    cost: Math.round(6000 * power),
    parts: [],
    tie: { mass: 0, text: `supply ${at}` },
  }));
  return {
    groups: [...axes, { ...group("supply", supply), decideFirst: true }],
    parts: offers.parts,
    pools: [{ id: "bus", quantity: 1 }],
    caps: size.isCapped ? capsOf(offers, size.axes) : [],
    rows: [...powerRows(demands, supplies, size.instants), ...(size.tight === "cabinet" ? [cabinetRow(demands)] : [])],
    envelopes: [],
    unit: 1,
    rounding: 0,
  };
}

function group(id: string, columns: readonly Column[]): Group {
  return { id, origin, pools: [0], decideFirst: false, columns };
}

function offersOf(size: Size, random: Random): Offers {
  const parts: ModelPart[] = [];
  const part = (id: string, charge: number, isPartNumber = true): number => {
    parts.push({ id, origin, fixed: size.hasVariety === false ? 0 : charge, steps: [], channels: 1, isPartNumber });
    return parts.length - 1;
  };
  const makers = Array.from({ length: 4 }, (_, at) => part(`maker ${at}`, 20_000, false));
  const frames = Array.from({ length: 8 }, (_, at) => part(`frame ${at}`, 5000, false));
  const offer = (kind: string, count: number, charge: number): Offer[] =>
    Array.from({ length: count }, (_, at) => {
      const rating = 0.2 * 1.12 ** ((at * 40) / count) * (0.9 + 0.2 * random());
      const price = Math.round(100 * (80 + 60 * rating ** 0.8) * (0.85 + 0.4 * random()));
      const index = part(`${kind} ${at}`, charge);
      const [maker, frame] = [oneOf(makers, random), oneOf(frames, random)];
      return { index, rating, price, maker, frame, mass: rating * (1 + random()) };
    });
  const motors = offer("motor", size.motors, 8000);
  const gearboxes = offer("gearbox", size.gearboxes, 6000);
  const drives = offer("drive", size.drives, 10_000);
  return { parts, makers, frames, motors, gearboxes, drives };
}

function oneOf(list: readonly number[], random: Random): number {
  const found = list[Math.floor(random() * list.length)];
  if (found === undefined) throw new Error("empty list");
  return found;
}

function demandOf({ motors, gearboxes, drives }: Offers, instants: number, random: Random): Demand {
  const need = 0.4 * 1.12 ** (30 * random());
  const columns: Column[] = [];
  const powers: number[] = [];
  const widths: number[] = [];
  for (const motor of motors) {
    for (const gearbox of gearboxes) {
      const strength = motor.rating * (1 + 0.3 * Math.sin(motor.index * 7 + gearbox.index));
      if (strength < need || gearbox.rating < 0.8 * need || strength > 12 * need) continue;
      for (const drive of drives) {
        if (drive.rating < 0.9 * motor.rating || drive.rating > 5 * motor.rating) continue;
        const energy = Math.round(2000 * need * (1 + 0.3 * random()));
        columns.push(columnOf(motor, gearbox, drive, energy));
        powers.push(need * (0.9 + 0.3 * random()));
        widths.push(widthOf(drive));
      }
    }
  }
  const slots = Array.from({ length: instants }, () => {
    const share = random() < 0.4 ? -0.3 : random();
    return Float64Array.from(powers, (power) => share * power);
  });
  return { columns, widths: Float64Array.from(widths), powers: Float64Array.from(powers), slots };
}

function columnOf(motor: Offer, gearbox: Offer, drive: Offer, energy: number): Column {
  const used = new Set([motor.index, gearbox.index, drive.index, motor.maker, gearbox.maker, drive.maker, motor.frame]);
  return {
    cost: motor.price + gearbox.price + drive.price + energy,
    parts: [...used].toSorted((a, b) => a - b),
    tie: { mass: motor.mass + gearbox.mass, text: `${motor.index} ${gearbox.index} ${drive.index}` },
  };
}

/** Wider with its rating, and not in step with its price [mm]. */
function widthOf({ rating, index }: Offer): number {
  return 30 + Math.round(25 * rating ** 0.6 * (1 + 0.35 * Math.sin(index * 5)));
}

/** Powers of the supplies on offer: shares of a rough guess or, when tight, hardly more than the least that serves. */
function suppliesOf(demands: readonly Demand[], isTight: boolean): number[] {
  if (isTight) {
    const least = peakOf(demands, ({ powers }) => powers.indexOf(Math.min(...powers)));
    const usual = peakOf(demands, cheapestOf);
    return TIGHT_SUPPLIES.map((share) => least + share * (usual - least));
  }
  const needed = demands.reduce((sum, { slots }) => sum + (slots[0]?.[0] ?? 0), 0);
  return [0.6, 0.9, 1.3, 1.9, 2.8, 4].map((share) => share * Math.abs(needed) + 1);
}

/** Largest power over the instants when every axis takes the column that `pick` names. */
function peakOf(demands: readonly Demand[], pick: (demand: Demand) => number): number {
  const picks = demands.map(pick);
  const sums = (demands[0]?.slots ?? []).map((_, t) =>
    demands.reduce((sum, { slots }, g) => sum + (slots[t]?.[picks[g] ?? 0] ?? 0), 0),
  );
  return Math.max(...sums);
}

function cheapestOf({ columns }: Demand): number {
  return columns.reduce((best, { cost }, k) => (cost < (columns[best]?.cost ?? 0) ? k : best), 0);
}

function powerRows(demands: readonly Demand[], supplies: readonly number[], instants: number): SharedRow[] {
  return Array.from({ length: instants }, (_, at) => ({
    id: `instant ${at}`,
    origin,
    expression: {
      factors: new Map([
        ...demands.map(({ slots }, g): [number, Float64Array] => [g, slots[at] ?? new Float64Array()]),
        [demands.length, Float64Array.from(supplies, (power) => -power)],
      ]),
      modules: [],
      constant: 0,
    },
    max: 0,
    when: [],
  }));
}

/** A cabinet hardly wider than the narrowest drives. */
function cabinetRow(demands: readonly Demand[]): SharedRow {
  const least = demands.reduce((sum, { widths }) => sum + Math.min(...widths), 0);
  const usual = demands.reduce((sum, demand) => sum + (demand.widths[cheapestOf(demand)] ?? 0), 0);
  return {
    id: "cabinet",
    origin,
    expression: { factors: new Map(demands.map(({ widths }, g) => [g, widths])), modules: [], constant: 0 },
    max: Math.floor(least + TIGHT_CABINET * (usual - least)),
    when: [],
  };
}

function capsOf({ motors, frames, drives, makers }: Offers, axes: number): CountCap[] {
  return [
    cap("motors", indices(motors), Math.ceil(axes / 2.5)),
    cap("frames", frames, 5),
    cap("drives", indices(drives), Math.ceil(axes / 3)),
    cap("makers", makers, 3),
  ];
}

function cap(id: string, members: readonly number[], max: number): CountCap {
  return { id, origin, members, max };
}

function indices(list: readonly Offer[]): number[] {
  return list.map(({ index }) => index);
}
