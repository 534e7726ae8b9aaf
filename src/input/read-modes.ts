import { nearestName } from "../faults/nearest-name.ts";
import { outOfRange, unknownName } from "../faults/wordings.ts";
import type { Axis, Mode, ModeAxis } from "../machine/problem.ts";
import { checkUnique } from "./check-axes.ts";
import { given } from "./given.ts";
import { addFault, child, children, has, type Node, placeOf } from "./node.ts";
import { readLoad } from "./read-load.ts";
import { loadTravelOf, travelOf } from "./read-mechanism.ts";
import { readMotion } from "./read-motion.ts";
import { optionalShare, optionalText, reportMisplaced, requiredQuantity } from "./values.ts";

/** Reads the other ways a machine runs, whose axes are known by now. */
export function readModes(node: Node, axes: readonly Axis[]): readonly Mode[] {
  const modes = children(node, "modes");
  checkUnique(modes, "mode");
  const read = modes.map((mode) => ({
    id: optionalText(mode, "id") ?? "",
    share: optionalShare(mode, "share", { most: 1 }) ?? Number.NaN,
    cycle: requiredQuantity(mode, "cycle", { quantity: "time", range: "positive" }),
    axes: readModeAxes(child(mode, "axes"), axes),
  }));
  const whole = read.reduce((sum, { share }) => sum + share, 0);
  if (whole > 1 + 1e-9) {
    const found = `shares of together ${Number(whole.toPrecision(6))}`;
    addFault(node, outOfRange(placeOf(node, "modes"), found, "at most 1: the normal cycle takes the rest"));
  }
  return read;
}

function readModeAxes(node: Node, axes: readonly Axis[]): ReadonlyMap<string, ModeAxis> {
  const known = axes.map(({ id }) => id);
  const found = new Map<string, ModeAxis>();
  for (const name of Object.keys(node.members)) {
    const axis = axes.find(({ id }) => id === name);
    if (axis === undefined) {
      const expected = `an axis of this machine: ${known.join(", ")}`;
      addFault(node, unknownName(placeOf(node, name), { name, expected, nearest: nearestName(name, known) }));
    } else found.set(name, readModeAxis(child(node, name), axis));
  }
  return found;
}

function readModeAxis(node: Node, { mechanism: { kind } }: Axis): ModeAxis {
  if (kind === "measured") {
    reportMisplaced(
      node,
      ["motion", "load"],
      "nothing here: a measured shaft moves as its file says, in its own cycle",
    );
    return { motion: [] };
  }
  const load = has(node, "load") ? readLoad(child(node, "load"), loadTravelOf(kind)) : undefined;
  return { motion: readMotion(node, { travel: travelOf(kind), load: loadTravelOf(kind) }), ...given({ load }) };
}
