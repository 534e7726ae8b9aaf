import { cp, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";

const CATALOGS = join(import.meta.dirname, "../../catalogs");

const INCH = 0.0254;
const POUND = 0.45359237;
const POUND_FORCE = POUND * 9.80665;

/** The unit that another is rewritten in, and how its numbers are. */
interface Other {
  readonly unit: string;
  readonly convert: (value: number) => number;
}

/** Pairs of units, metric first. Source: exact definitions in NIST SP 811 (2008), appendix B. */
const PAIRS: readonly (readonly [metric: string, imperial: string, metricPerImperial: number])[] = [
  ["mm", "in", 25.4],
  ["m", "ft", 0.3048],
  ["kg", "lb", POUND],
  ["N", "lbf", POUND_FORCE],
  ["N*m", "lbf*in", POUND_FORCE * INCH],
  ["N*m/A", "ozf*in/A", (POUND_FORCE * INCH) / 16],
  ["kg*m^2", "oz*in*s^2", (POUND_FORCE * INCH) / 16],
  ["kg*cm^2", "lb*in^2", POUND * 2.54 ** 2],
  ["kg*m", "lb*in", POUND * INCH],
  ["W", "hp", 550 * 0.3048 * POUND_FORCE],
  ["J", "ft*lbf", 0.3048 * POUND_FORCE],
  ["rad/s", "rpm", (2 * Math.PI) / 60],
  ["rad", "deg", Math.PI / 180],
  ["min", "s", 1 / 60],
];

const OTHER: ReadonlyMap<string, Other> = new Map(
  PAIRS.flatMap(([metric, imperial, size]): [string, Other][] => [
    [metric, { unit: imperial, convert: (value) => value / size }],
    [imperial, { unit: metric, convert: (value) => value * size }],
  ]),
);

const QUANTITY = /^(-?[\d.]+) (\S+)$/;

/** "12 kg" as "26.45… lb"; what has no other unit stays. */
function rewritten(text: string): string {
  const [, number, unit] = QUANTITY.exec(text) ?? [];
  if (number === undefined || unit === undefined) return text;
  if (unit === "degC") return `${1.8 * Number(number) + 32} degF`;
  if (unit === "degF") return `${(Number(number) - 32) / 1.8} degC`;
  const other = OTHER.get(unit);
  return other === undefined ? text : `${other.convert(Number(number))} ${other.unit}`;
}

/** A document with every text rewritten that has another unit. */
export function inOtherUnits(value: unknown): unknown {
  if (typeof value === "string") return rewritten(value);
  if (Array.isArray(value)) return value.map(inOtherUnits);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, inOtherUnits(each)]));
}

/** A catalogue file with every column in its other unit, cell by cell. */
function sheetInOtherUnits(text: string): string {
  const [head = "", ...lines] = text.trimEnd().split("\n");
  const columns = head.split(",").map((header) => {
    const [, name, unit = ""] = /^(.*) \[(.*)\]$/.exec(header) ?? [];
    const other = OTHER.get(unit);
    return name === undefined || other === undefined
      ? { header, convert: undefined }
      : { header: `${name} [${other.unit}]`, convert: other.convert };
  });
  const row = (line: string): string =>
    line
      .split(",")
      .map((cell, k) => {
        const convert = columns[k]?.convert;
        return cell === "" || convert === undefined ? cell : String(convert(Number(cell)));
      })
      .join(",");
  return `${[columns.map(({ header }) => header).join(","), ...lines.map(row)].join("\n")}\n`;
}

/** Runs something on a problem file beside its own copies of two makers' catalogues, in other units if asked. */
export async function withCatalogues<T>(
  problem: unknown,
  other: boolean,
  use: (path: string) => Promise<T>,
): Promise<T> {
  const folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  try {
    for (const maker of ["dunmarrow", "plimwickel"]) {
      await cp(join(CATALOGS, maker), join(folder, maker), { recursive: true });
      const sheets = (await readdir(join(folder, maker))).filter((name) => name.endsWith(".csv"));
      for (const name of other ? sheets : []) {
        const path = join(folder, maker, name);
        await writeFile(path, sheetInOtherUnits(await readFile(path, "utf8")));
      }
    }
    const path = join(folder, "problem.json");
    const text = JSON.stringify(other ? inOtherUnits(problem) : problem);
    await writeFile(path, text.replaceAll("../catalogs/", ""));
    return await use(path);
  } finally {
    await rm(folder, { recursive: true });
  }
}
