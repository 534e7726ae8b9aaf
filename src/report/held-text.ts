import type { LimitId } from "../machine/limit.ts";
import type { Binding, LimitResult, NextStep, PickNames } from "../machine/result.ts";
import { counted, money, neededText, pairText, percent, sharePercent, timeText } from "./figures.ts";
import { listed, printable } from "./layout.ts";
import { LIMIT_WORDS, theLimit } from "./limit-words.ts";
import { changeWords } from "./pick-words.ts";

/** What is being explained: an axis or a bus with its limits, and what the order costs now. */
export interface Held {
  readonly binding: Binding;
  readonly limits: readonly LimitResult[];
  /** The pick as it is; undefined for a bus. */
  readonly pick: PickNames | undefined;
  /** Total of the order. */
  readonly total: number;
  readonly currency: string;
}

/** Why this and nothing cheaper: sentences, each for a line of its own. */
export function heldSentences(held: Held): string[] {
  const { binding } = held;
  if (binding.limits.length === 0) return [noHoldWords(held)];
  return [`Held here by ${heldByWords(held)}.`, stepWords(held)].filter((sentence) => sentence !== "");
}

/** The limits that are nearest beside the binding ones, in one sentence. */
export function nearWords(limits: readonly LimitResult[], except: readonly LimitId[]): string {
  const others = limits.filter(({ id }) => !except.includes(id));
  const near = others.filter(isNear).toSorted(byUtilisation).slice(0, 3);
  const also = except.length === 0 ? "Nearest" : "Also near";
  if (near.length > 0) return `${also}: ${near.map(nearText).join(", ")}.`;
  return others.length === 0 ? "" : "No other limit is above half of what is allowed.";
}

/** What it would take to change the answer, for a cap or another limit of the whole order. */
export function limitStepWords(limit: LimitResult, total: number, currency: string): string {
  const binding: Binding = { limits: [limit.id], price: limit.price ?? 0, next_step: limit.next_step ?? null };
  return stepWords({ binding, limits: [limit], pick: undefined, total, currency });
}

/** One limit with its numbers and its instant. */
export function limitNumbers(limit: LimitResult): string {
  const when = whenText(limit);
  return `${pairText(limit.id, limit.demand, limit.allowed, limit.unit)}${when === "" ? "" : ` ${when}`}`;
}

/** When a limit is nearest to failing: an instant, a mode of the machine, both or nothing. */
export function whenText({ time, mode }: Pick<LimitResult, "time" | "mode">): string {
  const at = time === undefined ? "" : `at ${timeText(time)}`;
  if (mode === undefined) return at;
  return at === "" ? `in mode ${printable(mode)}` : `${at} of mode ${printable(mode)}`;
}

function noHoldWords({ binding, pick }: Held): string {
  if (binding.reason === "not-searched") return "What holds it was not searched.";
  const what = pick === undefined ? "bus" : "axis";
  return `Held by no limit: it is the cheapest here, and lifting every limit of this ${what} would save nothing.`;
}

function heldByWords({ binding, limits }: Held): string {
  const texts = binding.limits.map((id) => {
    const limit = limits.find((each) => each.id === id);
    if (limit === undefined) return `${theLimit(id)}, which a cheaper one breaks`;
    const when = whenText(limit);
    const numbers = `${theLimit(id)}: ${pairText(id, limit.demand, limit.allowed, limit.unit)} allowed`;
    return when === "" ? numbers : `${numbers}, ${when}`;
  });
  return texts.length === 1 ? (texts[0] ?? "") : `${counted(texts.length, "limit")} together: ${texts.join("; ")}`;
}

function stepWords(held: Held): string {
  const { binding, total, currency } = held;
  const step = binding.next_step;
  if (step === null) return unlimitedAlone(held);
  const saving = total - step.total;
  const more = binding.quick === true ? "Unlimited: perhaps more (a quick look)." : "Unlimited: no more.";
  const rest = binding.price - saving > 0.005 ? `Unlimited: ${leastWords(binding)}${money(binding.price)} less.` : more;
  return `At ${reliefWords(step, held)}, ${comesIn(step, held)}: order ${currency} ${money(saving)} less. ${rest}`;
}

/** A quick look proves what can be saved at least. */
function leastWords({ quick }: Binding): string {
  return quick === true ? "at least " : "";
}

function unlimitedAlone({ binding, pick, currency }: Held): string {
  if (binding.price < 0.005) return "";
  const less = `order ${leastWords(binding)}${currency} ${money(binding.price)} less`;
  if (binding.unlimited === undefined || pick === undefined) return `Unlimited: ${less}.`;
  return `No small step changes it. Unlimited, ${changeWords(pick, binding.unlimited)} would do: ${less}.`;
}

function reliefWords({ relief, least }: NextStep, { limits, pick }: Held): string {
  // A step of an axis that was not proved the least one says so; a bus's goes to the next part.
  const perhaps = pick === undefined || least === true ? "" : "; perhaps less would do";
  const texts = relief.map(({ id, demand, allowed, unit }) => {
    const share = allowed > 0 && unit !== "count" ? ` (${sharePercent(demand / allowed - 1)} more${perhaps})` : "";
    const name = relief.length === 1 ? "" : `${LIMIT_WORDS[id]} `;
    const now = limits.find((limit) => limit.id === id)?.allowed ?? allowed;
    // What another part comes with can allow more or less than the present one.
    const isOwn = allowed > 0 && Math.abs(allowed - now) > 1e-6 * now;
    const own = isOwn ? ` in place of its ${neededText(id, allowed, unit)}` : "";
    return `${name}${neededText(id, demand, unit)} allowed${own}${share}`;
  });
  return listed(texts);
}

function comesIn(step: NextStep, { pick }: Held): string {
  if (pick !== undefined && step.pick !== undefined) return `${changeWords(pick, step.pick)} would do`;
  return step.part === "" ? "the picks change" : `${printable(step.part)} would do`;
}

function isNear({ utilisation }: LimitResult): boolean {
  return utilisation === null || utilisation >= 0.5;
}

function byUtilisation(a: LimitResult, b: LimitResult): number {
  return (b.utilisation ?? Infinity) - (a.utilisation ?? Infinity);
}

function nearText(limit: LimitResult): string {
  const { id, utilisation } = limit;
  const share = utilisation === null ? "nothing allowed" : percent(utilisation);
  return [`${LIMIT_WORDS[id]} ${share}`, whenText(limit)].filter((words) => words !== "").join(" ");
}
