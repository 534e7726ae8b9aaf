import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { parseString } from "fast-csv";

/** The catalogue folders as they lie in the repository. */
export const CATALOGS = join(import.meta.dirname, "../../catalogs");
export const MAKERS = ["dunmarrow", "plimwickel", "zefferlode"] as const;
export const KINDS = ["motors", "gearboxes", "drives", "supplies", "resistors", "inductors"] as const;
export type Kind = (typeof KINDS)[number];

/** One row, by our bare column names: every cell as text, and as an SI number where it is one. */
export interface Part {
  readonly kind: Kind;
  readonly maker: string;
  readonly texts: Readonly<Record<string, string>>;
  readonly numbers: Readonly<Record<string, number>>;
}

/** One of each unit in SI; EUR, day and degC stay. Sources: NIST SP 811 (2008), appendix B.8, to its seven digits; SI prefixes. */
const IN_SI: Readonly<Record<string, number>> = {
  N: 1,
  "N*m": 1,
  "N*m/A": 1,
  "lbf*in": 0.1129848,
  "ozf*in": 0.007061552,
  "kg*m^2": 1,
  "kg*cm^2": 1e-4,
  "oz*in*s^2": 0.007061552,
  rpm: 0.1047198,
  "V/krpm": 1 / 104.7198,
  arcmin: 2.908882e-4,
  "N*m/arcmin": 1 / 2.908882e-4,
  mm: 1e-3,
  mH: 1e-3,
  uF: 1e-6,
  kHz: 1e3,
  Hz: 1,
  A: 1,
  V: 1,
  W: 1,
  "W/A": 1,
  J: 1,
  ohm: 1,
  s: 1,
  ms: 1e-3,
  kg: 1,
  degC: 1,
  EUR: 1,
  day: 1,
};

/** `name [unit]` taken apart; an unknown unit stops the test. */
export function columnOf(header: string): { readonly name: string; readonly factor: number } {
  const [, name = "", unit] = /^(\w+)(?: \[(.+)\])?$/.exec(header) ?? [];
  const factor = unit === undefined ? 1 : IN_SI[unit];
  if (name === "" || factor === undefined) throw new Error(`header "${header}" is not "name [unit]"`);
  return { name, factor };
}

export interface CatalogJson {
  readonly maker: string;
  readonly currency: string;
  readonly date: string;
  readonly note: string;
  readonly columns?: Readonly<Record<string, Readonly<Record<string, string>>>>;
}

export function catalogJson(maker: string): CatalogJson {
  return JSON.parse(readFileSync(join(CATALOGS, maker, "catalog.json"), "utf8")) as CatalogJson;
}

/** Rows of a CSV text as lists of cells, the header first. */
export function cellsOf(text: string): Promise<string[][]> {
  return new Promise((done, failed) => {
    const rows: string[][] = [];
    parseString<string[], string[]>(text, { headers: false })
      .on("data", (row: string[]) => rows.push(row))
      .on("error", failed)
      .on("end", () => done(rows));
  });
}

/** Headers of a sheet in our words, after the maker's mapping. */
export function ourHeaders(maker: string, kind: Kind, headers: readonly string[]): string[] {
  const mapping = catalogJson(maker).columns?.[kind] ?? {};
  return headers.map((header) => mapping[header] ?? header);
}

function partOf(kind: Kind, maker: string, headers: readonly string[], cells: readonly string[]): Part {
  const filled = headers.map((header, index) => ({ ...columnOf(header), text: cells[index] ?? "" }));
  const numeric = filled.filter(({ text }) => text !== "" && Number.isFinite(Number(text)));
  return {
    kind,
    maker,
    texts: Object.fromEntries(filled.map(({ name, text }) => [name, text])),
    numbers: Object.fromEntries(numeric.map(({ name, text, factor }) => [name, Number(text) * factor])),
  };
}

/** Parts of a sheet, given as text with our own headers or ones that are to be put into our words. */
export async function partsOf(
  kind: Kind,
  maker: string,
  text: string,
  inOurWords: (headers: readonly string[]) => readonly string[] = (headers) => headers,
): Promise<Part[]> {
  const [headers = [], ...rows] = await cellsOf(text);
  const ours = inOurWords(headers);
  return rows.map((cells) => partOf(kind, maker, ours, cells));
}

async function sheetParts(maker: string, kind: Kind): Promise<Part[]> {
  const text = readFileSync(join(CATALOGS, maker, `${kind}.csv`), "utf8");
  return partsOf(kind, maker, text, (headers) => ourHeaders(maker, kind, headers));
}

/** Every part of every maker. */
export async function allParts(): Promise<Part[]> {
  const sheets = MAKERS.flatMap((maker) =>
    readdirSync(join(CATALOGS, maker))
      .filter((file) => file.endsWith(".csv"))
      .map((file) => sheetParts(maker, file.replace(".csv", "") as Kind)),
  );
  return (await Promise.all(sheets)).flat();
}

/** A number that the relation cannot do without. */
export function numberOf(part: Part, column: string): number {
  const value = part.numbers[column];
  if (value === undefined) throw new Error(`${part.texts["part"]} has no ${column}`);
  return value;
}
