import type { CsvOutcome, CsvRow } from "./stream-csv.ts";

/** A CSV file that a value of the problem is read from, as it stands. */
export interface LoadedTable {
  /** As faults name it. */
  readonly file: string;
  readonly outcome: CsvOutcome;
  /** The header first; at most one more row than a table may have. */
  readonly rows: readonly CsvRow[];
}
