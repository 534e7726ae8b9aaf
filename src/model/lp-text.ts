import type { LinearModel, LinearRow, LinearVariable } from "./linear.ts";
import type { Origin } from "./selection.ts";

/** Longest line of the text; readers of the format need not take more than 255 characters. */
const LINE_LENGTH = 200;

/** A linear model in LP format, a text format most solvers read, each row under a comment that says why it exists. */
export function lpText(model: LinearModel): string {
  const names = model.variables.map(({ name }) => name);
  const integers = model.variables.filter(({ isInteger }) => isInteger).map(({ name }) => name);
  const costs = { variables: names.map((_, at) => at), factors: model.variables.map(({ cost }) => cost) };
  const lines = [
    "Minimize",
    ...wrapped(` cost: ${sumText(costs, names)}`),
    "Subject To",
    ...model.rows.flatMap((row) => rowLines(row, names)),
    "Bounds",
    ...model.variables.map(boundLine),
    ...(integers.length > 0 ? ["General", ...wrapped(` ${integers.join(" ")}`)] : []),
    "End",
  ];
  return `${lines.join("\n")}\n`;
}

function rowLines(row: LinearRow, names: readonly string[]): string[] {
  const sum = sumText(row, names);
  const comment = `\\ ${row.name}: ${originText(row.origin)}`;
  if (row.lower === row.upper) return [comment, ...wrapped(` ${row.name}: ${sum} = ${row.upper}`)];
  const lines = [comment];
  if (row.upper < Infinity) lines.push(...wrapped(` ${row.name}: ${sum} <= ${row.upper}`));
  // A row bounded on both sides becomes two: the range notation differs between readers.
  if (row.lower > -Infinity) lines.push(...wrapped(` ${row.name}_low: ${sum} >= ${row.lower}`));
  return lines;
}

function sumText({ variables, factors }: Pick<LinearRow, "variables" | "factors">, names: readonly string[]): string {
  const terms = variables.flatMap((variable, at) => {
    const factor = factors[at]!;
    return factor === 0 ? [] : [`${factor < 0 ? "-" : "+"} ${Math.abs(factor)} ${names[variable]!}`];
  });
  return terms.length > 0 ? terms.join(" ") : `0 ${names[0] ?? "x"}`;
}

function boundLine({ name, lower, upper }: LinearVariable): string {
  const low = lower === -Infinity ? "-inf" : String(lower);
  const high = upper === Infinity ? "+inf" : String(upper);
  return ` ${low} <= ${name} <= ${high}`;
}

function originText(origin: Origin): string {
  return Object.values(origin).flat().join(" ").replaceAll(/\s+/gu, " ");
}

function wrapped(line: string): string[] {
  const lines: string[] = [];
  let current = "";
  for (const word of line.split(" ").slice(1)) {
    if (current.length + word.length + 1 > LINE_LENGTH) {
      lines.push(current);
      current = "";
    }
    current += ` ${word}`;
  }
  return [...lines, current];
}
