import type { MachineResult, ResultDocument } from "../machine/result.ts";
import type { Page } from "./axis-text.ts";
import { axisLines } from "./axis-text.ts";
import { busLines } from "./bus-text.ts";
import { amountText, figure, money } from "./figures.ts";
import { noOrderLines } from "./infeasible-text.ts";
import { columnsOf, emphasise, labelled, printable, withRight } from "./layout.ts";
import { capLines, cautionLines, defaultLines, setLines, unknownLines } from "./notes-text.ts";
import { buyLines, orderLines } from "./order-text.ts";
import type { TextStyle } from "./text-style.ts";

/** The result as a page for a terminal: from the answer to its reasons, at most 80 columns, newline at the end. */
export function solveText(doc: ResultDocument, style: TextStyle): string {
  const page = pageOf(doc, style);
  const blocks = doc.objective === null ? [noOrderLines(doc, page)] : answerBlocks(doc, page);
  const notes = [
    capLines(doc, page),
    setLines(doc, page),
    unknownLines(doc, page),
    defaultLines(doc, page),
    cautionLines(doc.cautions, page),
  ];
  const shown = [...blocks, ...notes].filter((lines) => lines.length > 0);
  return `${shown.map((lines) => lines.join("\n")).join("\n\n")}\n`;
}

function answerBlocks(doc: ResultDocument, page: Page): string[][] {
  const machines = doc.machines.flatMap((machine) => [
    machineLines(machine, page),
    ...machine.axes.map((axis) => axisLines(axis, machine, page)),
    ...machine.buses.map((bus) => busLines(bus, machine, page)),
  ]);
  return [orderLines(doc, page), buyLines(doc, page), ...machines];
}

function machineLines({ id, quantity, totals }: MachineResult, { column, currency, style }: Page): string[] {
  const facts = [
    `mass ${amountText({ value: totals.mass, unit: "kg" })}`,
    `cabinet width ${amountText({ value: totals.cabinet_width, unit: "m" })}`,
    ...(totals.energy > 0 ? [`${figure(totals.energy)} kWh a year`] : []),
  ];
  const body = `${printable(id)}, ${figure(quantity)} to build: ${facts.join(", ")}`;
  const lines = withRight(labelled("MACHINE", body, column), `${currency} ${money(totals.price)} each`);
  return emphasise(lines, "MACHINE", style.strong);
}

// The left margin fits the longest axis name, within reason.
function pageOf(doc: ResultDocument, style: TextStyle): Page {
  const names = doc.machines.flatMap(({ axes }) => axes.map(({ id }) => columnsOf(printable(id))));
  const column = Math.min(18, Math.max(11, ...names.map((width) => width + 2)));
  return { currency: printable(doc.currency), total: doc.objective?.total ?? 0, column, style };
}
