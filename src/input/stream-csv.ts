import { createHash } from "node:crypto";
import { createReadStream } from "node:fs";
import { stat } from "node:fs/promises";
import { parse } from "fast-csv";
import type { CsvPlace, Fault } from "../faults/fault.ts";
import { malformed, tooLarge, unreadable } from "../faults/wordings.ts";
import { SIZE_LIMITS } from "./size-limits.ts";

/** A row as it stands in the file. The header is row 1; blank rows count but are not handed on. */
export interface CsvRow {
  readonly row: number;
  readonly cells: readonly string[];
}

/** What became of a CSV file. */
export type CsvOutcome =
  | { readonly kind: "absent" }
  | { readonly kind: "faulty"; readonly fault: Fault }
  | { readonly kind: "read"; readonly sha256: string; readonly rowCount: number };

/** Streams a CSV file row by row within the bound on size; quoted cells may span lines. */
export async function streamCsv(path: string, onRow: (row: CsvRow) => void): Promise<CsvOutcome> {
  const size = await sizeOf(path);
  if (size === undefined) return { kind: "absent" };
  if (size > SIZE_LIMITS.catalogueBytes) {
    const place = { file: path, row: 1, column: "" };
    const most = `at most ${SIZE_LIMITS.catalogueBytes} bytes`;
    return { kind: "faulty", fault: tooLarge(place, "a larger file", most) };
  }
  return readRows(path, onRow);
}

async function sizeOf(path: string): Promise<number | undefined> {
  try {
    return (await stat(path)).size;
  } catch {
    return undefined;
  }
}

async function readRows(path: string, onRow: (row: CsvRow) => void): Promise<CsvOutcome> {
  const hash = createHash("sha256");
  const parser = parse({ headers: false, ignoreEmpty: false });
  createReadStream(path)
    .on("data", (chunk) => hash.update(chunk))
    .on("error", (error) => parser.destroy(error))
    .pipe(parser);
  const records: AsyncIterable<unknown> = parser;
  let row = 0;
  try {
    for await (const record of records) {
      row += 1;
      const cells = cellsOf(record);
      if (cells.some((cell) => cell.trim() !== "")) onRow({ row, cells });
    }
  } catch (error) {
    return { kind: "faulty", fault: streamFault({ file: path, row: row + 1, column: "" }, error) };
  }
  return { kind: "read", sha256: hash.digest("hex"), rowCount: row };
}

function cellsOf(record: unknown): readonly string[] {
  return Array.isArray(record) ? record.map(String) : [];
}

function streamFault(place: CsvPlace, error: unknown): Fault {
  const why = error instanceof Error ? error.message : String(error);
  const isOfFile = error instanceof Error && "errno" in error;
  return isOfFile ? unreadable(place, why, "a readable file") : malformed(place, shorten(why), "well formed CSV");
}

function shorten(text: string): string {
  return text.length > 120 ? `${text.slice(0, 117)}…` : text;
}
