import { nearestName } from "../../faults/nearest-name.ts";
import { missing, outOfRange, quantityExpected, tooLarge, unknownName, wrongForm } from "../../faults/wordings.ts";
import { nameAndUnit } from "../../input/header-cell.ts";
import type { Reading } from "../../input/node.ts";
import type { CsvRow } from "../../input/stream-csv.ts";
import type { DesignPoint } from "../designs/design.ts";
import { codedRange, type Factor } from "./factor.ts";
import { inUnit } from "./read-factor.ts";

/** A table of runs as read from its file. */
export interface RunsTable {
  readonly file: string;
  readonly rows: readonly CsvRow[];
}

/** Most runs a file may give. */
const MOST_RUNS = 100_000;

interface Column {
  readonly factor: number;
  readonly shown: string;
  /** What a cell is multiplied by to be in the factor's unit. */
  readonly by: number;
}

/** Runs from a table: a column for each factor in any order, units in the header; every fault is collected. */
export function givenPoints(
  reading: Reading,
  { file, rows }: RunsTable,
  factors: readonly Factor[],
): readonly DesignPoint[] {
  const [header, ...body] = rows;
  if (header === undefined || body.length === 0) {
    reading.faults.push(missing({ file, row: 1, column: "" }, "no runs", "a header row and a row for each run"));
    return [];
  }
  if (body.length > MOST_RUNS) {
    reading.faults.push(
      tooLarge({ file, row: MOST_RUNS + 2, column: "" }, `${body.length} runs`, `at most ${MOST_RUNS}`),
    );
    return [];
  }
  const columns = header.cells.flatMap((cell) => columnOf(reading, { file, shown: cell.trim() }, factors));
  reportAbsent(reading, file, { columns, factors });
  if (reading.faults.length > 0) return [];
  return body.map((row) => pointOf(reading, { file, row, header: header.cells }, { columns, factors }));
}

function columnOf(
  reading: Reading,
  { file, shown }: { readonly file: string; readonly shown: string },
  factors: readonly Factor[],
): readonly Column[] {
  const { name, unit = "" } = nameAndUnit(shown);
  const place = { file, row: 1, column: shown };
  const index = factors.findIndex(({ id }) => id === name);
  const factor = factors[index];
  if (factor === undefined) {
    const ids = factors.map(({ id }) => id);
    reading.faults.push(unknownName(place, { name, expected: "the id of a factor", nearest: nearestName(name, ids) }));
    return [];
  }
  if (!isNumeric(factor)) return [{ factor: index, shown, by: 1 }];
  const by = inUnit(reading.units, { number: 1, unit }, factor.unit);
  if (by !== undefined) return [{ factor: index, shown, by }];
  const wanted =
    factor.unit === "" ? `"${name}" without a unit` : `a unit of its dimension, such as "${name} [${factor.unit}]"`;
  reading.faults.push(quantityExpected(place, unit === "" ? "no unit" : `[${unit}]`, wanted));
  return [];
}

function isNumeric({ scale }: Factor): boolean {
  return scale.kind === "range" || !scale.isCategorical;
}

interface Known {
  readonly columns: readonly Column[];
  readonly factors: readonly Factor[];
}

function reportAbsent(reading: Reading, file: string, { columns, factors }: Known): void {
  for (const [index, { id }] of factors.entries()) {
    const count = columns.filter((column) => column.factor === index).length;
    const place = { file, row: 1, column: id };
    if (count === 0 && reading.faults.length === 0)
      reading.faults.push(missing(place, "no such column", `a column "${id}"`));
    if (count > 1) reading.faults.push(wrongForm(place, `column "${id}" ${count} times`, "each factor once"));
  }
}

function pointOf(
  reading: Reading,
  { file, row, header }: { readonly file: string; readonly row: CsvRow; readonly header: readonly string[] },
  { columns, factors }: Known,
): DesignPoint {
  return factors.map((factor, index) => {
    const column = columns.find((one) => one.factor === index);
    const at = header.findIndex((cell) => cell.trim() === column?.shown);
    const cell = (row.cells[at] ?? "").trim();
    const coordinate = coordinateOf(factor, cell, column?.by ?? 1);
    if (coordinate !== undefined) return coordinate;
    const place = { file, row: row.row, column: column?.shown ?? "" };
    const { scale } = factor;
    const expected =
      scale.kind === "range" ? "a number" : `one of ${scale.levels.map(({ label }) => label).join(", ")}`;
    reading.faults.push(outOfRange(place, JSON.stringify(cell), expected));
    return 0;
  });
}

function coordinateOf({ scale }: Factor, cell: string, by: number): number | undefined {
  const number = cell === "" ? Number.NaN : Number(cell) * by;
  if (scale.kind === "range") return Number.isFinite(number) ? codedRange(scale, number) : undefined;
  const index = scale.levels.findIndex(
    (level) =>
      level.label === cell ||
      (level.number !== undefined && Math.abs(level.number - number) <= 1e-9 * Math.abs(number)),
  );
  return index < 0 ? undefined : index;
}
