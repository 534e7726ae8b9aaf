import { writeToString } from "fast-csv";
import type { Series } from "../machine/verification.ts";
import { fileNames } from "./file-names.ts";
import { guarded } from "./guarded.ts";

/** Curves as CSV for plotting: a header with units, a row per node, numbers of ten significant digits. */
export async function seriesCsv({ columns }: Series): Promise<string> {
  const headers = columns.map(({ header }) => guarded(header));
  const length = columns[0]?.values.length ?? 0;
  const rows = Array.from({ length }, (_, k) => columns.map(({ values }) => numberText(values[k] ?? 0)));
  return writeToString(rows, { headers, alwaysWriteHeaders: true, includeEndRowDelimiter: true });
}

/** Names of the files, one for each series. */
export function seriesNames(series: readonly Series[]): string[] {
  return fileNames(series.map(({ name }) => name)).map((name) => `${name}.csv`);
}

function numberText(value: number): string {
  return String(Number(value.toPrecision(10)) + 0);
}
