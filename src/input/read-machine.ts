import type { Axis, Bus, Machine, MechanismKind, Mode } from "../machine/problem.ts";
import { checkAxes } from "./check-axes.ts";
import { given } from "./given.ts";
import { addDefault, child, children, has, member, type Node } from "./node.ts";
import { readLoad } from "./read-load.ts";
import { mechanismKind, readMechanism, travelOf } from "./read-mechanism.ts";
import { readMotion } from "./read-motion.ts";
import { type Margins, readAllow, readNeeds } from "./read-needs.ts";
import {
  flagOr,
  numberOr,
  optionalQuantity,
  optionalShare,
  optionalText,
  quantityOr,
  reportLater,
  requiredQuantity,
} from "./values.ts";

/** Reads one machine and checks what its parts say of each other. */
export function readMachine(node: Node, margins: Margins): Machine {
  const buses = readBuses(node);
  const emergencyStopTime = optionalQuantity(child(node, "emergency_stop"), "time", {
    quantity: "time",
    range: "positive",
  });
  const machine: Machine = {
    id: optionalText(node, "id") ?? "",
    quantity: numberOr(node, "quantity", 1),
    cycle: requiredQuantity(node, "cycle", { quantity: "time", range: "positive" }),
    buses,
    axes: children(node, "axes").flatMap((axis) => readAxis(axis, { buses, margins })),
    samePick: readSamePick(node),
    powerMargin: margins.power,
    modes: readModes(node),
    ...given({ emergencyStopTime }),
  };
  checkAxes(node, machine);
  return machine;
}

function readBuses(node: Node): readonly Bus[] {
  if (!has(node, "buses")) {
    addDefault(node, "buses", '"main", rectified mains');
    return [{ id: "main" }];
  }
  return children(node, "buses").map((bus) => ({
    id: optionalText(bus, "id") ?? "",
    ...given({ voltage: optionalQuantity(bus, "voltage", { quantity: "voltage", range: "positive" }) }),
  }));
}

function readSamePick(node: Node): readonly (readonly string[])[] {
  const groups = member(node, "same_pick");
  if (!Array.isArray(groups)) return [];
  return groups.map((group: unknown) => (Array.isArray(group) ? group.filter((id) => typeof id === "string") : []));
}

function readModes(node: Node): readonly Mode[] {
  const modes = children(node, "modes");
  if (modes.length > 0) reportLater(node, ["modes"]);
  return modes.map((mode) => ({
    id: optionalText(mode, "id") ?? "",
    share: optionalShare(mode, "share", { most: 1 }) ?? Number.NaN,
    cycle: requiredQuantity(mode, "cycle", { quantity: "time", range: "positive" }),
  }));
}

interface Surroundings {
  readonly buses: readonly Bus[];
  readonly margins: Margins;
}

/** An axis of an unknown kind of mechanism is left out: the schema has reported it, and its dimensions are not known. */
function readAxis(node: Node, around: Surroundings): readonly Axis[] {
  const kind = mechanismKind(child(node, "mechanism"));
  return kind === undefined ? [] : [readKnownAxis(node, kind, around)];
}

function readKnownAxis(node: Node, kind: MechanismKind, around: Surroundings): Axis {
  if (["winder", "crank", "measured"].includes(kind)) reportLater(child(node, "mechanism"), ["kind"]);
  const travel = travelOf(kind);
  return {
    id: optionalText(node, "id") ?? "",
    bus: readBusId(node, around.buses),
    start: quantityOr(node, "start", { quantity: "time", fallback: 0 }),
    inCycle: flagOr(node, "in_cycle", true),
    endless: flagOr(node, "endless", false),
    mechanism: readMechanism(child(node, "mechanism"), kind),
    load: readLoad(child(node, "load"), travel),
    motion: readMotion(node, travel),
    needs: readNeeds(child(node, "needs"), travel, around.margins),
    allow: readAllow(child(node, "allow")),
    ...given({ carriedBy: optionalText(node, "carried_by") }),
  };
}

function readBusId(node: Node, buses: readonly Bus[]): string {
  const id = optionalText(node, "bus");
  const first = buses[0]?.id ?? "";
  if (!has(node, "bus")) addDefault(node, "bus", first);
  return id ?? first;
}
