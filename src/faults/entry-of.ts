import { InternalFault } from "./fault.ts";

/** An entry of a list that must be there. */
export function entryOf<T>(list: readonly T[] | undefined, index: number): T {
  const entry = list?.[index];
  if (entry === undefined) throw new InternalFault(`entry ${index} is missing from what was decided`);
  return entry;
}
