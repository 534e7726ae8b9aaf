import { writeToString } from "fast-csv";
import type { ResultDocument } from "../machine/result.ts";

// What a spreadsheet would take for the start of a formula, full-width forms and leading blanks included.
const FORMULA = /^[\s\p{Cc}]*[=+\-@\uff1d\uff0b\uff0d\uff20]|^[\t\r\n]/u;

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

/** A text cell that no spreadsheet runs. */
function guarded(text: string): string {
  return FORMULA.test(text) ? `'${text}` : text;
}
