import type { Measured } from "../machine/mechanism.ts";
import type { Segment } from "../machine/problem.ts";
import type { Node } from "./node.ts";
import { readNamedTable } from "./read-named-table.ts";
import { optionalText, quantityOr, reportMisplaced } from "./values.ts";

const COLUMNS = { holds: { speed: "angular-speed", torque: "torque" }, wanted: "all" } as const;

/** Stands for a table that is faulty; a fault is always recorded beside it, so it never leaves the reader. */
const FAULTY = { times: [0], values: [0] };

/** Everything between shaft and load is in the measured torque already. */
export function readMeasured(node: Node): Measured {
  reportMisplaced(node, ["efficiency", "back_efficiency", "drag_torque"], "nothing here: the measured torque holds it");
  const table = readMeasuredTable(node);
  const inertia = quantityOr(node, "inertia", { quantity: "inertia", fallback: 0 });
  const couplingInertia = quantityOr(node, "coupling_inertia", { quantity: "inertia", fallback: 0 });
  const plain = { efficiency: 1, backEfficiency: 1, dragTorque: 0, inertia, couplingInertia };
  return { kind: "measured", ...table, ...plain };
}

/** What the key `file` names: speed and torque of a shaft over time. */
export function readMeasuredTable(node: Node): Pick<Measured, "file" | "speed" | "torque"> {
  const table = readNamedTable(node, "file", COLUMNS);
  const speed = table === undefined ? FAULTY : { times: table.times, values: table.columns.speed ?? [] };
  const torque = table === undefined ? FAULTY : { times: table.times, values: table.columns.torque ?? [] };
  return { file: optionalText(node, "file") ?? "", speed, torque };
}

/** A measured shaft moves as its table says. */
export function measuredMotion({ file, speed }: Pick<Measured, "file" | "speed">): Segment {
  return { kind: "follow", file, table: { of: "velocity", ...speed }, force: 0, payload: 0 };
}
