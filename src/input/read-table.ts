import type { CsvPlace, Fault } from "../faults/fault.ts";
import { nearestName } from "../faults/nearest-name.ts";
import {
  contradiction,
  duplicate,
  missing,
  outOfRange,
  quantityExpected,
  tooLarge,
  unknownName,
  wrongForm,
} from "../faults/wordings.ts";
import type { UnitReader } from "../units/load-units.ts";
import { QUANTITIES, type Quantity } from "../units/quantity.ts";
import { conversionTo } from "../units/read-quantity.ts";
import { nameAndUnit } from "./header-cell.ts";
import type { LoadedTable } from "./loaded-table.ts";
import { plainNumber } from "./row.ts";
import { SIZE_LIMITS } from "./size-limits.ts";
import type { CsvRow } from "./stream-csv.ts";

/** A table against time in SI: `time` and what stands beside it. */
export interface TimeTable<Name extends string> {
  readonly times: readonly number[];
  readonly columns: Readonly<Partial<Record<Name, readonly number[]>>>;
}

/** Which columns stand beside `time`, and what each holds. */
export interface ValueColumns<Name extends string> {
  readonly holds: Readonly<Record<Name, Quantity>>;
  /** One of them, or all. */
  readonly wanted: "one" | "all";
}

interface TableReading {
  readonly file: string;
  readonly units: UnitReader;
  readonly faults: Fault[];
}

interface TableColumn {
  readonly name: string;
  readonly shown: string;
  readonly factor: number;
}

/** Reads a table against time: its columns in any order, times from 0 upwards; every fault is collected. */
export function readTable<Name extends string>(
  { file, rows }: LoadedTable,
  columns: ValueColumns<Name>,
  { units, faults }: { readonly units: UnitReader; readonly faults: Fault[] },
): TimeTable<Name> | undefined {
  const reading = { file, units, faults };
  const before = faults.length;
  const [header, ...body] = rows;
  if (header === undefined) faults.push(missing({ file, row: 1, column: "" }, "an empty file", "a header row"));
  if (header === undefined) return undefined;
  const cells = readHeader(reading, header, columns);
  if (faults.length > before) return undefined;
  const numbers = checkedBody(reading, cells, body);
  if (faults.length > before) return undefined;
  const columnOf = (name: string): number[] => {
    const at = cells.findIndex((cell) => cell.name === name);
    return at < 0 ? [] : numbers.map((row) => row[at] ?? 0);
  };
  const values: Partial<Record<Name, readonly number[]>> = {};
  for (const name in columns.holds) if (cells.some((cell) => cell.name === name)) values[name] = columnOf(name);
  return { times: columnOf("time"), columns: values };
}

function readHeader(reading: TableReading, header: CsvRow, columns: ValueColumns<string>): TableColumn[] {
  const read = header.cells.map((cell) => readColumn(reading, { shown: cell.trim(), row: header.row }, columns));
  const names = read.map(({ name }) => name);
  const place = (column: string): CsvPlace => ({ file: reading.file, row: header.row, column });
  const values = Object.keys(columns.holds);
  const twice = read.find(({ name }, k) => names.indexOf(name) !== k);
  const unknown = names.some((name) => name !== "time" && !values.includes(name));
  const given = values.filter((name) => names.includes(name));
  if (twice !== undefined) {
    reading.faults.push(duplicate(place(twice.shown), `column "${twice.name}" a second time`, "each column once"));
  } else if (columns.wanted === "one" && given.length > 1) {
    reading.faults.push(contradiction(place(""), `columns ${given.join(" and ")}`, `one of ${values.join(", ")}`));
  } else if (!unknown) {
    for (const column of lackingColumns(columns, names)) {
      reading.faults.push(missing(place(column), "no such column", `a column ${column} with its unit`));
    }
  }
  return read;
}

function lackingColumns({ holds, wanted }: ValueColumns<string>, names: readonly string[]): string[] {
  const values = Object.keys(holds);
  const lacking = values.filter((name) => !names.includes(name));
  const lackingValues = wanted === "all" ? lacking : lacking.length === values.length ? [values.join(" or ")] : [];
  return names.includes("time") ? lackingValues : ["time", ...lackingValues];
}

