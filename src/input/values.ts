import { contradiction, outOfRange, wholeCents, wrongForm } from "../faults/wordings.ts";
import { formatQuantity } from "../units/format-quantity.ts";
import { QUANTITIES, type Quantity } from "../units/quantity.ts";
import { readMoney, readQuantity, readShare } from "../units/read-quantity.ts";
import { addDefault, addFault, has, member, type Node, placeOf } from "./node.ts";

/** Where a number may lie. */
export type Range = "any" | "positive" | "not-negative";

/** The dimension and range of a value; the range is "not-negative" unless given. */
export interface Wanted {
  readonly quantity: Quantity;
  readonly range?: Range;
}

/** What each range allows, and how a message says it. */
export const RANGES: Readonly<Record<Range, { readonly holds: (value: number) => boolean; readonly says: string }>> = {
  any: { holds: () => true, says: "" },
  positive: { holds: (value) => value > 0, says: "more than 0" },
  "not-negative": { holds: (value) => value >= 0, says: "0 or more" },
};

/** Stands for a value that is missing or faulty; a fault is always recorded beside it, so it never leaves the reader. */
const FAULTY = Number.NaN;

/** A dimensional value, in the unit its quantity is kept in; undefined when absent. */
export function optionalQuantity(node: Node, key: string, wanted: Wanted): number | undefined {
  const text = member(node, key);
  if (text === undefined) return undefined;
  if (typeof text !== "string") return FAULTY;
  const place = placeOf(node, key);
  const read = readQuantity(node.reading.units, text, wanted.quantity, place);
  if (!read.ok) {
    for (const fault of read.faults) addFault(node, fault);
    return FAULTY;
  }
  const { holds, says } = RANGES[wanted.range ?? "not-negative"];
  if (!holds(read.value)) addFault(node, outOfRange(place, JSON.stringify(text), says));
  return read.value;
}

/** A dimensional value that the schema requires. */
export function requiredQuantity(node: Node, key: string, wanted: Wanted): number {
  return optionalQuantity(node, key, wanted) ?? FAULTY;
}

/** A dimensional value with a default, which is recorded when used. */
export function quantityOr(node: Node, key: string, wanted: Wanted & { readonly fallback: number }): number {
  const { quantity, fallback } = wanted;
  const value = optionalQuantity(node, key, wanted);
  if (value !== undefined) return value;
  addDefault(node, key, formatQuantity(fallback, QUANTITIES[quantity].unit));
  return fallback;
}

/** As the least of a share: anything above 0. */
export const ABOVE_ZERO: number = Number.MIN_VALUE;

/** A share between `least` and `most`; undefined when absent. */
export function optionalShare(
  node: Node,
  key: string,
  bounds: { readonly least?: number; readonly most?: number } = {},
): number | undefined {
  const given = member(node, key);
  if (typeof given !== "number" && typeof given !== "string") return given === undefined ? undefined : FAULTY;
  const share = readShare(given);
  const place = placeOf(node, key);
  const found = JSON.stringify(given);
  if (share === undefined) {
    addFault(node, wrongForm(place, found, 'a share, such as 0.15 or "15 %"'));
    return FAULTY;
  }
  const { least = 0, most = Infinity } = bounds;
  if (share < least || share > most) addFault(node, outOfRange(place, found, `a share ${rangeText(least, most)}`));
  return share;
}

function rangeText(least: number, most: number): string {
  if (least === ABOVE_ZERO) return `above 0, at most ${most}`;
  if (most === Infinity) return `of ${least} or more`;
  return least === -Infinity ? `of at most ${most}` : `from ${least} to ${most}`;
}

/** A share with a default, recorded when used. */
export function shareOr(
  node: Node,
  key: string,
  wanted: { readonly fallback: number; readonly least?: number; readonly most?: number },
): number {
  const share = optionalShare(node, key, wanted);
  if (share !== undefined) return share;
  addDefault(node, key, formatQuantity(wanted.fallback, "%"));
  return wanted.fallback;
}

export function optionalNumber(node: Node, key: string): number | undefined {
  const value = member(node, key);
  if (value === undefined) return undefined;
  return typeof value === "number" ? value : FAULTY;
}

export function numberOr(node: Node, key: string, fallback: number): number {
  const value = optionalNumber(node, key);
  if (value !== undefined) return value;
  addDefault(node, key, formatQuantity(fallback, "1"));
  return fallback;
}

export function optionalText(node: Node, key: string): string | undefined {
  const value = member(node, key);
  return typeof value === "string" ? value : undefined;
}

export function textOr(node: Node, key: string, fallback: string): string {
  const value = optionalText(node, key);
  if (value === undefined && !has(node, key)) addDefault(node, key, fallback);
  return value ?? fallback;
}

export function flagOr(node: Node, key: string, fallback: boolean): boolean {
  const value = member(node, key);
  if (value === undefined) addDefault(node, key, String(fallback));
  return typeof value === "boolean" ? value : fallback;
}

export function optionalTexts(node: Node, key: string): readonly string[] | undefined {
  const list = member(node, key);
  return Array.isArray(list) ? list.filter((item) => typeof item === "string") : undefined;
}

/** One of a closed list of names; undefined when absent or (as the schema then reports) none of them. */
export function optionalChoice<T extends string>(node: Node, key: string, choices: readonly T[]): T | undefined {
  const value = member(node, key);
  return choices.find((choice) => choice === value);
}

/** Those elements of a list that are among the choices; the schema reports the others. */
export function optionalChoices<T extends string>(
  node: Node,
  key: string,
  choices: readonly T[],
): readonly T[] | undefined {
  const list = optionalTexts(node, key);
  return list?.flatMap((item) => choices.filter((choice) => choice === item));
}

/** A sum of money, plain or per a quantity [cent]; undefined when absent. */
export function optionalMoney(
  node: Node,
  key: string,
  wanted: { readonly per?: Quantity; readonly example: string },
): number | undefined {
  const text = member(node, key);
  if (typeof text !== "string") return text === undefined ? undefined : FAULTY;
  const { currency, units } = node.reading;
  if (currency === "") return FAULTY;
  const place = placeOf(node, key);
  const example = wanted.example.replace("EUR", currency);
  const read = readMoney(units, text, { currency, per: wanted.per, example, place });
  if (!read.ok) {
    for (const fault of read.faults) addFault(node, fault);
    return FAULTY;
  }
  if (read.value < 0) addFault(node, outOfRange(place, JSON.stringify(text), "0 or more"));
  return read.value;
}

/** Whole cents of a sum in the currency; a fault when it has more than two decimals. */
export function centsOf(node: Node, key: string, sum: number): number {
  const cents = Math.round(sum * 100);
  if (Math.abs(sum * 100 - cents) > 1e-6) addFault(node, wholeCents(placeOf(node, key), String(sum)));
  return cents;
}

/** Reports keys that have no meaning where they stand. */
export function reportMisplaced(node: Node, keys: readonly string[], expected: string): void {
  for (const key of keys) {
    if (has(node, key)) addFault(node, contradiction(placeOf(node, key), `key "${key}"`, expected));
  }
}
