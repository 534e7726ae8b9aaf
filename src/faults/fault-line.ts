import type { Fault, Place } from "./fault.ts";

/** A fault as one line: `press.json /axes/0/load/mass: found 14, expected a mass with its unit, such as "14 kg"`. */
export function faultLine(fault: Fault): string {
  const hint = fault.nearest === undefined ? "" : ` (nearest: "${fault.nearest}")`;
  return `${placeText(fault.place)}: found ${fault.found}, expected ${fault.expected}${hint}`;
}

/** `press.json /axes/0` or `motors.csv:7 [mass [kg]]`. */
function placeText(place: Place): string {
  if ("pointer" in place) return place.pointer === "" ? place.file : `${place.file} ${place.pointer}`;
  return place.column === "" ? `${place.file}:${place.row}` : `${place.file}:${place.row} [${place.column}]`;
}

/** Faults by file, then by place: list elements and rows by number, the rest in code-point order. */
export function sortFaults(faults: readonly Fault[]): Fault[] {
  return faults.toSorted((a, b) => compareText(a.place.file, b.place.file) || comparePlaces(a.place, b.place));
}

function comparePlaces(a: Place, b: Place): number {
  if ("row" in a && "row" in b) return a.row - b.row || compareText(a.column, b.column);
  if ("pointer" in a && "pointer" in b) return comparePointers(a.pointer.split("/"), b.pointer.split("/"));
  return "pointer" in a ? -1 : 1;
}

function comparePointers(a: readonly string[], b: readonly string[]): number {
  const length = Math.min(a.length, b.length);
  for (let index = 0; index < length; index++) {
    const order = compareSteps(a[index] ?? "", b[index] ?? "");
    if (order !== 0) return order;
  }
  return a.length - b.length;
}

function compareSteps(a: string, b: string): number {
  const isIndex = /^\d+$/.test(a) && /^\d+$/.test(b);
  return isIndex ? Number(a) - Number(b) : compareText(a, b);
}

function compareText(a: string, b: string): number {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}
