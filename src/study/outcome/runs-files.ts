import { csvText } from "../../report/csv-text.ts";
import { guarded } from "../../report/guarded.ts";
import type { Study } from "../plan/study.ts";
import { quantityOf } from "./quantity.ts";
import { levelsOf, type ResponseValue, type StudyRow } from "./rows.ts";

/** Every run as a line of JSON: factor values as they stood in the problem, responses, and what each axis got. */
export function runsJsonLines({ factors, noise, responses }: Study, rows: readonly StudyRow[]): string {
  const ids = [...factors, ...noise].map(({ id }) => id);
  const lines = rows.map((row) => {
    const values = levelsOf(row).map(({ json }, index) => [ids[index], json] as const);
    const read = row.responses.map((value, index) => [responses[index]?.id, value] as const);
    return JSON.stringify({
      run: row.run,
      point: row.point + 1,
      ...(noise.length === 0 ? {} : { noise: row.noise + 1 }),
      factors: Object.fromEntries(values),
      status: row.status,
      reason: row.reason,
      responses: Object.fromEntries(read),
      picks: row.picks,
    });
  });
  return lines.map((line) => `${line}\n`).join("");
}

/** The same as a table, a row for each run; text that a spreadsheet could take for a formula is guarded. */
export async function runsCsv({ factors, noise, responses }: Study, rows: readonly StudyRow[]): Promise<string> {
  const all = [...factors, ...noise];
  const headers = [
    "run",
    "point",
    ...(noise.length === 0 ? [] : ["noise"]),
    ...all.map(quantityOf),
    "status",
    "reason",
    ...responses.map(({ id }) => id),
  ];
  const cells = rows.map((row) => [
    String(row.run),
    String(row.point + 1),
    ...(noise.length === 0 ? [] : [String(row.noise + 1)]),
    ...levelsOf(row).map(({ number, label }) => (number === undefined ? guarded(label) : String(number))),
    row.status,
    guarded(row.reason ?? ""),
    ...row.responses.map(cellOf),
  ]);
  return csvText(headers, cells);
}

function cellOf(value: ResponseValue): string {
  if (value === null) return "";
  return typeof value === "number" ? String(value) : guarded(value);
}
