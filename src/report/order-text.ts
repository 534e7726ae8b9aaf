import type { ResultDocument, Status } from "../machine/result.ts";
import type { Page } from "./axis-text.ts";
import { counted, figure, money, moneyWithCents, sharePercent } from "./figures.ts";
import { labelled, printable, TIE, withRight, wrap } from "./layout.ts";

/** The answer first: what is ordered, its total, how sure that is, and how the total comes about. */
export function orderLines(doc: ResultDocument, page: Page): string[] {
  const machines = doc.machines.map(({ id, quantity }) => `${figure(quantity)} x ${printable(id)}`).join(", ");
  const head = withRight(labelled("ORDER FOR", machines, page.column), `${doc.currency} ${money(page.total)}`);
  const rest = (text: string): string[] => wrap(text, { first: page.column, rest: page.column });
  const paint = doc.status === "optimal" ? page.style.good : page.style.warn;
  return [
    ...wrap(printable(doc.title), { first: 0, rest: 0 }).map(page.style.dim),
    ...head.map(page.style.strong),
    ...rest(STATUS_WORDS[doc.status](doc)).map(paint),
    ...rest(termWords(doc)),
    ...rest(distinctWords(doc)),
    ...rest(searchedWords(doc)),
  ].filter((line) => line.trim() !== "");
}

/** What to buy: every part number with its quantity, maker and price. */
export function buyLines(doc: ResultDocument, page: Page): string[] {
  const quantities = doc.parts.map(({ quantity }) => figure(quantity));
  const wide = Math.max(...quantities.map(({ length }) => length), 0);
  return doc.parts.flatMap((part, index) => {
    const quantity = (quantities[index] ?? "").padStart(wide, TIE);
    const words = `${quantity}${TIE}x${TIE}${printable(part.id)} (${part.kind}, ${printable(part.maker)})`;
    const total = moneyWithCents(part.unit_price * part.quantity).padStart(10, TIE);
    const lines = labelled(index === 0 ? "BUY" : "", words, page.column);
    const priced = withRight(lines, `${moneyWithCents(part.unit_price)} = ${total}`.replaceAll(TIE, " "));
    return [...priced, ...substituteLines(part, page.column + wide + 3)];
  });
}

/** What could take a part's place, where dual source is demanded. */
function substituteLines({ substitute }: ResultDocument["parts"][number], margin: number): string[] {
  if (substitute === undefined || substitute === null) return [];
  const words = `substitute ${printable(substitute.id)} (${printable(substitute.maker)})`;
  return wrap(words, { first: margin, rest: margin });
}

/** What a status means, in words that promise no more than was proved. */
const STATUS_WORDS: Readonly<Record<Status, (doc: ResultDocument) => string>> = {
  optimal: () => `Proven lowest: no other order from these catalogues costs less (gap${TIE}0).`,
  feasible: (doc) =>
    `Not proven lowest: the search was stopped. Every limit holds, but a cheaper order may exist${floorWords(doc)}.`,
  infeasible: () => "No order from these catalogues meets every limit.",
  unknown: (doc) => `The search was stopped before it had an answer. One may still exist${floorWords(doc)}.`,
};

/** The status of a document without an answer. */
export function statusWords(doc: ResultDocument): string {
  return STATUS_WORDS[doc.status](doc);
}

function floorWords({ bound, gap, currency }: ResultDocument): string {
  if (bound === null) return "";
  const away = gap === null ? "" : ` (gap ${sharePercent(gap)})`;
  return `; none can cost less than ${currency} ${money(bound)}${away}`;
}

function termWords(doc: ResultDocument): string {
  const terms = doc.objective?.terms;
  if (terms === undefined) return "";
  const named: readonly (readonly [string, number])[] = [
    ["variety", terms.variety],
    ["energy over the years", terms.energy],
    ["weight on mass", terms.mass],
    ["weight on cabinet width", terms.cabinet_width],
    ["weight on lead time", terms.lead_time],
  ];
  const others = named.filter(([, value]) => value !== 0).map(([name, value]) => `${name} ${money(value)}`);
  return `${[purchaseWords(doc, terms.purchase), ...others].join(", ")}.`;
}

function purchaseWords(doc: ResultDocument, counted_: number): string {
  const paid = doc.machines.reduce((sum, { quantity, totals }) => sum + quantity * totals.price, 0);
  const products = doc.machines.map(({ quantity, totals }) => `${figure(quantity)} x ${money(totals.price)}`);
  const words = `Parts ${products.join(" + ")} = ${money(paid)}`;
  return Math.abs(paid - counted_) < 0.005 ? words : `${words}, counted as ${money(counted_)}`;
}

function distinctWords({ distinct }: ResultDocument): string {
  const { parts, motors, frames, gearboxes, drives, makers } = distinct;
  const kinds = [
    `${counted(motors, "motor")} in ${counted(frames, "frame")}`,
    counted(gearboxes, "gearbox", "gearboxes"),
    counted(drives, "drive"),
  ];
  return `${counted(parts, "part number")}: ${kinds.join(", ")}; ${counted(makers, "maker")}.`;
}

function searchedWords({ rejections }: ResultDocument): string {
  const judged = rejections.reduce((sum, each) => sum + each.judged, 0);
  const passed = rejections.reduce((sum, each) => sum + each.passed, 0);
  if (judged === 0) return "";
  return `Chosen from ${figure(judged)} candidates, ${figure(passed)} of which pass their axis's limits.`;
}
