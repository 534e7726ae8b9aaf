import { writeToString } from "fast-csv";
import type { ResultDocument } from "../machine/result.ts";
import { guarded } from "./guarded.ts";

/**
 * The bill of materials as CSV, every cell quoted, one row per part number.
 * Text that a spreadsheet could take for a formula gets an apostrophe in front.
 */
export async function partsCsv(doc: Pick<ResultDocument, "currency" | "parts">): Promise<string> {
  const headers = [
    "kind",
    "part",
    "maker",
    "quantity",
    `unit price [${doc.currency}]`,
    `line total [${doc.currency}]`,
    "used by",
  ];
  const rows = doc.parts.map(({ kind, id, maker, quantity, unit_price, used_by }) => [
    kind,
    guarded(id),
    guarded(maker),
    String(quantity),
    unit_price.toFixed(2),
    (unit_price * quantity).toFixed(2),
    guarded(used_by.join("; ")),
  ]);
  const options = {
    headers,
    alwaysWriteHeaders: true,
    quoteColumns: true,
    quoteHeaders: true,
    includeEndRowDelimiter: true,
  };
  return writeToString(rows, options);
}
