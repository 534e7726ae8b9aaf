import type { JsonPlace } from "../faults/fault.ts";
import { nearestName } from "../faults/nearest-name.ts";
import { missing, unknownName, wrongForm } from "../faults/wordings.ts";
import type { AnyPart, PartKind } from "../machine/catalogue.ts";
import type { InputFile } from "../machine/problem.ts";
import type { CatalogueReading } from "./catalogue-reading.ts";
import { countDefault } from "./catalogue-reading.ts";
import { checkRow, constantsCautions, dearerStepCautions } from "./check-row.ts";
import { PART_FROM_ROW } from "./part-from-row.ts";
import { type HeaderCell, readHeader, type TableSource } from "./read-header.ts";
import { makeRow, type Row } from "./row.ts";
import { type CsvRow, streamCsv } from "./stream-csv.ts";

/** A part with the place it came from. */
export interface PlacedPart<Part = AnyPart> {
  readonly part: Part;
  readonly file: string;
  readonly row: number;
}

/** One file of a catalogue as read. */
export interface CatalogueFile<Part> {
  readonly parts: readonly PlacedPart<Part>[];
  /** Absent: there is no such file. */
  readonly input?: InputFile;
}

/** Where a table comes from, and how defaults name it. */
export interface FileSource<Kind extends PartKind> extends TableSource {
  readonly kind: Kind;
  readonly maker: string;
  /** Folder as the problem names it, and file. */
  readonly label: string;
  /** Of `columns` in catalog.json, for faults of the mapping. */
  readonly mappingPlace: JsonPlace;
}

type PartOf<Kind extends PartKind> = Extract<AnyPart, { readonly kind: Kind }>;

/** Reads one CSV file of parts; every fault of header and rows is collected. */
export async function readCatalogueFile<Kind extends PartKind>(
  reading: CatalogueReading,
  source: FileSource<Kind>,
): Promise<CatalogueFile<PartOf<Kind>>> {
  const { file } = source;
  const parts: PlacedPart<PartOf<Kind>>[] = [];
  let header: readonly HeaderCell[] | undefined;
  const onRow = (csv: CsvRow): void => {
    if (header === undefined) header = startTable(reading, source, csv);
    else parts.push({ part: readPart(reading, source, rowOf(reading, { file, header, csv })), file, row: csv.row });
  };
  const outcome = await streamCsv(file, onRow);
  if (outcome.kind === "absent") return { parts: [] };
  if (outcome.kind === "faulty") {
    reading.faults.push(outcome.fault);
    return { parts };
  }
  if (header === undefined) {
    reading.faults.push(missing({ file, row: 1, column: "" }, "an empty file", "a header row"));
  }
  return { parts, input: { path: file, sha256: outcome.sha256 } };
}

function startTable(reading: CatalogueReading, source: FileSource<PartKind>, csv: CsvRow): readonly HeaderCell[] {
  const given = csv.cells.map((cell) => cell.trim());
  for (const name of Object.keys(source.mapping).filter((key) => !given.includes(key))) {
    const { file, pointer } = source.mappingPlace;
    const says = { name, expected: `a header of ${source.file}`, nearest: nearestName(name, given) };
    reading.faults.push(unknownName({ file, pointer }, says));
  }
  return readHeader(reading, source, csv.cells);
}

function rowOf(
  reading: CatalogueReading,
  from: { readonly file: string; readonly header: readonly HeaderCell[]; readonly csv: CsvRow },
): Row {
  const { file, header, csv } = from;
  if (csv.cells.length !== header.length) {
    const place = { file, row: csv.row, column: "" };
    reading.faults.push(wrongForm(place, `${csv.cells.length} cells`, `${header.length} cells, as in the header`));
  }
  return makeRow({ file, row: csv.row }, header, csv.cells);
}

function readPart<Kind extends PartKind>(reading: CatalogueReading, source: FileSource<Kind>, row: Row): PartOf<Kind> {
  const { kind, maker, label } = source;
  const noteDefault = (column: string, value: string): void => countDefault(reading, `${label} ${column}`, value);
  const part: PartOf<Kind> = PART_FROM_ROW[kind](row, { maker, noteDefault });
  reading.faults.push(...row.faults, ...checkRow(row, kind));
  reading.cautions.push(...dearerStepCautions(row));
  if (kind === "motor") reading.cautions.push(...constantsCautions(row));
  return part;
}
