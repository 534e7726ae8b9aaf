import type { AnyPart, PartKind } from "../../src/machine/catalogue.ts";
import { Dice, rounded } from "./random.ts";
import { type RandomMachine, randomMachine } from "./random-machine.ts";

const KINDS: readonly (readonly PartKind[])[] = [
  ["motor", "gearbox", "drive", "supply", "resistor", "inductor"],
  ["motor"],
  ["motor"],
  ["drive"],
  ["motor", "drive"],
  ["gearbox"],
  ["drive"],
  ["motor", "gearbox"],
  ["supply", "resistor"],
  ["supply"],
  ["motor", "inductor"],
];

const MAKERS = ["Amaryl", "Borduin", "Cassia", "Dorrit"] as const;

/** A figure that is a little more or less. */
function near(dice: Dice, value: number): number {
  return rounded(value * dice.of([0.85, 0.95, 1, 1, 1.1, 1.3, 1.5]));
}

/** Much the same part from another maker. */
function cousinOf<P extends AnyPart>(dice: Dice, part: P): P {
  const prices = part.prices.map(({ from, price }, k) => ({
    from,
    price: Math.round(price * (k === 0 ? dice.of([0.9, 1, 1.1, 1.3]) : 1)),
  }));
  const base = {
    part: `${part.part}c`,
    maker: dice.of(MAKERS.filter((maker) => maker !== part.maker)),
    prices: prices.map(({ from, price }) => ({ from, price: Math.min(price, prices[0]?.price ?? price) })),
  };
  return { ...part, ...base, ...figuresOf(dice, part) };
}

function figuresOf(dice: Dice, part: AnyPart): Partial<AnyPart> {
  switch (part.kind) {
    case "motor": {
      const stallTorque = near(dice, part.stallTorque);
      const ratedTorque = Math.min(stallTorque, part.ratedTorque);
      return { stallTorque, ratedTorque, rotorInertia: near(dice, part.rotorInertia), mass: near(dice, part.mass) };
    }
    case "gearbox":
      return { accelerationTorque: near(dice, part.accelerationTorque), mass: near(dice, part.mass) };
    case "drive":
      return {
        peakCurrent: near(dice, part.peakCurrent),
        channels: dice.of([part.channels, part.channels, 1, 2]),
        busMax: dice.of([part.busMax, 1.05 * part.busMax]),
      };
    case "supply":
    case "resistor":
      return { peakPower: near(dice, part.peakPower), continuousPower: near(dice, part.continuousPower) };
    case "inductor":
      return { inductance: near(dice, part.inductance) };
    default:
      return {};
  }
}

/** All parts, some of them with a cousin. */
function doubled<P extends AnyPart>(dice: Dice, parts: readonly P[], most: number): P[] {
  return parts.flatMap((part, k) => (k < most && dice.chance(0.95) ? [part, cousinOf(dice, part)] : [part]));
}

/** A small random order that demands two sources, with most parts made by two makers. */
export function randomDual(seed: number): RandomMachine {
  const { problem, catalogue } = randomMachine(seed);
  const dice = new Dice(seed + 99_991);
  const axes = problem.machines.reduce((sum, machine) => sum + machine.axes.length, 0);
  const most = axes > 2 ? 2 : 4;
  return {
    problem: { ...problem, dualSource: dice.of(KINDS) },
    catalogue: {
      motors: doubled(dice, catalogue.motors, most),
      gearboxes: doubled(dice, catalogue.gearboxes, 1),
      drives: doubled(dice, catalogue.drives, most),
      supplies: doubled(dice, catalogue.supplies, 2),
      resistors: doubled(dice, catalogue.resistors, 1),
      inductors: doubled(dice, catalogue.inductors, 1),
    },
  };
}
