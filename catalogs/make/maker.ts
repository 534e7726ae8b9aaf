import { type Column, csvText, headerMap, type Row } from "./sheet.ts";

type FileKind = "motors" | "gearboxes" | "drives" | "supplies" | "resistors" | "inductors";

/** One CSV file of a maker. */
export interface Sheet {
  readonly kind: FileKind;
  readonly columns: readonly Column[];
  readonly rows: readonly Row[];
}

/** An invented maker and everything it sells. */
export interface Maker {
  readonly slug: string;
  readonly name: string;
  readonly sheets: readonly Sheet[];
}

function catalogJson({ name, sheets }: Maker): string {
  const mapped = sheets
    .map(({ kind, columns }) => [kind, headerMap(columns)] as const)
    .filter(([, headers]) => Object.keys(headers).length > 0);
  const catalog = {
    maker: name,
    currency: "EUR",
    date: "2026-11-02",
    note: "invented maker, parts, figures and prices, for demonstration",
    ...(mapped.length === 0 ? {} : { columns: Object.fromEntries(mapped) }),
  };
  return `${JSON.stringify(catalog, null, 2)}\n`;
}

/** Path below catalogs/ and text of every file of a maker. */
export function makerFiles(maker: Maker): (readonly [string, string])[] {
  const sheets = maker.sheets.map(
    ({ kind, columns, rows }) => [`${maker.slug}/${kind}.csv`, csvText(columns, rows)] as const,
  );
  return [[`${maker.slug}/catalog.json`, catalogJson(maker)], ...sheets];
}
