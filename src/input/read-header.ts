import type { Place } from "../faults/fault.ts";
import { nearestName } from "../faults/nearest-name.ts";
import { duplicate, missing, noSuchUnit, quantityExpected, unknownName } from "../faults/wordings.ts";
import type { PartKind } from "../machine/catalogue.ts";
import { QUANTITIES } from "../units/quantity.ts";
import { type Conversion, conversionTo } from "../units/read-quantity.ts";
import { CATALOGUE_COLUMNS, type Column } from "./catalogue-columns.ts";
import type { CatalogueReading } from "./catalogue-reading.ts";
import { nameAndUnit } from "./header-cell.ts";

/** One column as the file has it. */
export interface HeaderCell {
  /** Bare name, unit cut off. */
  readonly name: string;
  /** As it stands in the file, for faults. */
  readonly shown: string;
  /** The documented column of that name; absent: kept as text, or a price. */
  readonly column?: Column;
  readonly conversion: Conversion;
  /** The price holds from this total quantity on; absent: no price. */
  readonly priceFrom?: number;
}

/** Where a table comes from and what is known of it. */
export interface TableSource {
  readonly kind: PartKind;
  readonly file: string;
  readonly currency: string;
  /** Their header to our column with its unit. */
  readonly mapping: Readonly<Record<string, unknown>>;
}

const PRICE = /^price(?:_([1-9]\d*))?$/;
const AS_WRITTEN: Conversion = { factor: 1, offset: 0 };

/** Reads the header row: names, units, price steps. Missing required columns are faults. */
export function readHeader(
  reading: CatalogueReading,
  source: TableSource,
  cells: readonly string[],
): readonly HeaderCell[] {
  const header = cells.map((cell) => readHeaderCell(reading, source, cell.trim()));
  reportMissing(reading, source, header);
  reportDuplicates(reading, source, header);
  reportNearMisses(reading, source, header);
  return header;
}

function readHeaderCell(reading: CatalogueReading, source: TableSource, shown: string): HeaderCell {
  const mapped = Object.hasOwn(source.mapping, shown) ? source.mapping[shown] : shown;
  const text = typeof mapped === "string" ? mapped : shown;
  const { name, unit } = nameAndUnit(text);
  const place: Place = { file: source.file, row: 1, column: shown };
  const price = PRICE.exec(name);
  if (price !== null) return readPriceHeader(reading, { source, name, shown, unit, from: Number(price[1] ?? 1) });
  const columns = CATALOGUE_COLUMNS[source.kind];
  const column = Object.hasOwn(columns, name) ? columns[name] : undefined;
  if (column === undefined) return { name, shown, conversion: AS_WRITTEN };
  return { name, shown, column, conversion: conversionOf(reading, { column, name, unit, place }) };
}

function conversionOf(
  reading: CatalogueReading,
  says: { readonly column: Column; readonly name: string; readonly unit: string | undefined; readonly place: Place },
): Conversion {
  const { column, name, unit, place } = says;
  const found = unit === undefined ? "no unit" : `[${unit}]`;
  if (column.holds === "text" || column.holds === "number") {
    if (unit === "%" && column.holds === "number") return { factor: 0.01, offset: 0 };
    if (unit !== undefined)
      reading.faults.push(noSuchUnit(place, { found, unit, expected: `"${name}" without a unit` }));
    return AS_WRITTEN;
  }
  const expected = `${QUANTITIES[column.holds].noun} with its unit in the header, such as "${name} [${QUANTITIES[column.holds].unit}]"`;
  if (unit === undefined) {
    reading.faults.push(quantityExpected(place, found, expected));
    return AS_WRITTEN;
  }
  const conversion = conversionTo(reading.units, unit.trim(), { quantity: column.holds, place, found });
  if (conversion.ok) return conversion.value;
  reading.faults.push(...conversion.faults.map((fault) => ({ ...fault, expected })));
  return AS_WRITTEN;
}

function readPriceHeader(
  reading: CatalogueReading,
  says: {
    readonly source: TableSource;
    readonly name: string;
    readonly shown: string;
    readonly unit: string | undefined;
    readonly from: number;
  },
): HeaderCell {
  const { source, name, shown, unit, from } = says;
  const place: Place = { file: source.file, row: 1, column: shown };
  if (unit?.trim() !== source.currency) {
    const found = unit === undefined ? "no currency" : `[${unit}]`;
    reading.faults.push(quantityExpected(place, found, `the currency of catalog.json, "${name} [${source.currency}]"`));
  }
  if (from < 2 && name !== "price") {
    reading.faults.push(
      unknownName(place, { name, expected: "a step of 2 or more, such as price_10", nearest: "price" }),
    );
  }
  return { name, shown, conversion: AS_WRITTEN, priceFrom: from };
}

function reportMissing(reading: CatalogueReading, source: TableSource, header: readonly HeaderCell[]): void {
  const names = new Set(header.map(({ name }) => name));
  const required = Object.entries(CATALOGUE_COLUMNS[source.kind]).filter(([, { isRequired }]) => isRequired);
  for (const name of [...required.map(([key]) => key), "price"].filter((key) => !names.has(key))) {
    const given = header.map((cell) => cell.name);
    const fault = missing({ file: source.file, row: 1, column: name }, "no such column", `a column "${name}"`);
    const nearest = nearestName(name, given);
    reading.faults.push(nearest === undefined ? fault : { ...fault, nearest });
  }
}

function reportDuplicates(reading: CatalogueReading, source: TableSource, header: readonly HeaderCell[]): void {
  const seen = new Set<string>();
  for (const { name, shown } of header) {
    const place: Place = { file: source.file, row: 1, column: shown };
    if (seen.has(name)) reading.faults.push(duplicate(place, `column "${name}" a second time`, "each column once"));
    seen.add(name);
  }
}

/** An unknown column is kept as text; when it looks like an optional one misspelt, a caution says so. */
function reportNearMisses(reading: CatalogueReading, source: TableSource, header: readonly HeaderCell[]): void {
  const names = new Set(header.map(({ name }) => name));
  const absent = Object.entries(CATALOGUE_COLUMNS[source.kind]).filter(
    ([name, c]) => !c.isRequired && !names.has(name),
  );
  for (const { name, column, priceFrom } of header) {
    if (column !== undefined || priceFrom !== undefined) continue;
    const nearest = nearestName(
      name,
      absent.map(([key]) => key),
    );
    if (nearest === undefined) continue;
    const text = `Column "${name}" of ${source.file} is kept as text only; was "${nearest}" meant?`;
    reading.cautions.push({ code: "column-name", at: source.file, text });
  }
}
