import type { OrderLine } from "../decide/money.ts";
import { type AnyPart, partKey } from "../machine/catalogue.ts";

/** Bare part number and maker; null where there is no part. */
export function namesOf(part: AnyPart | undefined): { readonly id: string | null; readonly maker: string | null } {
  return part === undefined ? { id: null, maker: null } : { id: part.part, maker: part.maker };
}

/** What a piece of each part costs in this order [cent]; nothing where there is no part. */
export type UnitPrice = (part: AnyPart | undefined) => number;

/** Unit prices at the quantities of the order. */
export function unitPrices(lines: readonly OrderLine[]): UnitPrice {
  const prices = new Map(lines.map(({ part, unitPrice }) => [orderKey(part), unitPrice]));
  return (part) => (part === undefined ? 0 : (prices.get(orderKey(part)) ?? 0));
}

function orderKey(part: AnyPart): string {
  return `${part.kind} ${partKey(part)}`;
}
