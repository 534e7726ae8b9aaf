import type { Maker, Sheet } from "./maker.ts";
import type { Row } from "./sheet.ts";

/** The row, a cent or more dearer where another part of its kind already has that price. */
function distinctRow(row: Row, kind: string, taken: Set<string>): Row {
  const key = (price: number): string => `${kind} ${price.toFixed(2)}`;
  let price = Number(row["price"]);
  while (taken.has(key(price))) price += 0.01;
  taken.add(key(price));
  return { ...row, price };
}

/** The makers with no two parts of a kind at the same unit price, so that needless ties stay out of the demonstration. */
export function withDistinctPrices(makers: readonly Maker[]): Maker[] {
  const taken = new Set<string>();
  const distinctSheet = (sheet: Sheet): Sheet => ({
    ...sheet,
    rows: sheet.rows.map((row) => distinctRow(row, sheet.kind, taken)),
  });
  return makers.map((maker) => ({ ...maker, sheets: maker.sheets.map(distinctSheet) }));
}
