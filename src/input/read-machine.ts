import type { Mechanism, MechanismKind } from "../machine/mechanism.ts";
import type { Axis, Bus, Machine } from "../machine/problem.ts";
import { checkAxes } from "./check-axes.ts";
import { given } from "./given.ts";
import { addDefault, child, children, has, member, type Node } from "./node.ts";
import { readLoad } from "./read-load.ts";
import { measuredMotion } from "./read-measured.ts";
import { loadTravelOf, mechanismKind, readMechanism, travelOf } from "./read-mechanism.ts";
import { readModes } from "./read-modes.ts";
import { readMotion } from "./read-motion.ts";
import { type Margins, readAllow, readNeeds } from "./read-needs.ts";
import {
  flagOr,
  numberOr,
  optionalQuantity,
  optionalText,
  quantityOr,
  reportMisplaced,
  requiredQuantity,
} from "./values.ts";

/** Reads one machine and checks what its parts say of each other. */
export function readMachine(node: Node, margins: Margins): Machine {
  const buses = readBuses(node);
  const emergencyStopTime = optionalQuantity(child(node, "emergency_stop"), "time", {
    quantity: "time",
    range: "positive",
  });
  const axes = children(node, "axes").flatMap((axis) => readAxis(axis, { buses, margins }));
  const machine: Machine = {
    id: optionalText(node, "id") ?? "",
    quantity: numberOr(node, "quantity", 1),
    cycle: requiredQuantity(node, "cycle", { quantity: "time", range: "positive" }),
    buses,
    axes,
    samePick: readSamePick(node),
    powerMargin: margins.power,
    modes: readModes(node, axes),
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
  const travel = travelOf(kind);
  const mechanism = readMechanism(child(node, "mechanism"), kind);
  return {
    id: optionalText(node, "id") ?? "",
    bus: readBusId(node, around.buses),
    start: quantityOr(node, "start", { quantity: "time", fallback: 0 }),
    inCycle: flagOr(node, "in_cycle", true),
    ...readWay(node, mechanism, kind),
    mechanism,
    needs: readNeeds(child(node, "needs"), travel, around.margins),
    allow: readAllow(child(node, "allow")),
    ...given({ carriedBy: optionalText(node, "carried_by") }),
  };
}

/** What moves and how; a measured shaft moves as its file says. */
function readWay(node: Node, mechanism: Mechanism, kind: MechanismKind): Pick<Axis, "endless" | "load" | "motion"> {
  const load = readLoad(child(node, "load"), loadTravelOf(kind));
  if (mechanism.kind === "measured") {
    reportMisplaced(node, ["motion", "load", "endless"], "nothing here: the file of the mechanism says it");
    return { endless: true, load, motion: [measuredMotion(mechanism)] };
  }
  const motion = readMotion(node, { travel: travelOf(kind), load: loadTravelOf(kind) });
  return { endless: flagOr(node, "endless", false), load, motion };
}

function readBusId(node: Node, buses: readonly Bus[]): string {
  const id = optionalText(node, "bus");
  const first = buses[0]?.id ?? "";
  if (!has(node, "bus")) addDefault(node, "bus", first);
  return id ?? first;
}
