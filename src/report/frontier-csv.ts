import { FRONTIER_KINDS, type FrontierDocument, type FrontierPoint } from "../machine/frontier.ts";
import type { PartLine } from "../machine/result.ts";
import { csvText } from "./csv-text.ts";
import { beforeVariety } from "./frontier-words.ts";
import { guarded } from "./guarded.ts";

/**
 * The frontier as CSV, every cell quoted, one row per point; an empty cell: none, or not known. Text that a spreadsheet
 * could take for a formula gets an apostrophe in front.
 */
export async function frontierCsv(doc: FrontierDocument): Promise<string> {
  const { and, currency } = doc;
  const headers = [
    `most ${doc.by}`,
    ...(and === null ? [] : [`most ${and}`]),
    "status",
    `total [${currency}]`,
    `without variety [${currency}]`,
    `bound [${currency}]`,
    ...FRONTIER_KINDS,
    "goes",
    "comes",
    "reason",
  ];
  return csvText(
    headers,
    doc.points.map((point) => rowOf(point, and !== null)),
  );
}

function rowOf(point: FrontierPoint, hasSecond: boolean): string[] {
  const { cap, and_cap = null, status, objective, bound, distinct, changes, reason } = point;
  return [
    count(cap),
    ...(hasSecond ? [count(and_cap)] : []),
    status,
    amount(objective?.total),
    amount(beforeVariety(point)),
    amount(bound),
    ...FRONTIER_KINDS.map((kind) => count(distinct?.[kind])),
    guarded(names(changes?.goes)),
    guarded(names(changes?.comes)),
    guarded(reason ?? ""),
  ];
}

function count(value: number | null | undefined): string {
  return value == null ? "" : String(value);
}

function amount(value: number | null | undefined): string {
  return value == null ? "" : value.toFixed(2);
}

function names(parts: readonly PartLine[] | undefined): string {
  return (parts ?? []).map(({ id }) => id).join("; ");
}
