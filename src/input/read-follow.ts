import type { FollowSegment, FollowTable } from "../machine/problem.ts";
import type { Node } from "./node.ts";
import { readNamedTable } from "./read-named-table.ts";
import { TRAVEL_QUANTITIES, type Travel } from "./travel.ts";
import { optionalText } from "./values.ts";

/** Stands for a table that is faulty; a fault is always recorded beside it, so it never leaves the reader. */
const FAULTY: FollowTable = { of: "position", times: [0], values: [0] };

/** Reads a segment that follows a CSV file of time against position or velocity. */
export function readFollow(node: Node, travel: Travel): Pick<FollowSegment, "kind" | "file" | "table"> {
  return { kind: "follow", file: optionalText(node, "follow") ?? "", table: tableOf(node, travel) };
}

function tableOf(node: Node, travel: Travel): FollowTable {
  const { distance, speed } = TRAVEL_QUANTITIES[travel];
  const table = readNamedTable(node, "follow", { holds: { position: distance, velocity: speed }, wanted: "one" });
  if (table === undefined) return FAULTY;
  const { position, velocity } = table.columns;
  return position === undefined
    ? { of: "velocity", times: table.times, values: velocity ?? [] }
    : { of: "position", times: table.times, values: position };
}
