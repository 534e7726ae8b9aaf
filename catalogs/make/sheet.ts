/** What a cell holds before it is written; undefined is written as an empty cell. */
type Cell = number | string | undefined;

/** A part by bare column name, each number in the first unit listed for that column in the interface (N*m, kg*m^2, …). */
export type Row = Readonly<Record<string, Cell>>;

/** How one column of a maker's sheet is written. */
export interface Column {
  readonly name: string;
  readonly unit?: string;
  /** One of the maker's own unit equals this many of the row's unit. */
  readonly factor?: number;
  /** Significant digits; default 4. */
  readonly digits?: number;
  /** Written with two decimals. */
  readonly money?: boolean;
  /** The maker's own header, mapped to ours in catalog.json. */
  readonly header?: string;
}

/** Our header of a column, `name [unit]`. */
function ourHeader({ name, unit }: Column): string {
  return unit === undefined ? name : `${name} [${unit}]`;
}

/** A number with so many significant digits. */
export function rounded(value: number, digits: number): number {
  return Number(value.toPrecision(digits));
}

function cellText(cell: Cell, { factor = 1, digits = 4, money = false }: Column): string {
  if (cell === undefined) return "";
  if (typeof cell === "string") return cell;
  if (money) return cell.toFixed(2);
  return String(Number.isInteger(cell) && factor === 1 ? cell : rounded(cell / factor, digits));
}

/** Rows as CSV text with a header line. Cells and headers hold no commas, quotes or line breaks. */
export function csvText(columns: readonly Column[], rows: readonly Row[]): string {
  const header = columns.map((column) => column.header ?? ourHeader(column));
  const lines = rows.map((row) => columns.map((column) => cellText(row[column.name], column)));
  return [header, ...lines].map((cells) => `${cells.join(",")}\n`).join("");
}

/** The mapping of a maker's own headers to ours, for catalog.json. */
export function headerMap(columns: readonly Column[]): Record<string, string> {
  return Object.fromEntries(
    columns.flatMap((column) => (column.header === undefined ? [] : [[column.header, ourHeader(column)]])),
  );
}
