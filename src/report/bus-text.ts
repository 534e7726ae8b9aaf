import type { LimitId } from "../machine/limit.ts";
import type { BusResult, LimitResult, MachineResult } from "../machine/result.ts";
import type { Page } from "./axis-text.ts";
import { UNDER } from "./axis-text.ts";
import { money } from "./figures.ts";
import { heldSentences, limitNumbers } from "./held-text.ts";
import { emphasise, labelled, printable, withRight, wrap } from "./layout.ts";
import { LIMIT_WORDS } from "./limit-words.ts";
import { rideDownWords } from "./ride-down-text.ts";

// The limits of a bus that are always shown, in short words beside the part they belong to.
const SUPPLY_WORDS: Readonly<Partial<Record<LimitId, string>>> = {
  "supply.peak_power": "peak",
  "supply.continuous_power": "mean",
};
const RESISTOR_WORDS: Readonly<Partial<Record<LimitId, string>>> = {
  "resistor.peak_power": "peak",
  "resistor.continuous_power": "mean",
};

/** One DC bus: supply and resistor with their load, what holds them, what the next part costs. */
export function busLines(bus: BusResult, machine: MachineResult, page: Page): string[] {
  const label = machine.buses.length === 1 ? "supply" : `supply ${printable(bus.id)}`;
  const lines = labelled(label, supplyWords(bus, machine), page.column);
  const head = bus.supply === null ? lines : withRight(lines, `${page.currency} ${money(bus.price)} each`);
  const sentences = bus.supply === null ? [] : [...loadSentences(bus), ...whySentences(bus, page)];
  return [...emphasise(head, label, page.style.strong), ...sentences.flatMap((sentence) => wrap(sentence, UNDER))];
}

function supplyWords({ id, supply, resistor }: BusResult, { axes }: MachineResult): string {
  if (supply === null && axes.every(({ bus }) => bus !== id)) return "none: no axis draws from this bus.";
  if (supply === null) return "none in the catalogues: power of the bus not checked.";
  const beside = resistor === null ? "no brake resistor" : `resistor ${printable(resistor)}`;
  return `${printable(supply)} with ${beside}`;
}

function loadSentences(bus: BusResult): string[] {
  const shown = { ...SUPPLY_WORDS, ...RESISTOR_WORDS };
  const others = bus.limits.filter(({ id, utilisation }) => shown[id] === undefined && (utilisation ?? 1) > 0);
  return [
    named("Supply", bus.limits, SUPPLY_WORDS),
    named("Brake resistor", bus.limits, RESISTOR_WORDS),
    others.map((limit) => `${LIMIT_WORDS[limit.id]} ${limitNumbers(limit)}`).join(", "),
  ]
    .filter((words) => words !== "")
    .map((words) => `${words.charAt(0).toUpperCase()}${words.slice(1)}.`)
    .concat(bus.ride_down === null ? [] : rideDownWords(bus.ride_down));
}

function named(
  part: string,
  limits: readonly LimitResult[],
  words: Readonly<Partial<Record<LimitId, string>>>,
): string {
  const texts = limits.flatMap((limit) => {
    const word = words[limit.id];
    return word === undefined ? [] : [`${word} ${limitNumbers(limit)}`];
  });
  return texts.length === 0 ? "" : `${part} ${texts.join(", ")}`;
}

function whySentences(bus: BusResult, page: Page): string[] {
  const { binding, limits } = bus;
  const why =
    binding === null
      ? []
      : heldSentences({ binding, limits, pick: undefined, total: page.total, currency: page.currency });
  return [...why, nextPart(bus, page)].filter((sentence) => sentence !== "");
}

function nextPart({ next_part: next }: BusResult, { total, currency }: Page): string {
  if (next === null) return "";
  const resistor = next.resistor === null ? "no brake resistor" : `resistor ${printable(next.resistor)}`;
  const more = next.total - total;
  const cost =
    Math.abs(more) < 0.005
      ? "at the same cost"
      : `order ${currency} ${money(Math.abs(more))} ${more > 0 ? "more" : "less"}`;
  return `Next supply: ${printable(next.supply)} with ${resistor}, ${cost}.`;
}
