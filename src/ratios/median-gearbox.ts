import { frameFits } from "../candidates/fit.ts";
import type { Gearbox, Motor } from "../machine/catalogue.ts";
import type { AssumedGearbox } from "../machine/ratios.ts";
import type { Subject } from "./subject.ts";

/** A gearbox that no catalogue has: its ratio can be any, its other figures are the usual ones for the motor. */
export interface Assumed {
  readonly gearbox: Gearbox;
  readonly about: AssumedGearbox;
}

/**
 * The gearbox that curves take for a motor: median efficiency, inertia and drag of the real ones that carry its frame, each
 * figure on its own. It has no limits of its own; those are judged at real ratios.
 */
export function assumedGearbox({ setup, axis }: Subject, motor: Motor): Assumed {
  const all = setup.catalogue.gearboxes.filter((gearbox) => frameFits(motor, gearbox));
  const allowed = all.filter((gearbox) => axis.fit.gearboxes.some((g) => setup.catalogue.gearboxes[g] === gearbox));
  const source = allowed.length > 0 ? allowed : all;
  const figures = {
    efficiency: median(source, ({ efficiency }) => efficiency) ?? 1,
    backEfficiency: median(source, ({ backEfficiency }) => backEfficiency) ?? 1,
    inertia: median(source, ({ inertia }) => inertia) ?? 0,
    dragTorque: median(source, ({ dragTorque }) => dragTorque) ?? 0,
  };
  const from = allowed.length > 0 ? "axis" : all.length > 0 ? "catalogue" : "none";
  return {
    gearbox: { ...LIMITLESS, ...figures },
    about: {
      from,
      gearboxes: source.length,
      efficiency: figures.efficiency,
      back_efficiency: figures.backEfficiency,
      inertia: figures.inertia,
      drag_torque: figures.dragTorque,
    },
  };
}

const NO_END = Number.POSITIVE_INFINITY;

const LIMITLESS: Omit<Gearbox, "efficiency" | "backEfficiency" | "inertia" | "dragTorque"> = {
  kind: "gearbox",
  part: "assumed",
  maker: "",
  prices: [],
  texts: {},
  frame: "",
  motorFrames: [],
  style: "inline",
  ratio: 1,
  ratedTorque: NO_END,
  accelerationTorque: NO_END,
  ratedInputSpeed: NO_END,
  maxInputSpeed: NO_END,
  backlash: 0,
  mass: 0,
};

/** Middle value; of an even number the mean of the two in the middle. */
function median<T>(items: readonly T[], value: (item: T) => number): number | undefined {
  const sorted = items.map(value).toSorted((a, b) => a - b);
  const low = sorted[Math.floor((sorted.length - 1) / 2)];
  const high = sorted[Math.floor(sorted.length / 2)];
  return low === undefined || high === undefined ? undefined : (low + high) / 2;
}
