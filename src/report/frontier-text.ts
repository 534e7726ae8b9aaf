import type { AxisChange, BusChange, FrontierDocument, FrontierPoint } from "../machine/frontier.ts";
import { counted, figure, money } from "./figures.ts";
import { answerWords } from "./frontier-answer.ts";
import { gridLines } from "./frontier-grid.ts";
import {
  beforeVariety,
  columnMoney,
  countText,
  heldBy,
  kindText,
  stateWords,
  varietyCharge,
} from "./frontier-words.ts";
import { emphasise, labelled, listed, printable, TIE, wrap } from "./layout.ts";
import { changeWords } from "./pick-words.ts";
import type { TextStyle } from "./text-style.ts";

const COLUMN = 11;
const UNDER = { first: COLUMN, rest: COLUMN + 2 };

/** The frontier as a page for a terminal: the costs first, then what changes and what it comes to; at most 80 columns. */
export function frontierText(doc: FrontierDocument, style: TextStyle): string {
  const isOneWay = doc.and === null;
  const blocks = [
    headLines(doc, style),
    isOneWay ? tableLines(doc, style) : gridLines(doc, style),
    ...(isOneWay
      ? doc.points.map((point, index) => pointLines(doc, point, { before: doc.points[index - 1], style }))
      : []),
    isOneWay ? shortLines(doc, style) : [],
    openLines(doc, style),
    careLines(doc, style),
  ];
  const shown = blocks.filter((lines) => lines.length > 0);
  return `${shown.map((lines) => lines.join("\n")).join("\n\n")}\n`;
}

function headLines(doc: FrontierDocument, style: TextStyle): string[] {
  const variety = doc.variety ? "" : " Nothing is charged for variety here.";
  const proof = doc.complete
    ? "Each is proven lowest."
    : doc.and === null
      ? "Not all of it is proven; each line says what is."
      : "Not all of it is proven: what has a ~ may cost less, ? was not settled.";
  return [
    ...wrap(printable(doc.title), { first: 0, rest: 0 }).map(style.dim),
    ...labelled("FEWER", answerWords(doc) + variety, COLUMN).map(style.strong),
    ...wrap(proof, { first: COLUMN, rest: COLUMN }).map(doc.complete ? style.good : style.warn),
  ];
}

/** One row for each order: what it holds, what it costs, and how much that is above the best. */
function tableLines(doc: FrontierDocument, style: TextStyle): string[] {
  const best = doc.points[0];
  const hasVariety = doc.points.some(({ objective }) => (objective?.terms.variety ?? 0) !== 0);
  const sums: readonly (readonly [string, (point: FrontierPoint) => number | undefined])[] = [
    [`order ${printable(doc.currency)}`, ({ objective }) => objective?.total],
    ...(hasVariety ? [["before variety", beforeVariety] as const] : []),
  ];
  const head = [kindText(doc.by), ...sums.flatMap(([name]) => [name, "dearer by"]), ""];
  const rows = doc.points.map((point) => {
    const count = heldBy(point, doc.by);
    const cells = sums.flatMap(([, sum]) => [
      sum(point),
      above(sum(point), best === undefined ? undefined : sum(best)),
    ]);
    return [count === null ? "any" : figure(count), ...cells.map(cellText), stateWords(point)];
  });
  const lines = columns([head, ...rows]).map((line) => " ".repeat(COLUMN) + line);
  return lines.map((line, index) => (index === 0 ? style.dim(line) : line));
}

function above(value: number | undefined, best: number | undefined): number | undefined {
  return value === undefined || best === undefined || value === best ? undefined : value - best;
}

function cellText(value: number | undefined): string {
  return value === undefined ? "-" : columnMoney(value);
}

/** Cells under each other, flush right; the last column flush left. */
function columns(rows: readonly (readonly string[])[]): string[] {
  const widths = (rows[0] ?? []).map((_, c) => Math.max(...rows.map((row) => row[c]?.length ?? 0)));
  return rows.map((row) =>
    row
      .map((cell, c) => (c === row.length - 1 ? cell : cell.padStart(widths[c] ?? 0)))
      .join("  ")
      .trimEnd(),
  );
}

