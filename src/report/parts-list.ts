import type { ResultDocument } from "../machine/result.ts";
import { csvText } from "./csv-text.ts";
import { guarded } from "./guarded.ts";

/**
 * The bill of materials as CSV, every cell quoted, one row per part number; with substitutes where dual source is demanded.
 * Text that a spreadsheet could take for a formula gets an apostrophe in front.
 */
export async function partsCsv(doc: Pick<ResultDocument, "currency" | "parts">): Promise<string> {
  const isDual = doc.parts.some(({ substitute }) => substitute !== undefined);
  const headers = [
    "kind",
    "part",
    "maker",
    "quantity",
    `unit price [${doc.currency}]`,
    `line total [${doc.currency}]`,
    "used by",
    ...(isDual ? ["substitute", "substitute maker"] : []),
  ];
  const rows = doc.parts.map(({ kind, id, maker, quantity, unit_price, used_by, substitute }) => [
    kind,
    guarded(id),
    guarded(maker),
    String(quantity),
    unit_price.toFixed(2),
    (unit_price * quantity).toFixed(2),
    guarded(used_by.join("; ")),
    ...(isDual ? [guarded(substitute?.id ?? ""), guarded(substitute?.maker ?? "")] : []),
  ]);
  return csvText(headers, rows);
}
