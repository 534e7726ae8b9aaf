import type { CsvPlace, Fault } from "../faults/fault.ts";
import { nearestName } from "../faults/nearest-name.ts";
import { missing, outOfRange, tooLarge, unknownName, wholeCents, wrongForm } from "../faults/wordings.ts";
import type { PriceStep } from "../machine/catalogue.ts";
import type { HeaderCell } from "./read-header.ts";
import { SIZE_LIMITS } from "./size-limits.ts";
import { RANGES } from "./values.ts";

/** One part's row, its cells worked out. Faults of cells are collected while it is made and while it is asked. */
export interface Row {
  readonly file: string;
  /** The header is row 1. */
  readonly row: number;
  /** Bare column name to the header as it stands in the file. */
  readonly headers: ReadonlyMap<string, string>;
  readonly texts: Readonly<Record<string, string>>;
  readonly numbers: ReadonlyMap<string, number>;
  readonly prices: readonly PriceStep[];
  readonly faults: Fault[];
}

const PLAIN_NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;

/** Works out the cells of a row: empty optional cells are unknown, empty required cells are faults. */
export function makeRow(
  at: { readonly file: string; readonly row: number },
  header: readonly HeaderCell[],
  cells: readonly string[],
): Row {
  const faults: Fault[] = [];
  const texts: Record<string, string> = Object.create(null);
  const numbers = new Map<string, number>();
  const prices: PriceStep[] = [];
  for (const [index, head] of header.entries()) {
    const text = (cells[index] ?? "").trim();
    const place = { ...at, column: head.shown };
    if (text.length > SIZE_LIMITS.cellCharacters) {
      faults.push(tooLarge(place, `${text.length} characters`, `at most ${SIZE_LIMITS.cellCharacters} characters`));
    }
    texts[head.name] = text;
    const read = readCell(head, text, place);
    faults.push(...read.faults);
    if (read.value !== undefined && head.priceFrom === undefined) numbers.set(head.name, read.value);
    if (read.value !== undefined && head.priceFrom !== undefined)
      prices.push({ from: head.priceFrom, price: read.value });
  }
  const headers = new Map(header.map(({ name, shown }) => [name, shown]));
  return { ...at, headers, texts, numbers, prices: prices.toSorted((a, b) => a.from - b.from), faults };
}

interface CellRead {
  readonly value?: number;
  readonly faults: readonly Fault[];
}

function readCell(head: HeaderCell, text: string, place: CsvPlace): CellRead {
  const { column, conversion, priceFrom, name } = head;
  if (text === "") {
    const isRequired = column?.isRequired === true || priceFrom === 1;
    return { faults: isRequired ? [missing(place, "an empty cell", `a value: ${name} is needed`)] : [] };
  }
  if (priceFrom !== undefined) return readPrice(text, place);
  if (column === undefined || column.holds === "text") return { faults: [] };
  const number = plainNumber(text);
  if (number === undefined)
    return { faults: [wrongForm(place, JSON.stringify(text), "a plain number or an empty cell")] };
  const { holds, says } = RANGES[column.range];
  const faults = holds(number) ? [] : [outOfRange(place, text, says)];
  return { value: number * conversion.factor + conversion.offset, faults };
}

function readPrice(text: string, place: CsvPlace): CellRead {
  const number = plainNumber(text);
  if (number === undefined) return { faults: [wrongForm(place, JSON.stringify(text), "a price")] };
  const cents = Math.round(number * 100);
  if (number < 0) return { faults: [outOfRange(place, text, "0 or more")] };
  return { value: cents, faults: Math.abs(number * 100 - cents) > 1e-6 ? [wholeCents(place, text)] : [] };
}

/** A number written plainly, or undefined. */
export function plainNumber(text: string): number | undefined {
  if (!PLAIN_NUMBER.test(text)) return undefined;
  const number = Number(text);
  return Number.isFinite(number) ? number : undefined;
}

export function cellPlace(row: Row, column: string): CsvPlace {
  return { file: row.file, row: row.row, column: row.headers.get(column) ?? column };
}

/** A required number; NaN where it is missing, which is already a fault. */
export function numberOf(row: Row, column: string): number {
  return row.numbers.get(column) ?? Number.NaN;
}

export function textOf(row: Row, column: string): string {
  return row.texts[column] ?? "";
}

/** A text, or undefined when the cell is empty. */
export function optionalTextOf(row: Row, column: string): string | undefined {
  const text = textOf(row, column);
  return text === "" ? undefined : text;
}

/** The elements of a cell, separated by semicolons. */
export function listOf(row: Row, column: string): readonly string[] {
  return textOf(row, column)
    .split(";")
    .map((item) => item.trim())
    .filter((item) => item !== "");
}

/** One of a closed list of names; anything else is a fault of the row. */
export function choiceOf<T extends string>(row: Row, column: string, choices: readonly T[]): T | undefined {
  const text = textOf(row, column);
  return text === "" ? undefined : chosen(row, { column, text, choices });
}

export function choicesOf<T extends string>(row: Row, column: string, choices: readonly T[]): readonly T[] {
  return listOf(row, column).flatMap((text) => chosen(row, { column, text, choices }) ?? []);
}

function chosen<T extends string>(
  row: Row,
  says: { readonly column: string; readonly text: string; readonly choices: readonly T[] },
): T | undefined {
  const { column, text, choices } = says;
  const choice = choices.find((name) => name === text);
  if (choice === undefined) {
    const expected = `one of ${choices.join(", ")}`;
    row.faults.push(unknownName(cellPlace(row, column), { name: text, expected, nearest: nearestName(text, choices) }));
  }
  return choice;
}
