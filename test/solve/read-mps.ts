import { readFileSync } from "node:fs";
import type { LinearModel, LinearRow, LinearVariable } from "../../src/model/linear.ts";

const origin = { kind: "test", id: "mps" } as const;

/** Reads the part of the fixed MPS format that the copied instances use: one bound per line, no ranges. */
export function readMps(name: string): LinearModel {
  const text = readFileSync(new URL(`../../shared/reference/mps/${name}.mps`, import.meta.url), "utf8");
  const kinds = new Map<string, string>();
  const entries = new Map<string, Map<string, number>>();
  const right = new Map<string, number>();
  const bounds = new Map<string, { lower: number; upper: number }>();
  const integers = new Set<string>();
  let section = "";
  let isInteger = false;
  for (const line of text.split("\n")) {
    if (line.trim() === "" || line.startsWith("*")) continue;
    const words = line.trim().split(/\s+/u);
    const [first = "", second = "", third = "", fourth] = words;
    if (!line.startsWith(" ")) section = first;
    else if (section === "ROWS") kinds.set(second, first);
    else if (section === "COLUMNS" && second === "'MARKER'") isInteger = third === "'INTORG'";
    else if (section === "COLUMNS") {
      if (isInteger) integers.add(first);
      const column = entries.get(first) ?? new Map<string, number>();
      for (let at = 1; at < words.length; at += 2) column.set(words[at] ?? "", Number(words[at + 1]));
      entries.set(first, column);
    } else if (section === "RHS") {
      const start = words.length % 2 === 1 ? 1 : 0;
      for (let at = start; at < words.length; at += 2) right.set(words[at] ?? "", Number(words[at + 1]));
    } else if (section === "BOUNDS") {
      const [variable, value] =
        fourth === undefined && first !== "FR" && first !== "MI" && first !== "BV"
          ? [second, Number(third)]
          : [third, Number(fourth)];
      const bound = bounds.get(variable) ?? { lower: 0, upper: Infinity };
      if (first === "UP") bound.upper = value;
      else if (first === "LO") bound.lower = value;
      else if (first === "FX") Object.assign(bound, { lower: value, upper: value });
      else if (first === "BV") Object.assign(bound, { lower: 0, upper: 1 });
      else if (first === "FR") Object.assign(bound, { lower: -Infinity, upper: Infinity });
      else throw new Error(`bound ${first} is not read`);
      bounds.set(variable, bound);
    } else if (section === "RANGES") throw new Error("ranges are not read");
  }
  const objective = [...kinds].find(([, kind]) => kind === "N")?.[0] ?? "";
  const names = [...entries.keys()];
  const variables = names.map(
    (variable): LinearVariable => ({
      name: variable,
      origin,
      cost: entries.get(variable)?.get(objective) ?? 0,
      lower: bounds.get(variable)?.lower ?? 0,
      upper: bounds.get(variable)?.upper ?? (integers.has(variable) ? 1 : Infinity),
      isInteger: integers.has(variable),
    }),
  );
  const rows = [...kinds]
    .filter(([, kind]) => kind !== "N")
    .map(([row, kind]): LinearRow => {
      const used = names.flatMap((variable, at) => (entries.get(variable)?.has(row) === true ? [at] : []));
      const value = right.get(row) ?? 0;
      return {
        name: row,
        origin,
        variables: used,
        factors: used.map((at) => entries.get(names[at] ?? "")?.get(row) ?? 0),
        lower: kind === "L" ? -Infinity : value,
        upper: kind === "G" ? Infinity : value,
      };
    });
  return { variables, rows };
}
