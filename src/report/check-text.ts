import { type AnyPart, type Catalogue, PART_KINDS } from "../machine/catalogue.ts";
import type { DefaultUsed, Machine, Mode, Problem } from "../machine/problem.ts";
import type { Caution } from "../machine/result.ts";
import type { Page } from "./axis-text.ts";
import { counted, figure, percent } from "./figures.ts";
import { labelled, printable } from "./layout.ts";
import { cautionLines } from "./notes-text.ts";
import type { TextStyle } from "./text-style.ts";

/** What `check` tells about: an input without faults. */
export interface CheckInput {
  readonly problem: Problem;
  readonly catalogue: Catalogue;
  readonly defaults: readonly DefaultUsed[];
  readonly cautions: readonly Caution[];
}

const COLUMN = 11;
const MOST_DEFAULTS = 24;

/** What was read, which defaults were used and what to watch out for; at most 80 columns, newline at the end. */
export function checkText(input: CheckInput, style: TextStyle): string {
  const { problem } = input;
  const page: Page = { currency: problem.weights.currency, total: 0, column: COLUMN, style };
  const blocks = [
    labelled("READ", `${printable(problem.title)}: no faults.`, COLUMN).map(style.good),
    block("MACHINES", problem.machines.map(machineWords)),
    block("PARTS", makerWords(input.catalogue)),
    block("DEFAULTS", defaultWords(input.defaults)),
    cautionLines(input.cautions, page),
  ];
  const shown = blocks.filter((lines) => lines.length > 0);
  return `${shown.map((lines) => lines.join("\n")).join("\n\n")}\n`;
}

function machineWords({ id, quantity, axes, buses, cycle, modes }: Machine): string {
  const names = axes.map((axis) => `${printable(axis.id)} (${axis.mechanism.kind})`).join(", ");
  const size = `${counted(axes.length, "axis", "axes")} on ${counted(buses.length, "bus", "buses")}`;
  const other = modes.length === 0 ? "" : ` Modes: ${modes.map(modeWords).join(", ")}.`;
  return `${figure(quantity)} x ${printable(id)}, cycle ${figure(cycle, 4)} s, ${size}: ${names}.${other}`;
}

function modeWords({ id, share, cycle }: Mode): string {
  return `${printable(id)} (${percent(share)} of the time, cycle ${figure(cycle, 4)} s)`;
}

function makerWords(catalogue: Catalogue): string[] {
  const lists: readonly (readonly AnyPart[])[] = Object.values(catalogue);
  const parts = lists.flat();
  const makers = [...new Set(parts.map(({ maker }) => maker))];
  return makers.map((maker) => {
    const kinds = PART_KINDS.map((kind) => ({
      kind,
      count: parts.filter((part) => part.kind === kind && part.maker === maker).length,
    }));
    const words = kinds.filter(({ count }) => count > 0).map(({ kind, count }) => counted(count, kind, PLURALS[kind]));
    return `${printable(maker)}: ${words.join(", ")}.`;
  });
}

const PLURALS: Readonly<Record<(typeof PART_KINDS)[number], string>> = {
  motor: "motors",
  gearbox: "gearboxes",
  drive: "drives",
  supply: "supplies",
  resistor: "resistors",
  inductor: "inductors",
};

// The same member left out on many axes is one line: what matters is the value it took.
function defaultWords(defaults: readonly DefaultUsed[]): string[] {
  const counts = new Map<string, number>();
  for (const { at, value, count } of defaults) {
    const words = `${printable(at.replaceAll(/\/\d+(?=\/)/g, "/*"))}: ${printable(value)}`;
    counts.set(words, (counts.get(words) ?? 0) + count);
  }
  const all = [...counts].map(([words, count]) => (count === 1 ? words : `${words} (${figure(count)} times)`));
  const more = all.length - MOST_DEFAULTS;
  return more > 0 ? [...all.slice(0, MOST_DEFAULTS), `and ${figure(more)} more, listed in the result document.`] : all;
}

function block(label: string, items: readonly string[]): string[] {
  return items.flatMap((item, index) => labelled(index === 0 ? label : "", item, { first: COLUMN, rest: COLUMN + 2 }));
}
