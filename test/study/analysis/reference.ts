import { readFileSync } from "node:fs";

const FOLDER = new URL("../../../shared/reference/analysis/", import.meta.url);

/** Text of a reference file. */
function referenceText(name: string): string {
  return readFileSync(new URL(name, FOLDER), "utf8");
}

/** A published JSON file; its shape is for the caller to state. */
export function referenceJson(name: string): unknown {
  return JSON.parse(referenceText(name));
}

function cell(text: string): number | string {
  return Number.isNaN(Number(text)) ? text : Number(text);
}

/** Columns of a CSV file by their header; numbers where they read as such. */
export function referenceColumns(name: string): Record<string, (number | string)[]> {
  const [header = "", ...lines] = referenceText(name).trim().replaceAll('"', "").split("\n");
  const rows = lines.map((line) => line.trim().split(","));
  return Object.fromEntries(
    header
      .trim()
      .split(",")
      .map((key, k) => [key, rows.map((row) => cell(row[k] ?? ""))]),
  );
}

/** Groups and responses of a NIST StRD analysis-of-variance file. */
export function nistAnova(name: string): { groups: string[]; response: number[] } {
  const rows = referenceText(`anova/${name}.dat`)
    .split("\n")
    .slice(60)
    .map((line) => line.trim().split(/\s+/u))
    .filter((row) => row.length === 2);
  return { groups: rows.map((row) => row[0] ?? ""), response: rows.map((row) => Number(row[1])) };
}

/** Digits that agree: −log10 of the relative error (of the absolute one about zero), 15 at most. */
export function agreeingDigits(found: unknown, certified: number): number {
  if (typeof found !== "number" || Number.isNaN(found)) return 0;
  const error = Math.abs(found - certified) / (certified === 0 ? 1 : Math.abs(certified));
  return Math.min(15, error === 0 ? 15 : -Math.log10(error));
}
