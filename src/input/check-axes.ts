import { nearestName } from "../faults/nearest-name.ts";
import { contradiction, duplicate, missing, outOfRange, unknownName } from "../faults/wordings.ts";
import type { MechanismKind } from "../machine/mechanism.ts";
import type { Axis, Machine, Segment } from "../machine/problem.ts";
import { joinPointer } from "./json-pointer.ts";
import { addFault, child, children, has, type Node, placeOf } from "./node.ts";

/** Mechanisms whose output does not carry: what rides there does not move along a line with them. */
const CANNOT_CARRY: readonly MechanismKind[] = ["rotary", "crank", "winder", "measured"];

/** What axes and buses of a machine say of each other: names used once, names that exist, carriers, times in the cycle. */
export function checkAxes(node: Node, machine: Machine): void {
  checkUnique(children(node, "buses"), "bus");
  const axes = children(node, "axes");
  checkUnique(axes, "axis");
  const all = axes.map(({ members }) => String(members["id"]));
  const ids = [...new Set(all)];
  for (const [index, axis] of axes.entries()) {
    checkName(axis, "bus", { known: machine.buses.map(({ id }) => id), what: "a bus of this machine" });
    checkName(axis, "carried_by", { known: ids, what: "an axis of this machine" });
    const read = machine.axes.find(({ id }) => id === axis.members["id"]);
    const isFirst = all.indexOf(String(axis.members["id"])) === index;
    if (read !== undefined && isFirst) checkAxis(axis, read, machine);
  }
  checkSamePick(node, machine, ids);
}

/** Reports every id that was already given. */
export function checkUnique(nodes: readonly Node[], what: string): void {
  const seen = new Set<unknown>();
  for (const node of nodes) {
    const { id } = node.members;
    if (seen.has(id)) addFault(node, duplicate(placeOf(node, "id"), JSON.stringify(id), `each ${what} id once`));
    if (id !== undefined) seen.add(id);
  }
}

function checkName(node: Node, key: string, says: { readonly known: readonly string[]; readonly what: string }): void {
  const name = node.members[key];
  if (typeof name !== "string" || says.known.includes(name)) return;
  const nearest = nearestName(name, says.known);
  addFault(
    node,
    unknownName(placeOf(node, key), { name, expected: `${says.what}: ${says.known.join(", ")}`, nearest }),
  );
}

function checkAxis(node: Node, axis: Axis, machine: Machine): void {
  checkCarrier(node, axis, machine.axes);
  checkTimes(node, axis, machine.cycle);
  checkStiffness(node, axis);
}

/** A bandwidth cannot be held against a resonance that nobody knows. */
function checkStiffness(node: Node, { needs, mechanism }: Axis): void {
  if (needs.bandwidth === undefined || mechanism.stiffness !== undefined) return;
  const place = placeOf(child(node, "mechanism"), "stiffness");
  addFault(node, missing(place, "no such key", '"stiffness", which goes with "bandwidth"'));
}

function checkCarrier(node: Node, axis: Axis, axes: readonly Axis[]): void {
  const carrier = axes.find(({ id }) => id === axis.carriedBy);
  if (carrier === undefined) return;
  const place = placeOf(node, "carried_by");
  const found = JSON.stringify(carrier.id);
  if (CANNOT_CARRY.includes(carrier.mechanism.kind)) {
    addFault(
      node,
      contradiction(place, `${found}, a ${carrier.mechanism.kind} axis`, "an axis that moves along a line"),
    );
  }
  if (carriesItself(axis, axes)) {
    addFault(node, contradiction(place, found, "an axis that does not itself ride on this one"));
  }
}

function carriesItself(axis: Axis, axes: readonly Axis[]): boolean {
  let carrier = axes.find(({ id }) => id === axis.carriedBy);
  for (let steps = 0; carrier !== undefined && steps < axes.length; steps++) {
    if (carrier.id === axis.id) return true;
    const next: string | undefined = carrier.carriedBy;
    carrier = axes.find(({ id }) => id === next);
  }
  return false;
}

function checkTimes(node: Node, axis: Axis, cycle: number): void {
  if (axis.start >= cycle) {
    addFault(node, outOfRange(placeOf(node, "start"), `${axis.start} s`, `less than the machine's cycle, ${cycle} s`));
  }
  const total = knownTime(axis.motion);
  if (axis.inCycle && total > cycle * (1 + 1e-9)) {
    const found = `segments of ${Number(total.toPrecision(12))} s`;
    addFault(node, outOfRange(placeOf(node, "motion"), found, `at most the machine's cycle, ${cycle} s`));
  }
  if (!axis.inCycle && has(node, "start")) {
    addFault(node, contradiction(placeOf(node, "start"), "a start", 'no start on an axis that is not "in_cycle"'));
  }
}

/** Sum of the times that are written down; moves given by limits count as nothing here. */
function knownTime(motion: readonly Segment[]): number {
  return motion.reduce((sum, segment) => {
    if (segment.kind === "follow") return sum + (segment.table.times.at(-1) ?? 0);
    return sum + (segment.time ?? 0);
  }, 0);
}

function checkSamePick(node: Node, machine: Machine, ids: readonly string[]): void {
  const groups = child(node, "same_pick").pointer;
  const seen = new Set<string>();
  for (const [row, group] of machine.samePick.entries()) {
    for (const [column, name] of group.entries()) {
      const place = { file: node.reading.file, pointer: joinPointer(joinPointer(groups, row), column) };
      if (!ids.includes(name)) {
        addFault(
          node,
          unknownName(place, {
            name,
            expected: `an axis of this machine: ${ids.join(", ")}`,
            nearest: nearestName(name, ids),
          }),
        );
      }
      if (seen.has(name)) addFault(node, duplicate(place, JSON.stringify(name), "each axis in one group only"));
      seen.add(name);
    }
  }
}