function readColumn(
  { file, units, faults }: TableReading,
  { shown, row }: { readonly shown: string; readonly row: number },
  asked: ValueColumns<string>,
): TableColumn {
  const place = { file, row, column: shown };
  const { name, unit } = nameAndUnit(shown);
  const columns: Readonly<Record<string, Quantity>> = { time: "time", ...asked.holds };
  const quantity = Object.hasOwn(columns, name) ? columns[name] : undefined;
  const known = Object.keys(columns);
  if (quantity === undefined) {
    faults.push(unknownName(place, { name, expected: columnList(asked), nearest: nearestName(name, known) }));
    return { name, shown, factor: 1 };
  }
  const { noun, unit: example } = QUANTITIES[quantity];
  const expected = `${noun} with its unit in the header, such as "${name} [${example}]"`;
  if (unit === undefined) faults.push(quantityExpected(place, "no unit", expected));
  if (unit === undefined) return { name, shown, factor: 1 };
  const conversion = conversionTo(units, unit.trim(), { quantity, place, found: `[${unit}]` });
  if (!conversion.ok) faults.push(...conversion.faults.map((fault) => ({ ...fault, expected })));
  return { name, shown, factor: conversion.ok ? conversion.value.factor : 1 };
}

function columnList({ holds, wanted }: ValueColumns<string>): string {
  const values = Object.keys(holds);
  return wanted === "one" && values.length > 1
    ? `time and one of ${values.join(", ")}`
    : ["time", ...values].join(", ");
}

/** The rows in SI, checked as a whole: enough of them, not too many, times from 0 upwards. */
function checkedBody(reading: TableReading, columns: readonly TableColumn[], body: readonly CsvRow[]): number[][] {
  const { file, faults } = reading;
  const end = { file, row: body.at(-1)?.row ?? 1, column: "" };
  if (body.length < 2) faults.push(missing(end, `${body.length} rows below the header`, "at least 2"));
  if (body.length > SIZE_LIMITS.tableRows) {
    faults.push(tooLarge(end, "more rows", `at most ${SIZE_LIMITS.tableRows} below the header`));
    return [];
  }
  const before = faults.length;
  const numbers = body.map((row) => readRow(reading, columns, row));
  if (faults.length === before) checkTimes(reading, columns, { body, numbers });
  return numbers;
}

function readRow({ file, faults }: TableReading, columns: readonly TableColumn[], { row, cells }: CsvRow): number[] {
  if (cells.length !== columns.length) {
    faults.push(
      wrongForm({ file, row, column: "" }, `${cells.length} cells`, `${columns.length} cells, as in the header`),
    );
    return [];
  }
  return columns.map(({ shown, factor }, k) => {
    const text = (cells[k] ?? "").trim();
    const number = plainNumber(text);
    if (number === undefined) {
      faults.push(wrongForm({ file, row, column: shown }, JSON.stringify(text.slice(0, 60)), "a plain number"));
    }
    return (number ?? Number.NaN) * factor;
  });
}

/** The first time is 0, and each later than the one before; only the first slip is told. */
function checkTimes(
  { file, faults }: TableReading,
  columns: readonly TableColumn[],
  { body, numbers }: { readonly body: readonly CsvRow[]; readonly numbers: readonly (readonly number[])[] },
): void {
  const index = columns.findIndex(({ name }) => name === "time");
  const times = numbers.map((row) => row[index] ?? 0);
  const slip = times.findIndex((time, k) => (k === 0 ? time !== 0 : time <= (times[k - 1] ?? 0)));
  if (slip < 0) return;
  const place = { file, row: body[slip]?.row ?? 1, column: columns[index]?.shown ?? "time" };
  const expected = slip === 0 ? "0 in the first row" : "a time later than in the row before";
  faults.push(outOfRange(place, JSON.stringify((body[slip]?.cells[index] ?? "").trim()), expected));
}
