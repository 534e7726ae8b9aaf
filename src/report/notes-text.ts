import type { AxisResult, BusResult, Caution, LimitResult, MachineResult, ResultDocument } from "../machine/result.ts";
import type { Page } from "./axis-text.ts";
import { figure, figureDown } from "./figures.ts";
import { limitNumbers, limitStepWords } from "./held-text.ts";
import { emphasise, labelled, listed, printable, TIE } from "./layout.ts";
import { LIMIT_WORDS } from "./limit-words.ts";

/** Caps and other limits of the whole order or of a machine that cost money, each with its next step. */
export function capLines(doc: ResultDocument, page: Page): string[] {
  const ofMachines = doc.machines.flatMap(({ id, limits }) =>
    limits.map((limit) => ({ where: `${printable(id)}: `, limit })),
  );
  const all = [...doc.limits.map((limit) => ({ where: "", limit })), ...ofMachines];
  const dear = all.filter(({ limit }) => (limit.price ?? 0) >= 0.005);
  return block(
    "CAPS",
    dear.map(({ where, limit }) => where + capWords(limit, page)),
    page,
    "plain",
  );
}

/** The highest drive current to set for every axis. */
export function setLines(doc: ResultDocument, page: Page): string[] {
  const many = doc.machines.length > 1;
  const items = doc.machines
    .filter(({ axes }) => axes.length > 0)
    .map(({ id, axes }) => {
      const currents = axes.map((axis) => `${printable(axis.id)} ${figureDown(axis.settings.current_limit)}${TIE}A`);
      return `${many ? `${printable(id)}: ` : ""}${currents.join(", ")}`;
    });
  if (items.length === 0) return [];
  return block(
    "SET",
    ["Highest drive current (rms), so that no stop overloads motor or gearbox:", ...items],
    page,
    "plain",
  );
}

/** What was not checked, and for want of which catalogue value. */
export function unknownLines(doc: ResultDocument, page: Page): string[] {
  const told = new Set(doc.unknowns.flatMap(({ limits }) => limits));
  const byPart = doc.unknowns.map(({ part, maker, missing, limits, used_by }) => {
    const users = used_by.length === 0 ? "" : `, on ${used_by.map(printable).join(", ")}`;
    const names = listed(limits.map((id) => LIMIT_WORDS[id]));
    return `${printable(part)} (${printable(maker)})${users}: no ${columnWords(missing)} in the catalogue; ${names} not checked.`;
  });
  // A limit that no unknown part accounts for must not go unsaid.
  const byPlace = placesOf(doc.machines).flatMap(({ id, not_checked }) =>
    not_checked
      .filter((unchecked) => !told.has(unchecked.id))
      .map(
        (unchecked) =>
          `${printable(id)}: ${LIMIT_WORDS[unchecked.id]} not checked; no ${columnWords(unchecked.missing)} given.`,
      ),
  );
  return block("UNKNOWN", [...byPart, ...byPlace], page, "warn");
}

/** How much of the input was filled in. */
export function defaultLines(doc: ResultDocument, page: Page): string[] {
  const count = doc.defaults.reduce((sum, each) => sum + each.count, 0);
  if (count === 0) return [];
  const words = `${figure(count)} values were not given and took their defaults; the result document lists each of them.`;
  return block("DEFAULTS", [words], page, "plain");
}

/** The cautions, equal ones together, each with the axes, buses or parts it applies to. */
export function cautionLines(cautions: readonly Caution[], page: Page): string[] {
  const places = new Map<string, string[]>();
  for (const { at, text } of cautions) places.set(text, [...(places.get(text) ?? []), at]);
  const items = [...places].map(([text, at]) => `${at.map(printable).join(", ")}: ${printable(text)}`);
  return block("TAKE CARE", items, page, "warn");
}

function capWords(limit: LimitResult, { total, currency }: Page): string {
  return `${LIMIT_WORDS[limit.id]} ${limitNumbers(limit)} allowed. ${limitStepWords(limit, total, currency)}`;
}

function placesOf(machines: readonly MachineResult[]): (AxisResult | BusResult)[] {
  return machines.flatMap(({ axes, buses }) => [...axes, ...buses]);
}

/** The name of a catalogue column as words. */
export function columnWords(column: string): string {
  return printable(column).replaceAll("_", " ");
}

function block(label: string, items: readonly string[], page: Page, paint: "plain" | "warn"): string[] {
  const lines = items.flatMap((item, index) =>
    labelled(index === 0 ? label : "", item, { first: page.column, rest: page.column + 2 }),
  );
  return emphasise(lines, label, paint === "warn" ? page.style.warn : page.style.strong);
}
