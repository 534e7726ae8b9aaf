import type { LimitId } from "../machine/limit.ts";
import type { InfeasibleAxis, LimitResult, Rejection, ResultDocument } from "../machine/result.ts";
import type { Page } from "./axis-text.ts";
import { UNDER } from "./axis-text.ts";
import { figure, neededText, pairText, sharePercent } from "./figures.ts";
import { limitNumbers, whenText } from "./held-text.ts";
import { emphasise, labelled, listed, printable, wrap } from "./layout.ts";
import { LIMIT_WORDS, theLimit } from "./limit-words.ts";
import { columnWords } from "./notes-text.ts";
import { statusWords } from "./order-text.ts";
import { pickWords } from "./pick-words.ts";

const DEEPER = { first: 4, rest: 6 };

/** The print of a document without an answer: its state, then each conflict with its nearest candidates. */
export function noOrderLines(doc: ResultDocument, page: Page): string[] {
  const blocks = doc.infeasible.map((conflict) => conflictLines(conflict, doc, page));
  return [
    ...wrap(printable(doc.title), { first: 0, rest: 0 }).map(page.style.dim),
    ...labelled("NO ORDER", statusWords(doc), page.column).map(page.style.warn),
    ...blocks.flatMap((lines) => ["", ...lines]),
  ];
}

function conflictLines(conflict: InfeasibleAxis, doc: ResultDocument, page: Page): string[] {
  const label = printable(conflict.axis ?? conflict.machine ?? "order");
  const rejection = doc.rejections.find(({ machine, axis }) => machine === conflict.machine && axis === conflict.axis);
  return [
    ...emphasise(labelled(label, stateWords(conflict, rejection), page.column), label, page.style.strong),
    ...[reliefWords(conflict), unknownWords(conflict)].flatMap((words) => wrap(words, UNDER)),
    ...conflict.nearest.flatMap((near) => [
      ...wrap(`Nearest: ${pickWords(near)}`, UNDER),
      ...near.fails.flatMap((limit) => wrap(failWords(limit), DEEPER)),
      ...near.not_checked.flatMap(({ id, missing }) =>
        wrap(`${LIMIT_WORDS[id]}: no ${columnWords(missing)} in the catalogue`, DEEPER),
      ),
    ]),
    ...(rejection === undefined ? [] : wrap(turnedDownWords(rejection), UNDER).map(page.style.dim)),
    ...wrap(printable(conflict.note), UNDER),
  ].filter((line) => line.trim() !== "");
}

function stateWords({ axis }: InfeasibleAxis, rejection: Rejection | undefined): string {
  if (axis === null) return "each axis has candidates, but no choice of them fits together.";
  if (rejection === undefined) return "no candidate passes.";
  const unfit = Object.entries(rejection.unfit).filter(([, count]) => count > 0);
  const left = unfit.map(([reason, count]) => `${figure(count)} by ${printable(reason)}`);
  const before = left.length === 0 ? "" : ` Left out before that: ${listed(left)}.`;
  return `no candidate passes, of ${figure(rejection.judged)} judged.${before}`;
}

/** For an axis its nearest candidate; for the order what some answer needs, of which the note says whether it is least. */
function reliefWords({ axis, limits, relief, not_checked }: InfeasibleAxis): string {
  if (relief.length === 0) return conflictWords(limits.filter((id) => not_checked.every((one) => one.id !== id)));
  const texts = relief.map(({ id, demand, allowed, unit, share }) => {
    const more = share === null ? "none is allowed now" : `${sharePercent(share)} more than is allowed now`;
    const need = neededText(id, demand, unit);
    return allowed > 0 ? `${theLimit(id)} at ${need} (${more})` : `${theLimit(id)} at ${need} (nothing is allowed now)`;
  });
  return `${axis === null ? "Enough" : "Least"} to relax: ${listed(texts)}.`;
}

function conflictWords(limits: readonly LimitId[]): string {
  return limits.length === 0 ? "" : `In conflict: ${listed(limits.map(theLimit))}.`;
}

function unknownWords({ not_checked }: InfeasibleAxis): string {
  if (not_checked.length === 0) return "";
  const texts = not_checked.map(({ id, missing }) => `${theLimit(id)} (no ${columnWords(missing)} in the catalogue)`);
  return `Asked for but unknown, so failed: ${listed(texts)}.`;
}

function failWords(limit: LimitResult): string {
  if (limit.allowed === 0) {
    return `${LIMIT_WORDS[limit.id]}: ${neededText(limit.id, limit.demand, limit.unit)} needed, it has none`;
  }
  const over = limit.demand / limit.allowed - 1;
  return limit.time === undefined && limit.mode === undefined
    ? `${LIMIT_WORDS[limit.id]}: ${limitNumbers(limit)} allowed, ${sharePercent(over)} over`
    : `${LIMIT_WORDS[limit.id]}: ${pairText(limit.id, limit.demand, limit.allowed, limit.unit)} allowed, ${sharePercent(over)} over, worst ${whenText(limit)}`;
}

function turnedDownWords({ worst }: Rejection): string {
  const counts = Object.entries(LIMIT_WORDS).flatMap(([id, words]) => {
    const count = Object.entries(worst).find(([key]) => key === id)?.[1] ?? 0;
    return count > 0 ? [{ words, count }] : [];
  });
  const top = counts.toSorted((a, b) => b.count - a.count).slice(0, 3);
  if (top.length === 0) return "";
  return `Turned down most for: ${top.map(({ words, count }) => `${words} (${figure(count)})`).join(", ")}.`;
}
