import type { SizeSpec } from "../../catalogs/make/motor-size.ts";
import type { Bus } from "../../catalogs/make/motor-winding.ts";
import type { MotorLine, MotorRange, Variant } from "../../catalogs/make/motors.ts";

type Shape = Pick<SizeSpec, "build" | "slots" | "poles" | "limit">;

const slotted = (slots: number, poles: number): Shape => ({ build: "slotted", slots, poles, limit: 130 });
const closed = (slots: number, poles: number): Shape => ({ build: "closed-slot", slots, poles, limit: 130 });

/** Slots and poles by width [mm], as in the demonstration catalogues. */
const SLOTTED: readonly (readonly [number, Shape])[] = [
  [40, slotted(9, 6)],
  [60, slotted(12, 8)],
  [80, slotted(12, 8)],
  [100, slotted(24, 8)],
  [130, slotted(18, 8)],
];
const CLOSED: readonly (readonly [number, Shape])[] = [
  [60, closed(12, 10)],
  [80, closed(12, 10)],
  [100, closed(12, 10)],
  [130, closed(18, 10)],
];

/** Stack length over width: each a quarter longer than the one before, so that price follows torque in spite of its noise. */
const STACKS = [0.5, 0.62, 0.77, 0.96, 1.2, 1.5];

/** Rated speeds [rpm] on 400 V of a 40 mm frame; wider ones turn slower. */
const SPEEDS = [5000, 4300, 3600];

const MAINS: readonly (readonly Variant[])[] = [
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
];
const LOW_VOLTAGE: readonly Variant[] = [
  { feedback: "encoder-hall", brake: false },
  { feedback: "encoder-absolute", brake: false },
  { feedback: "encoder-absolute", brake: true },
];

/** All that a maker could build for 400 V and, in small frames, for 48 V; every second maker bridges the slots. */
export function motorRange(prefix: string, at: number, priceFactor: number): MotorRange {
  return {
    prefix,
    priceFactor,
    leadTime: [10, 40],
    protection: (width) => (width >= 60 ? "IP65" : "IP54"),
    variants: ({ bus }, index) => (bus === "48 V" ? LOW_VOLTAGE : (MAINS[index % MAINS.length] ?? [])),
    lines: (at % 2 === 0 ? SLOTTED : CLOSED).flatMap(([width, shape]) =>
      STACKS.map(
        (stack): MotorLine => ({ width, stack: Math.round(stack * width), ...shape, windings: windings(width) }),
      ),
    ),
  };
}

function windings(width: number): (readonly [Bus, number])[] {
  const slower = (speed: number): number => Math.round((speed * (40 / width) ** 0.4) / 100) * 100;
  const mains = SPEEDS.map((speed) => ["400 V", slower(speed)] as const);
  return width <= 60 ? [...mains, ["48 V", slower(4000)]] : mains;
}
