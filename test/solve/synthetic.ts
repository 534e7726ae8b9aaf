import type { Column, CountCap, Group, ModelPart, SelectionModel, SharedRow } from "../../src/model/selection.ts";
import { randomFrom } from "./random-model.ts";

/** Size of an invented order: axes, motors on offer, and how much of it each axis can use. */
export interface Size {
  readonly axes: number;
  readonly motors: number;
  readonly gearboxes: number;
  readonly drives: number;
  /** Instants at which power is shared. */
  readonly instants: number;
  readonly isCapped: boolean;
}

const origin = { kind: "test", id: "synthetic" } as const;

/**
 * An invented order in the shape of the real job: axes that need some torque and power, parts whose price grows with
 * their size, variety charges for motors, frames, gearboxes, drives and makers, one supply for all. Money in cents.
 */
export function syntheticModel(seed: number, size: Size): SelectionModel {
  const random = randomFrom(seed);
  const parts: ModelPart[] = [];
  const part = (id: string, fixed: number, isPartNumber = true): number => {
    parts.push({ id, origin, fixed, steps: [], channels: 1, isPartNumber });
    return parts.length - 1;
  };
  const makers = Array.from({ length: 4 }, (_, at) => part(`maker ${at}`, 20_000, false));
  const frames = Array.from({ length: 8 }, (_, at) => part(`frame ${at}`, 5000, false));
  const some = <T>(list: readonly T[]): T => {
    const found = list[Math.floor(random() * list.length)];
    if (found === undefined) throw new Error("empty list");
    return found;
  };
  const offer = (kind: string, count: number, fixed: number) =>
    Array.from({ length: count }, (_, at) => {
      const rating = 0.2 * 1.12 ** ((at * 40) / count) * (0.9 + 0.2 * random());
      const price = Math.round(100 * (80 + 60 * rating ** 0.8) * (0.85 + 0.4 * random()));
      return {
        index: part(`${kind} ${at}`, fixed),
        rating,
        price,
        maker: some(makers),
        frame: some(frames),
        mass: rating * (1 + random()),
      };
    });
  const motors = offer("motor", size.motors, 8000);
  const gearboxes = offer("gearbox", size.gearboxes, 6000);
  const drives = offer("drive", size.drives, 10_000);
  const slots = Array.from({ length: size.instants }, () => [] as Float64Array[]);
  const groups: Group[] = Array.from({ length: size.axes }, (_, axis) => {
    const need = 0.4 * 1.12 ** (30 * random());
    const columns: Column[] = [];
    const powers: number[] = [];
    for (const motor of motors) {
      for (const gearbox of gearboxes) {
        const strength = motor.rating * (1 + 0.3 * Math.sin(motor.index * 7 + gearbox.index));
        if (strength < need || gearbox.rating < 0.8 * need || strength > 12 * need) continue;
        for (const drive of drives) {
          if (drive.rating < 0.9 * motor.rating || drive.rating > 5 * motor.rating) continue;
          const used = new Set([
            motor.index,
            gearbox.index,
            drive.index,
            motor.maker,
            gearbox.maker,
            drive.maker,
            motor.frame,
          ]);
          const energy = Math.round(2000 * need * (1 + 0.3 * random()));
          columns.push({
            cost: motor.price + gearbox.price + drive.price + energy,
            parts: [...used].toSorted((a, b) => a - b),
            tie: { mass: motor.mass + gearbox.mass, text: `${motor.index} ${gearbox.index} ${drive.index}` },
          });
          powers.push(need * (0.9 + 0.3 * random()));
        }
      }
    }
    for (const slot of slots) {
      const share = random() < 0.4 ? -0.3 : random();
      slot.push(Float64Array.from(powers, (power) => share * power));
    }
    return { id: `axis ${axis}`, origin, pools: [0], decideFirst: false, columns };
  });
  const needed = groups.reduce((sum, _, g) => sum + (slots[0]?.[g]?.[0] ?? 0), 0);
  const supplies = [0.6, 0.9, 1.3, 1.9, 2.8, 4].map((share) => share * Math.abs(needed) + 1);
  groups.push({
    id: "supply",
    origin,
    pools: [0],
    decideFirst: true,
    columns: supplies.map((power, at) => ({
      cost: Math.round(6000 * power),
      parts: [],
      tie: { mass: 0, text: `supply ${at}` },
    })),
  });
  const rows: SharedRow[] = slots.map((slot, at) => ({
    id: `instant ${at}`,
    origin,
    expression: {
      factors: new Map([
        ...slot.map((list, g): [number, Float64Array] => [g, list]),
        [groups.length - 1, Float64Array.from(supplies, (power) => -power)],
      ]),
      modules: [],
      constant: 0,
    },
    max: 0,
    when: [],
  }));
  const cap = (id: string, members: readonly number[], max: number): CountCap => ({ id, origin, members, max });
  const caps = size.isCapped
    ? [
        cap("motors", indices(motors), Math.ceil(size.axes / 2.5)),
        cap("frames", frames, 5),
        cap("drives", indices(drives), Math.ceil(size.axes / 3)),
        cap("makers", makers, 3),
      ]
    : [];
  return { groups, parts, pools: [{ id: "bus", quantity: 1 }], caps, rows, envelopes: [], unit: 1, rounding: 0 };
}

function indices(list: readonly { readonly index: number }[]): number[] {
  return list.map(({ index }) => index);
}
