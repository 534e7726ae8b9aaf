import { counted, figure, money } from "../../report/figures.ts";
import { labelled, listed, printable, TIE, wrap } from "../../report/layout.ts";
import type { TextStyle } from "../../report/text-style.ts";
import type { Study } from "../plan/study.ts";
import { choiceLines } from "./choice-text.ts";
import type { FrontEntry, ResponseEntry, StudyDocument } from "./document.ts";
import { numberLines } from "./number-text.ts";
import { labelledAll, planBlocks } from "./plan-text.ts";
import { robustnessLines } from "./robust-text.ts";

const COLUMN = 11;
/** Reasons, and runs of each, that are named one by one. */
const MOST_NAMED = 8;

/** What a study found, from what was asked to what to hold on to; at most 80 columns, newline at the end. */
export function studyText(doc: StudyDocument, study: Study, style: TextStyle): string {
  const blocks = [
    [style.strong(printable(doc.title)), ...labelled("STUDY", studyWords(doc), COLUMN)],
    ...planBlocks(doc),
    labelledAll("NO OPTIMUM", reasonWords(doc.reasons)).map(style.warn),
    ...doc.responses.map((entry) => responseLines(entry, { study, style, currency: doc.currency })),
    doc.front === null ? [] : labelled("BEST", frontWords(doc.front), COLUMN),
    doc.robustness === null ? [] : robustnessLines(doc),
  ];
  return `${blocks
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join("\n"))
    .join("\n\n")}\n`;
}

function studyWords({ runs, factors, noise, design, seed }: StudyDocument): string {
  const of = noise.length === 0 ? "" : `, each of ${counted(design.points, "point")} under every run of the noise`;
  const states = [
    `${figure(runs.optimal)} proved lowest`,
    ...(runs.feasible > 0 ? [`${figure(runs.feasible)} with an answer not proved lowest`] : []),
    ...(runs.infeasible > 0 ? [`${figure(runs.infeasible)} infeasible`] : []),
    ...(runs.unknown > 0 ? [`${figure(runs.unknown)} stopped without an answer`] : []),
    ...(runs.failed > 0 ? [`${figure(runs.failed)} that cannot be`] : []),
  ];
  return `${counted(runs.all, "run")} over ${counted(factors.length, "factor")}${of}: ${listed(states)}. Seed ${seed}.`;
}

function reasonWords(reasons: StudyDocument["reasons"]): string[] {
  const named = reasons.slice(0, MOST_NAMED).map(({ reason, runs }) => {
    const some = runs.slice(0, MOST_NAMED).join(", ");
    const more = runs.length > MOST_NAMED ? ` and ${runs.length - MOST_NAMED} more` : "";
    return `${runs.length === 1 ? "run" : "runs"} ${some}${more}: ${printable(reason)}`;
  });
  const left = reasons.length - named.length;
  return left > 0 ? [...named, `and ${counted(left, "other reason")}, in the runs file`] : named;
}

interface Page {
  readonly study: Study;
  readonly style: TextStyle;
  readonly currency: string;
}

function responseLines(entry: ResponseEntry, { study, style, currency }: Page): string[] {
  const label = style.strong(printable(entry.id));
  if (entry.kind === "nothing")
    return [label, ...wrap("No run has anything at this place of its result.", { first: 2, rest: 4 })];
  if (entry.kind === "choice") return [label, ...choiceLines(entry)];
  const { least, most, mean } = entry.range;
  const show = (value: number): string => valueText(value, entry.unit, currency);
  const range =
    least.value === most.value
      ? `${show(least.value)} in every run.`
      : `${show(least.value)} (run ${least.run}) to ${show(most.value)} (run ${most.run}), mean ${show(mean)}.`;
  return [label, ...wrap(range, { first: 2, rest: 4 }), ...numberLines(entry, study)];
}

/** A response with its unit; money with its currency in front. */
function valueText(value: number, unit: string, currency: string): string {
  const text =
    unit === currency && unit !== ""
      ? `${unit} ${money(value)}`
      : `${figure(value, 4)}${unit === "" ? "" : ` ${unit}`}`;
  return text.replaceAll(" ", TIE);
}

function frontWords({ responses, runs }: FrontEntry): string {
  const wishes = listed(responses.map(({ id, want }) => `${want} ${printable(id)}`));
  const share =
    runs.length > 3 * MOST_NAMED
      ? `${runs.slice(0, 3 * MOST_NAMED).join(", ")} and ${runs.length - 3 * MOST_NAMED} more`
      : runs.join(", ");
  return `${wishes}: no run beats ${runs.length === 1 ? "run" : "runs"} ${share} in one without being worse in another.`;
}
