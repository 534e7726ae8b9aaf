import { normalize } from "node:path";
import type { Fault } from "../faults/fault.ts";
import { faultLine } from "../faults/fault-line.ts";
import { unreadable, wrongForm } from "../faults/wordings.ts";
import { addFault, type Node, placeOf } from "./node.ts";
import { isInside } from "./path-inside.ts";
import { readTable, type TimeTable, type ValueColumns } from "./read-table.ts";
import { optionalText } from "./values.ts";

/** The table that a key names; undefined where it is faulty, with a fault recorded. */
export function readNamedTable<Name extends string>(
  node: Node,
  key: string,
  columns: ValueColumns<Name>,
): TimeTable<Name> | undefined {
  const file = optionalText(node, key) ?? "";
  const place = placeOf(node, key);
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
  const faults: Fault[] = [];
  const table = readTable(loaded, columns, { units, faults });
  addOnce(node, faults);
  return table;
}

/** A file may be named several times: each of its faults is told once. */
function addOnce(node: Node, faults: readonly Fault[]): void {
  const told = new Set(node.reading.faults.map(faultLine));
  for (const fault of faults.filter((each) => !told.has(faultLine(each)))) addFault(node, fault);
}
