import { normalize } from "node:path";
import type { Fault } from "../faults/fault.ts";
import { faultLine } from "../faults/fault-line.ts";
import { unreadable, wrongForm } from "../faults/wordings.ts";
import type { FollowSegment, FollowTable } from "../machine/problem.ts";
import { addFault, type Node, placeOf } from "./node.ts";
import { isInside } from "./path-inside.ts";
import { readTable } from "./read-table.ts";
import { TRAVEL_QUANTITIES, type Travel } from "./travel.ts";
import { optionalText } from "./values.ts";

/** Stands for a table that is faulty; a fault is always recorded beside it, so it never leaves the reader. */
const FAULTY: FollowTable = { of: "position", times: [0], values: [0] };

/** Reads a segment that follows a CSV file of time against position or velocity. */
export function readFollow(node: Node, travel: Travel): Pick<FollowSegment, "kind" | "file" | "table"> {
  const file = optionalText(node, "follow") ?? "";
  return { kind: "follow", file, table: tableOf(node, file, travel) ?? FAULTY };
}

function tableOf(node: Node, file: string, travel: Travel): FollowTable | undefined {
  const place = placeOf(node, "follow");
  const { tables, units } = node.reading;
  const loaded = tables.get(normalize(file));
  if (loaded === undefined) {
    // A name of the wrong type is the schema's to report.
    if (!isInside(file)) addFault(node, wrongForm(place, JSON.stringify(file), "a file inside the problem's folder"));
    return undefined;
  }
  const { outcome } = loaded;
  if (outcome.kind === "absent") addFault(node, unreadable(place, `no file ${JSON.stringify(file)}`, "a CSV file"));
  if (outcome.kind === "faulty") addOnce(node, [outcome.fault]);
  if (outcome.kind !== "read") return undefined;
  const { distance, speed } = TRAVEL_QUANTITIES[travel];
  const faults: Fault[] = [];
  const table = readTable(loaded, { position: distance, velocity: speed }, { units, faults });
  addOnce(node, faults);
  return table;
}

/** A file may be named several times: each of its faults is told once. */
function addOnce(node: Node, faults: readonly Fault[]): void {
  const told = new Set(node.reading.faults.map(faultLine));
  for (const fault of faults.filter((each) => !told.has(faultLine(each)))) addFault(node, fault);
}
