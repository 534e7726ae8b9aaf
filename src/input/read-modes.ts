import { nearestName } from "../faults/nearest-name.ts";
import { missing, outOfRange, unknownName } from "../faults/wordings.ts";
import type { Measured } from "../machine/mechanism.ts";
import type { Axis, Mode, ModeAxis } from "../machine/problem.ts";
import { checkUnique } from "./check-axes.ts";
import { given } from "./given.ts";
import { addFault, child, children, has, type Node, placeOf } from "./node.ts";
import { readLoad } from "./read-load.ts";
import { measuredMotion, readMeasuredTable } from "./read-measured.ts";
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

function readModeAxis(node: Node, { mechanism }: Axis): ModeAxis {
  const { kind } = mechanism;
  if (kind === "measured") return readMeasuredAxis(node, mechanism);
  reportMisplaced(node, ["file"], 'nothing here: a "file" of speed and torque is for a measured shaft');
  if (!has(node, "motion")) {
    addFault(node, missing(placeOf(node, "motion"), "no such key", '"motion", or no such axis here where it stands'));
  }
  const load = has(node, "load") ? readLoad(child(node, "load"), loadTravelOf(kind)) : undefined;
  return { motion: readMotion(node, { travel: travelOf(kind), load: loadTravelOf(kind) }), ...given({ load }) };
}

/** A measured shaft moves in a mode as it was measured there; what it turns is the same. */
function readMeasuredAxis(node: Node, mechanism: Measured): ModeAxis {
  reportMisplaced(node, ["motion", "load"], "nothing here: the file of this mode says it");
  if (!has(node, "file")) {
    const expected = '"file": speed and torque as measured in this mode, or no such axis here where it stands';
    addFault(node, missing(placeOf(node, "file"), "no such key", expected));
    return { motion: [] };
  }
  const table = readMeasuredTable(node);
  return { motion: [measuredMotion(table)], mechanism: { ...mechanism, ...table } };
}
