import type { Mechanism, Winder } from "../../machine/mechanism.ts";
import type { Axis } from "../../machine/problem.ts";
import { rollRadius } from "../mechanism/linkage.ts";
import { isSteadyMechanism, travelPerRadian } from "../mechanism/travel.ts";
import { positionAt } from "../motion/curve.ts";
import type { Cycle, MotionFault } from "../motion/cycle.ts";

/** Least and most travel of an axis's output per radian of its mechanism's input shaft [m/rad]. */
export interface Travels {
  readonly least: number;
  readonly most: number;
}

/** κ over a cycle; a crank's output is the crank itself: 1. Source: as for `travelPerRadian` and `winderAt`. */
export function travelsOf(mechanism: Mechanism, cycle: Cycle): Travels {
  if (mechanism.kind === "winder") return rollRadii(mechanism, cycle);
  const travel = isSteadyMechanism(mechanism) ? travelPerRadian(mechanism) : 1;
  return { least: travel, most: travel };
}

/** Pieces go one way, so the roll is smallest and largest at their ends. */
function rollRadii(winder: Winder, { pieces }: Cycle): Travels {
  const radii = pieces
    .flatMap(({ curve, from, to }) => [positionAt(curve, 0), positionAt(curve, to - from)])
    .map((wound) => rollRadius(winder, wound));
  return { least: Math.min(...radii), most: Math.max(...radii) };
}

/** A roll cannot be wound off beyond its core. Source: definition. */
export function rollFaults({ mechanism, motion }: Axis, cycle: Cycle): MotionFault[] {
  if (mechanism.kind !== "winder") return [];
  const { coreDiameter, startDiameter, webThickness } = mechanism;
  const onCore = (Math.PI * (startDiameter ** 2 - coreDiameter ** 2)) / (4 * webThickness);
  const least = mostUnwound(cycle);
  if (least <= onCore * (1 + 1e-9)) return [];
  const [found, expected] = [least, onCore].map((length) => `${Number(length.toPrecision(6))} m`);
  return [
    {
      segment: motion.length - 1,
      found: `${found} of web wound off`,
      expected: `at most the ${expected} that are on the core`,
    },
  ];
}

function mostUnwound({ pieces }: Cycle): number {
  return pieces.reduce((most, { curve, from, to }) => Math.max(most, -positionAt(curve, to - from)), 0);
}
