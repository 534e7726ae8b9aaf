import type { AxisResult, MachineResult } from "../machine/result.ts";
import { amountText, money } from "./figures.ts";
import { heldSentences, nearWords } from "./held-text.ts";
import { emphasise, labelled, printable, TIE, withRight, wrap } from "./layout.ts";
import { gearboxWords } from "./pick-words.ts";
import type { TextStyle } from "./text-style.ts";

/** What every block of the print needs beside its own subject. */
export interface Page {
  readonly currency: string;
  /** Total of the order. */
  readonly total: number;
  /** Column at which the text right of the labels begins. */
  readonly column: number;
  readonly style: TextStyle;
}

/** Sentences under a heading: indented, a longer one hangs further in. */
export const UNDER = { first: 2, rest: 4 };

/** One axis: its pick and price, what holds it, what the next smaller one would take, what else is near. */
export function axisLines(axis: AxisResult, machine: MachineResult, page: Page): string[] {
  const { binding, limits } = axis;
  const held = { binding, limits, pick: axis, total: page.total, currency: page.currency };
  const label = printable(axis.id);
  const head = withRight(labelled(label, pickLine(axis), page.column), `${page.currency} ${money(axis.price)} each`);
  return [
    ...emphasise(head, label, page.style.strong),
    ...heldSentences(held).flatMap((sentence) => wrap(sentence, UNDER)),
    ...wrap(nearWords(limits, binding.limits), UNDER).map(page.style.dim),
    ...sharedDrive(axis, machine),
    ...stopLine(axis),
  ].filter((line) => line.trim() !== "");
}

function pickLine(axis: AxisResult): string {
  const construction = axis.construction === "slotted" ? "" : `, ${axis.construction}`;
  const brake = axis.brake ? ", brake" : "";
  const inductor = axis.inductor === null ? "" : ` with inductor ${printable(axis.inductor)}`;
  const motor = `${printable(axis.motor)}${construction}${brake}`;
  return `${motor} | ${gearboxWords(axis)} | ${printable(axis.drive)}${inductor}`;
}

function stopLine({ stopping_distance: distance }: AxisResult): string[] {
  return distance === undefined ? [] : wrap(`Moves on by up to ${amountText(distance)} in an emergency stop.`, UNDER);
}

function sharedDrive(axis: AxisResult, machine: MachineResult): string[] {
  const module = machine.modules.find(({ bus, axes }) => bus === axis.bus && axes.includes(axis.id));
  const others = (module?.axes ?? []).filter((id) => id !== axis.id);
  if (others.length === 0) return [];
  return wrap(`Shares its drive with ${others.map(printable).join(`,${TIE}`)}.`, UNDER);
}
