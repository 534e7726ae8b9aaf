import { InternalFault } from "../faults/fault.ts";

/**
 * A document as canonical JSON: members in the order they were built, two spaces, newline at the end.
 * Numbers keep ten significant digits, so that the last bits of a sum do not change the bytes of the file.
 *
 * @throws InternalFault when a number is not finite: JSON has no word for it
 */
export function documentText(doc: object): string {
  return `${JSON.stringify(doc, (key, value: unknown) => (typeof value === "number" ? rounded(key, value) : value), 2)}\n`;
}

function rounded(key: string, value: number): number {
  if (!Number.isFinite(value)) throw new InternalFault(`documentText: ${key} is ${value}`);
  // + 0 turns -0 into 0.
  return Number.isInteger(value) ? value + 0 : Number(value.toPrecision(10));
}