/** A point: what goes, what comes, on which axes and buses; or why there is no such order. */
function pointLines(
  doc: FrontierDocument,
  point: FrontierPoint,
  { before, style }: { before: FrontierPoint | undefined; style: TextStyle },
): string[] {
  const count = heldBy(point, doc.by);
  const label = count === null ? "ANY" : countText(doc.by, count).replaceAll("\u00a0", " ");
  const lines = labelled(label, pointWords(doc, point, before), {
    first: Math.max(COLUMN, label.length + 2),
    rest: COLUMN,
  });
  const changes =
    point.changes === null ? [] : [...axisWords(doc, point.changes.axes), ...busWords(doc, point.changes.buses)];
  return [...emphasise(lines, label, style.strong), ...changes.flatMap((words) => wrap(words, UNDER))];
}

function pointWords(doc: FrontierDocument, point: FrontierPoint, before: FrontierPoint | undefined): string {
  if (point.status === "infeasible") return `None: ${printable(point.reason ?? "")}.`;
  if (point.objective === null) return "No order was found in the time; one may exist.";
  const spare = spareWords(doc, point);
  if (point.changes === null || before?.objective == null) return `The best order${orderWords(point)}.${spare}`;
  const more = point.objective.total - before.objective.total;
  const goes = partWords("Out", point.changes.goes);
  const comes = partWords("In", point.changes.comes);
  return `${doc.currency} ${money(more)} dearer than with ${figure(heldBy(before, doc.by) ?? 0)}.${spare}${goes}${comes}`;
}

/** Where a cap leaves room for more than the order holds. */
function spareWords({ by }: FrontierDocument, { cap, distinct }: FrontierPoint): string {
  return cap !== null && (distinct?.[by] ?? 0) < cap ? ` At most ${countText(by, cap)}: the same.` : "";
}

function orderWords({ distinct, status }: FrontierPoint): string {
  if (distinct === null) return "";
  const proof = status === "optimal" ? "" : ", as far as it was searched";
  return ` of all: ${countText("parts", distinct.parts)}, ${countText("motors", distinct.motors)} in ${counted(distinct.frames, "frame")}, ${countText("gearboxes", distinct.gearboxes)}, ${countText("drives", distinct.drives)}, ${countText("makers", distinct.makers)}${proof}`;
}

function partWords(verb: string, parts: FrontierPoint["parts"]): string {
  if (parts.length === 0) return "";
  return ` ${verb}: ${listed(parts.map(({ kind, id }) => `${kind} ${printable(id)}`))}.`;
}

/** Axes that change alike are named together. */
function axisWords(doc: FrontierDocument, changes: readonly AxisChange[]): string[] {
  return grouped(
    changes.map((change) => ({
      place: placeText(doc, change.machine, change.axis),
      words: changeWords(change.from, change.to) + inductorWords(change),
    })),
  );
}

function inductorWords({ from, to }: AxisChange): string {
  if (from.inductor === to.inductor) return "";
  return `, ${to.inductor === null ? "no inductor" : `inductor ${printable(to.inductor)}`}`;
}

function busWords(doc: FrontierDocument, changes: readonly BusChange[]): string[] {
  return grouped(
    changes.map(({ machine, bus, to }) => ({
      place: placeText(doc, machine, `bus ${bus}`),
      words: `${to.supply === null ? "no supply" : `supply ${printable(to.supply)}`}${to.resistor === null ? "" : ` and resistor ${printable(to.resistor)}`}`,
    })),
  );
}

function placeText({ machines }: FrontierDocument, machine: string, own: string): string {
  return machines.length > 1 ? `${printable(machine)}/${printable(own)}` : printable(own);
}

