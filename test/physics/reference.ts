import { readFileSync } from "node:fs";

const FOLDER = new URL("../../shared/reference/physics/", import.meta.url);

/** Cells of a CSV line; a quoted cell may hold commas. */
function cells(line: string): string[] {
  return [...line.matchAll(/(?:^|,)(?:"([^"]*)"|([^,]*))/gu)].map((match) => match[1] ?? match[2] ?? "");
}

/** Rows of a reference table by column name. */
export function referenceRows(name: string): Record<string, string>[] {
  const [head = "", ...lines] = readFileSync(new URL(`${name}.csv`, FOLDER), "utf8")
    .trim()
    .split(/\r?\n/u);
  const columns = cells(head);
  return lines.map((line) => Object.fromEntries(cells(line).map((cell, k) => [columns[k] ?? "", cell])));
}

/** The one derived value of a case with this output; where several share it, with such a beginning of case and inputs. */
export function derived(id: string, output: string, beginning = ""): number {
  const found = referenceRows("derived_cases").filter(
    (row) => row["id"] === id && row["output"] === output && `${row["case"]};${row["inputs"]}`.startsWith(beginning),
  );
  if (found.length !== 1) throw new Error(`${found.length} derived values of ${id} are called ${output}`);
  return Number(found[0]?.["value"]);
}

/** A worked example's answers, printed and worked out again, and where it stands. */
export function example(id: string): { printed: string; recomputed: number[]; source: string } {
  const row = referenceRows("worked_examples").find((entry) => entry["id"] === id);
  if (row === undefined) throw new Error(`no worked example ${id}`);
  return {
    printed: row["printed_answer"] ?? "",
    recomputed: (row["recomputed"] ?? "").split(";").map(Number.parseFloat),
    source: `${row["source"]} (${STATUS[row["read_or_recalled"] ?? ""] ?? row["read_or_recalled"]})`,
  };
}

const STATUS: Readonly<Record<string, string>> = {
  READ: "read",
  RECALLED: "from memory",
  "data and method READ; answer recomputed": "data and method read, answer worked out again",
};

/** Half a unit of the last digit of a value printed with so many significant digits. */
export function halfDigit(value: number, digits: number): number {
  return 0.5 * 10 ** (Math.floor(Math.log10(Math.abs(value))) - digits + 1);
}
