import { between, type Random, spread } from "./seeded.ts";
import type { Row } from "./sheet.ts";

const cents = (price: number): number => Math.round(price * 100) / 100;

/** Unit price and its steps from 10 and 50 units on; a few parts lack a step. [EUR] */
export function priceCells(random: Random, price: number): Row {
  const single = cents(price * spread(random, 0.008));
  const ten = cents(single * between(random, 0.94, 0.97));
  const fifty = cents(single * between(random, 0.87, 0.92));
  return {
    price: single,
    price_10: random() < 0.05 ? undefined : ten,
    price_50: random() < 0.08 ? undefined : fifty,
  };
}

/** Whole days. */
export function leadTime(random: Random, low: number, high: number): number {
  return Math.round(between(random, low, high));
}

/** The row with a few of the named optional cells left empty, as real sheets have them. */
export function withGaps(row: Row, optional: readonly string[], random: Random): Row {
  const emptied = optional.filter(() => random() < 0.035);
  return { ...row, ...Object.fromEntries(emptied.map((name) => [name, undefined])) };
}
