import { writeToString } from "fast-csv";
import type { Series } from "../machine/verification.ts";
import { guarded } from "./guarded.ts";

/** Curves as CSV for plotting: a header with units, a row per node, numbers of ten significant digits. */
export async function seriesCsv({ columns }: Series): Promise<string> {
  const headers = columns.map(({ header }) => guarded(header));
  const length = columns[0]?.values.length ?? 0;
  const rows = Array.from({ length }, (_, k) => columns.map(({ values }) => numberText(values[k] ?? 0)));
  return writeToString(rows, { headers, alwaysWriteHeaders: true, includeEndRowDelimiter: true });
}

/** Names of the files, one for each series: letters, digits and `-_` only, none twice. */
export function seriesNames(series: readonly Series[]): string[] {
  const names = series.map(({ name }) =>
    name
      .normalize("NFC")
      .replaceAll(/[^\p{L}\p{N}_-]/gu, "_")
      .slice(0, MOST_LETTERS),
  );
  const known = new Map<string, number>();
  return names.map((name) => {
    // Some file systems take upper and lower case for the same.
    const key = name.toLowerCase();
    const before = known.get(key) ?? 0;
    known.set(key, before + 1);
    return before === 0 ? `${name}.csv` : `${name}.${before + 1}.csv`;
  });
}

const MOST_LETTERS = 100;

function numberText(value: number): string {
  return String(Number(value.toPrecision(10)) + 0);
}
