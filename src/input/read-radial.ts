import { outOfRange } from "../faults/wordings.ts";
import type { Belt } from "../machine/mechanism.ts";
import { addFault, member, type Node, placeOf } from "./node.ts";
import { numberOr, quantityOr } from "./values.ts";

type Radial = Pick<Belt, "radialFactor">;

/** The pretension of both strands pulls at the shaft: a multiple of the largest force in the belt. */
export function readBeltPull(node: Node): Radial {
  return { radialFactor: numberOr(node, "tension_factor", 2) };
}

/** The teeth push the pinion off its rack. */
export function readPinionPush(node: Node): Radial {
  const angle = quantityOr(node, "pressure_angle", { quantity: "angle", fallback: Math.PI / 9 });
  if (angle > Math.PI / 4) {
    const found = JSON.stringify(member(node, "pressure_angle"));
    addFault(node, outOfRange(placeOf(node, "pressure_angle"), found, "45 deg or less"));
  }
  return { radialFactor: 1 / Math.cos(angle) };
}
