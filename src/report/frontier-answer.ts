import type { FrontierDocument, FrontierPoint } from "../machine/frontier.ts";
import { figure, money } from "./figures.ts";
import { differentText, heldBy } from "./frontier-words.ts";
import { listed, printable, TIE } from "./layout.ts";

/** So many steps are named one by one; of more only the first and the last. */
const MOST_STEPS = 3;

/** What the frontier answers, in a sentence or two: the cheapest order, and how much dearer fewer are. */
export function answerWords(doc: FrontierDocument): string {
  const [best] = doc.points;
  const machines = doc.machines.map(({ id, quantity }) => `${figure(quantity)} x ${printable(id)}`).join(", ");
  if (best?.objective == null)
    return best?.status === "infeasible"
      ? `There is no order for ${machines} that holds.`
      : `No order for ${machines} was found in the time.`;
  const { total } = best.objective;
  const kinds = [doc.by, ...(doc.and === null ? [] : [doc.and])];
  const held = listed(kinds.map((kind) => differentText(kind, best.distinct?.[kind] ?? 0)));
  return `Cheapest with ${held}: ${doc.currency}${TIE}${money(total)} for ${machines}.${dearerWords(doc, total)}`;
}

function dearerWords(doc: FrontierDocument, best: number): string {
  if (doc.and !== null) return " The table says what fewer of them cost.";
  const fewer = doc.points.slice(1).filter(({ objective }) => objective !== null);
  const named = fewer.length <= MOST_STEPS ? fewer : [...fewer.slice(0, 1), ...fewer.slice(-1)];
  if (named.length === 0) return "";
  const steps = named.map(
    (point, k) => `${money(moreThan(point, best))}${k === 0 ? " dearer" : ""} with ${countOf(doc, point)}`,
  );
  return ` ${doc.currency}${TIE}${listed(steps)}.`;
}

function moreThan({ objective }: FrontierPoint, best: number): number {
  return (objective?.total ?? best) - best;
}

function countOf({ by }: FrontierDocument, point: FrontierPoint): string {
  return figure(heldBy(point, by) ?? 0);
}
