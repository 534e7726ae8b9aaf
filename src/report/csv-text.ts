import { writeToString } from "fast-csv";

/** A table as CSV with every cell quoted, headers even without rows. Texts that come from outside are to be `guarded`. */
export async function csvText(headers: readonly string[], rows: readonly (readonly string[])[]): Promise<string> {
  return writeToString(
    rows.map((row) => [...row]),
    {
      headers: [...headers],
      alwaysWriteHeaders: true,
      quoteColumns: true,
      quoteHeaders: true,
      includeEndRowDelimiter: true,
    },
  );
}
