import { outOfRange } from "../faults/wordings.ts";
import type { DwellSegment, RunSegment, Segment } from "../machine/problem.ts";
import { given } from "./given.ts";
import { addFault, children, has, type Node, placeOf } from "./node.ts";
import { readFollow } from "./read-follow.ts";
import { readForce } from "./read-load.ts";
import { readMove } from "./read-move.ts";
import { TRAVEL_QUANTITIES, type Travel } from "./travel.ts";
import { optionalNumber, optionalQuantity, quantityOr, reportMisplaced, requiredQuantity } from "./values.ts";

/** Keys that mean nothing in a segment of the other sort of axis. */
const MISPLACED: Readonly<Record<Travel, { readonly keys: readonly string[]; readonly expected: string }>> = {
  linear: { keys: ["torque", "friction_torque"], expected: "on a linear axis: force, friction_force" },
  rotary: {
    keys: ["force", "friction_force", "friction_coefficient"],
    expected: "on a rotary axis: torque, friction_torque",
  },
};

/** How the motion of an axis is given, and how its load travels: not always alike. */
export interface Travels {
  readonly travel: Travel;
  readonly load: Travel;
}

/** Reads the list of segments of an axis. */
export function readMotion(axis: Node, travels: Travels): readonly Segment[] {
  return children(axis, "motion").map((node) => readSegment(node, travels));
}

function readSegment(node: Node, { travel, load }: Travels): Segment {
  const { keys, expected } = MISPLACED[load];
  reportMisplaced(node, keys, expected);
  const base = readBase(node, load);
  if (has(node, "move")) return { ...base, ...readMove(node, travel) };
  if (has(node, "run")) return { ...base, ...readRun(node, travel) };
  if (has(node, "follow")) return { ...base, ...readFollow(node, travel) };
  return { ...base, ...readDwell(node) };
}

type Base = Omit<DwellSegment, "kind" | "time">;

function readBase(node: Node, travel: Travel): Base {
  const { force, mass } = TRAVEL_QUANTITIES[travel];
  const forceKey = travel === "linear" ? "force" : "torque";
  const frictionKey = travel === "linear" ? "friction_force" : "friction_torque";
  const overrides = given({
    frictionForce: optionalQuantity(node, frictionKey, { quantity: force }),
    frictionCoefficient: optionalNumber(node, "friction_coefficient"),
  });
  return {
    ...(readForce(node, forceKey) ?? { force: 0 }),
    payload: optionalQuantity(node, "payload", { quantity: mass }) ?? 0,
    ...overrides,
  };
}

function readRun(node: Node, travel: Travel): Omit<RunSegment, keyof Base> {
  const speed = requiredQuantity(node, "run", { quantity: TRAVEL_QUANTITIES[travel].speed, range: "any" });
  const time = requiredQuantity(node, "time", { quantity: "time", range: "positive" });
  const accelerateTime = quantityOr(node, "accelerate_time", { quantity: "time", fallback: 0 });
  const decelerateTime = optionalQuantity(node, "decelerate_time", { quantity: "time" });
  if (accelerateTime + (decelerateTime ?? 0) > time * (1 + 1e-9)) {
    addFault(
      node,
      outOfRange(placeOf(node, "time"), "ramps longer than the segment", "a time that includes both ramps"),
    );
  }
  return { kind: "run", speed, time, accelerateTime, ...given({ decelerateTime }) };
}

function readDwell(node: Node): Omit<DwellSegment, keyof Base> {
  return { kind: "dwell", time: requiredQuantity(node, "dwell", { quantity: "time", range: "not-negative" }) };
}
