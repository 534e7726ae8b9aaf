import type { Path } from "./places.ts";

/** A value of a JSON document. */
export type Json = string | number | boolean | null | readonly Json[] | { readonly [key: string]: Json };

/** Something of the problem that a study varies. */
export interface Factor {
  readonly id: string;
  /** Every place in the problem that takes the factor's value. */
  readonly places: readonly Path[];
  /** `set`: the value stands there; `multiply`: what stands there is multiplied by it. */
  readonly apply: "set" | "multiply";
  readonly scale: Scale;
  /** Unit of its numbers; empty: plain numbers. */
  readonly unit: string;
}

/** The values a factor can take. */
export type Scale = RangeScale | ListedScale;

/** Every number from low to high; beyond them where a design has star points. */
export interface RangeScale {
  readonly kind: "range";
  readonly low: number;
  readonly high: number;
  /** Steps alike on a logarithmic scale. */
  readonly isLog: boolean;
  /** Whole numbers only. */
  readonly isWhole: boolean;
}

/** Certain values only. */
export interface ListedScale {
  readonly kind: "listed";
  readonly levels: readonly Level[];
  /** The levels have no order. */
  readonly isCategorical: boolean;
}

/** One value of a factor. */
export interface Level {
  /** What stands in the problem. */
  readonly json: Json;
  /** As people read it. */
  readonly label: string;
  /** In the factor's unit; undefined where it is no number. */
  readonly number: number | undefined;
}

/** Digits kept of a number that a design works out, so that texts stay short and the same everywhere. */
const DIGITS = 12;

/**
 * The value of a factor at a coordinate of a design.
 *
 * @param coordinate - of a range −1 at low, 1 at high; of a list the index of the level
 */
export function levelAt({ scale, unit }: Factor, coordinate: number): Level {
  if (scale.kind === "listed") return scale.levels[coordinate] ?? { json: null, label: "none", number: undefined };
  const number = rounded(scale.isWhole ? Math.round(spread(scale, coordinate)) : spread(scale, coordinate));
  return numberLevel(number, unit);
}

/** The number at a coordinate, −1 at low and 1 at high, not rounded. */
export function spread({ low, high, isLog }: Pick<RangeScale, "low" | "high" | "isLog">, coordinate: number): number {
  const share = (coordinate + 1) / 2;
  return isLog ? low * (high / low) ** share : low + (high - low) * share;
}

/** A number with its unit as it stands in a problem. */
export function numberLevel(number: number, unit: string): Level {
  const json = unit === "" ? number : `${number} ${unit}`;
  return { json, label: String(json), number };
}

/** A number without the last digits that calculating leaves. */
export function rounded(number: number): number {
  return Number(number.toPrecision(DIGITS));
}

/**
 * The coordinate that analysis works with: −1 to 1 over a range or a list of numbers; of a categorical factor, and of a
 * list without numbers, the index of the level.
 */
export function codedValue({ scale }: Factor, at: number, { number }: Level): number {
  if (scale.kind === "listed") return scale.isCategorical ? at : codedLevel(scale.levels, at);
  return number === undefined ? at : codedRange(scale, number);
}

/** The coordinate of a number in a range: −1 at low, 1 at high. */
export function codedRange({ low, high, isLog }: RangeScale, number: number): number {
  const share = isLog ? Math.log(number / low) / Math.log(high / low) : (number - low) / (high - low);
  return settled(2 * share - 1);
}

/** A coordinate without the last digits that calculating leaves; the middle is 0 exactly. */
function settled(value: number): number {
  return Number(value.toFixed(DIGITS)) + 0;
}

function codedLevel(levels: readonly Level[], index: number): number {
  const numbers = levels.map(({ number }, position) => number ?? position);
  const [low, high] = [Math.min(...numbers), Math.max(...numbers)];
  return low === high ? 0 : settled((2 * ((numbers[index] ?? low) - low)) / (high - low) - 1);
}
