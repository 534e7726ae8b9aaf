import { readFileSync } from "node:fs";

/** Rows of a reference table as records by column name; quoted cells may hold commas. */
export function referenceTable(name: string): Record<string, string>[] {
  const text = readFileSync(new URL(`../../shared/reference/physics/${name}`, import.meta.url), "utf8");
  const rows = text.trim().split(/\r?\n/).map(cells);
  const [header = [], ...body] = rows;
  return body.map((row) => Object.fromEntries(header.map((column, k) => [column, row[k] ?? ""])));
}

function cells(line: string): string[] {
  return [...line.matchAll(/(?:^|,)(?:"([^"]*)"|([^,]*))/g)].map((found) => found[1] ?? found[2] ?? "");
}

/** Value of a derived case by its id and the text of its output column. */
export function derivedCase(id: string, output: string): number {
  const row = referenceTable("derived_cases.csv").find((r) => r["id"] === id && r["output"]?.startsWith(output));
  if (row === undefined) throw new Error(`no derived case ${id} ${output}`);
  return Number(row["value"]);
}
