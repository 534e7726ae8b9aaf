import type { TimeSeries } from "../machine/mechanism.ts";
import type { Load } from "../machine/problem.ts";
import { given } from "./given.ts";
import { child, has, member, type Node } from "./node.ts";
import { readNamedTable } from "./read-named-table.ts";
import type { TimeTable } from "./read-table.ts";
import { TRAVEL_QUANTITIES, type Travel } from "./travel.ts";
import { numberOr, optionalQuantity, quantityOr, reportMisplaced } from "./values.ts";

const LINEAR_KEYS = ["mass", "incline", "friction_force", "friction_coefficient", "force"];
const ROTARY_KEYS = ["inertia", "friction_torque", "torque", "imbalance", "imbalance_angle", "tilt"];

/** Keys that mean nothing on the other sort of axis, and what to write there. */
const MISPLACED: Readonly<Record<Travel, { readonly keys: readonly string[]; readonly expected: string }>> = {
  linear: {
    keys: ROTARY_KEYS,
    expected: `on a linear axis: ${[...LINEAR_KEYS, "viscous", "counterbalance"].join(", ")}`,
  },
  rotary: {
    keys: LINEAR_KEYS,
    expected: `on a rotary axis: ${[...ROTARY_KEYS, "viscous", "counterbalance"].join(", ")}`,
  },
};

/** Reads a load; rotary keys arrive in the same fields as linear ones. */
export function readLoad(node: Node, travel: Travel): Load {
  const { keys, expected } = MISPLACED[travel];
  reportMisplaced(node, keys, expected);
  const { damping, force } = TRAVEL_QUANTITIES[travel];
  const shared = {
    viscous: quantityOr(node, "viscous", { quantity: damping, fallback: 0 }),
    counterbalance: quantityOr(node, "counterbalance", { quantity: force, fallback: 0, range: "any" }),
  };
  return travel === "linear" ? { ...readLinear(node), ...shared } : { ...readRotary(node), ...shared };
}

type OwnFields = Omit<Load, "viscous" | "counterbalance">;

function readLinear(node: Node): OwnFields {
  return {
    mass: quantityOr(node, "mass", { quantity: "mass", fallback: 0 }),
    incline: quantityOr(node, "incline", { quantity: "angle", fallback: 0, range: "any" }),
    frictionForce: quantityOr(node, "friction_force", { quantity: "force", fallback: 0 }),
    frictionCoefficient: numberOr(node, "friction_coefficient", 0),
    ...forceOr(node, "force"),
    imbalance: 0,
    imbalanceAngle: 0,
    tilt: Math.PI / 2,
  };
}

function readRotary(node: Node): OwnFields {
  const inertia = quantityOr(node, "inertia", { quantity: "inertia", fallback: 0 });
  const imbalance = quantityOr(node, "imbalance", { quantity: "imbalance", fallback: 0 });
  return {
    mass: inertia,
    incline: 0,
    frictionForce: quantityOr(node, "friction_torque", { quantity: "torque", fallback: 0 }),
    frictionCoefficient: 0,
    ...forceOr(node, "torque"),
    imbalance,
    imbalanceAngle: quantityOr(node, "imbalance_angle", { quantity: "angle", fallback: 0, range: "any" }),
    tilt: quantityOr(node, "tilt", { quantity: "angle", fallback: Math.PI / 2, range: "any" }),
  };
}

function forceOr(node: Node, key: "force" | "torque"): AppliedForce {
  return readForce(node, key) ?? { force: quantityOr(node, key, { quantity: key, fallback: 0, range: "any" }) };
}

/** A constant force or torque, or one that follows a file. */
export interface AppliedForce {
  readonly force: number;
  readonly forceTable?: TimeSeries;
}

/** Reads a force or torque, constant or from a file over time; undefined where there is none. */
export function readForce(node: Node, key: "force" | "torque"): AppliedForce | undefined {
  if (!has(node, key)) return undefined;
  if (typeof member(node, key) === "object") {
    const table = readNamedTable(child(node, key), "file", { holds: { [key]: key }, wanted: "all" });
    return { force: 0, ...given({ forceTable: seriesOf(table, key) }) };
  }
  return { force: optionalQuantity(node, key, { quantity: key, range: "any" }) ?? Number.NaN };
}

function seriesOf(table: TimeTable<string> | undefined, key: string): TimeSeries | undefined {
  const values = table?.columns[key];
  return table === undefined || values === undefined ? undefined : { times: table.times, values };
}