function grouped(changes: readonly { readonly place: string; readonly words: string }[]): string[] {
  const places = new Map<string, string[]>();
  for (const { place, words } of changes) places.set(words, [...(places.get(words) ?? []), place]);
  return [...places].map(([words, at]) => `${listed(at)}: ${words}.`);
}

/** What a builder gains and loses, step by step. */
function shortLines(doc: FrontierDocument, style: TextStyle): string[] {
  const orders = doc.points.filter(({ objective }) => objective !== null);
  const steps = orders.slice(1).map((point, index) => stepWords(doc, orders[index], point));
  const [first] = orders;
  const ends = first !== undefined && steps.length === 0 ? [alreadyWords(doc, first)] : [];
  return [...steps, ...ends].flatMap((words, index) =>
    emphasise(labelled(index === 0 ? "STEPS" : "", words, COLUMN), "STEPS", style.strong),
  );
}

function alreadyWords(doc: FrontierDocument, point: FrontierPoint): string {
  const held = countText(doc.by, point.distinct?.[doc.by] ?? 0);
  return `The best order makes do with ${held}, and no order was found that holds fewer.`;
}

function stepWords(doc: FrontierDocument, from: FrontierPoint | undefined, to: FrontierPoint): string {
  if (from === undefined) return "";
  const more = (beforeVariety(to) ?? 0) - (beforeVariety(from) ?? 0);
  const credit = varietyCharge(doc, from) - varietyCharge(doc, to);
  const net = more - credit;
  const counts = `From ${countText(doc.by, heldBy(from, doc.by) ?? 0)} to ${figure(heldBy(to, doc.by) ?? 0)}`;
  const cost = `${doc.currency}${TIE}${moreOrLess(more)}`;
  const isFree = Object.values(doc.charges).every((charge) => charge === 0);
  if (Math.abs(credit) < 0.005)
    return `${counts}: ${cost}; the problem charges ${isFree ? "nothing for variety" : "as much for variety as before"}.`;
  const charge = `the ${doc.variety ? "" : "problem's "}charge for variety ${credit > 0 ? "falls" : "rises"} by ${money(Math.abs(credit))}`;
  return `${counts}: ${charge}, everything else costs ${cost}: ${verdictWords(net)}.`;
}

function verdictWords(net: number): string {
  return net < -0.005 ? `it pays by ${money(-net)}` : `${money(Math.max(0, net))} dearer in all`;
}

function moreOrLess(value: number): string {
  return `${money(Math.abs(value))} ${value < 0 ? "less" : "more"}`;
}

/** What was not looked at. */
function openLines(doc: FrontierDocument, style: TextStyle): string[] {
  const last = doc.points.at(-1);
  if (doc.complete || last === undefined) return [];
  const held = heldBy(last, doc.by);
  const fewer =
    doc.and === null && held !== null && last.status !== "infeasible" && held > (doc.by === "gearboxes" ? 0 : 1);
  const rest = fewer ? `Whether fewer than ${countText(doc.by, held)} would do was not settled.` : "";
  const body = `The search ended before everything was proven: a longer time limit says more. ${rest}`;
  return emphasise(labelled("STOPPED", body.trim(), COLUMN), "STOPPED", style.warn);
}

function careLines(doc: FrontierDocument, style: TextStyle): string[] {
  if (doc.points.every(({ objective }) => objective === null)) {
    const hint = "fewframe solve says for each axis what stands in the way, and by how much.";
    return labelled("NEXT", hint, COLUMN);
  }
  const point = doc.points.findLast(({ objective }) => objective !== null);
  const cap = `"caps": { "${doc.by}": ${point?.distinct?.[doc.by] ?? 1} }`;
  const body = `Each order is a proposal for a qualified engineer to check, not a release. Before one is built, write its cap into the problem, such as ${cap}, and solve it: that print shows its limits, its settings and its cautions.`;
  return emphasise(labelled("TAKE CARE", body, COLUMN), "TAKE CARE", style.warn);
}
