import type { Fault, Place } from "./fault.ts";

type Wording = (place: Place, found: string, expected: string) => Fault;

function wording(code: string): Wording {
  return (place, found, expected) => ({ code, place, found, expected });
}

/** A dimensional value without its unit, or no value at all. */
export const quantityExpected: Wording = wording("quantity");
/** A value whose unit belongs to another dimension. */
export const wrongDimension: Wording = wording("wrong-dimension");
/** A value that may not be below, at or above some bound. */
export const outOfRange: Wording = wording("out-of-range");
/** A value of the wrong kind or form: a text where a list belongs. */
export const wrongForm: Wording = wording("wrong-form");
/** A key or column that has to be there. */
export const missing: Wording = wording("missing");
/** Two keys that exclude each other, or a key that has no meaning where it stands. */
export const contradiction: Wording = wording("contradiction");
/** A file or folder that cannot be read. */
export const unreadable: Wording = wording("unreadable");
/** Text that is not well formed JSON or CSV. */
export const malformed: Wording = wording("malformed");
/** Larger, longer or deeper than the stated bound. */
export const tooLarge: Wording = wording("too-large");
/** A file that is not the one a result was made from. */
export const changedInput: Wording = wording("changed-input");
/** The same name given twice. */
export const duplicate: Wording = wording("duplicate");

export function noSuchUnit(
  place: Place,
  says: { readonly found: string; readonly unit: string; readonly expected: string },
): Fault {
  return {
    code: "unknown-unit",
    place,
    found: `${says.found} with the unknown unit "${says.unit}"`,
    expected: says.expected,
  };
}

export function moneyExpected(place: Place, found: string, example: string): Fault {
  return { code: "money", place, found, expected: `a sum of money, such as "${example}"` };
}

/** Money that is not a whole number of cents. */
export function wholeCents(place: Place, found: string): Fault {
  return { code: "money", place, found, expected: "money with at most two decimals" };
}

/** A name that is not among those known. */
export function unknownName(
  place: Place,
  says: { readonly name: string; readonly expected: string; readonly nearest: string | undefined },
): Fault {
  return {
    code: "unknown-name",
    place,
    found: JSON.stringify(says.name),
    expected: says.expected,
    ...near(says.nearest),
  };
}

export function unknownKey(place: Place, key: string, nearest: string | undefined): Fault {
  return {
    code: "unknown-key",
    place,
    found: `key ${JSON.stringify(key)}`,
    expected: "a documented key",
    ...near(nearest),
  };
}

function near(nearest: string | undefined): { readonly nearest?: string } {
  return nearest === undefined ? {} : { nearest };
}
