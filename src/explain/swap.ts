import { type Candidate, candidateOf, eachCandidate } from "../candidates/each-candidate.ts";
import type { OrderAnswer } from "../decide/answer.ts";
import { type AxisColumn, columnsOf, type Visit } from "../decide/axis-columns.ts";
import { type Court, holdsUp } from "../decide/court.ts";
import type { Outcome } from "../decide/decide.ts";
import { type Accepts, acceptedAxis, type JudgedAxis } from "../decide/judged-axis.ts";
import { modulesOf } from "../decide/modules.ts";
import { orderMoney } from "../decide/money.ts";
import type { AnyPart, Catalogue } from "../machine/catalogue.ts";
import { sharedPicks } from "../model/build.ts";
import { lowestPrice } from "../model/part-table.ts";
import type { ExplainContext } from "./context.ts";

/** An axis of a machine. */
export interface AxisPlace {
  readonly machine: number;
  readonly axis: number;
}

/** So many of the cheapest candidates are looked at, and so many of those worked out. */
const LOOKED_AT = 600;
const TRIED = 40;

/** An axis with every candidate surveyed at what it carries now. */
export interface SwapSearch {
  readonly place: AxisPlace;
  readonly now: JudgedAxis;
}

interface SwapQuestion {
  readonly court: Court;
  /** Which failures to look at. */
  readonly accepts: Accepts;
  /** Only answers cheaper than this are wanted [cent]. */
  readonly upTo: number;
}

/** The cheapest answer that changes nothing but one axis (and those that pick with it): a first cost to beat. */
export function cheapestSwap(context: ExplainContext, search: SwapSearch, question: SwapQuestion): Outcome | undefined {
  const swaps = swapsOf(context, search, { question, score: priceOf(context.setup.catalogue) });
  let best: Outcome | undefined;
  for (const { swapped } of swaps.toSorted((a, b) => a.bought - b.bought).slice(0, TRIED)) {
    best = better(swapped, question, best?.evaluated?.money.total) ?? best;
  }
  return best;
}

/** The answer below a total that changes nothing but one axis and breaks its limits least. */
export function leastSwap(context: ExplainContext, search: SwapSearch, question: SwapQuestion): Outcome | undefined {
  const swaps = swapsOf(context, search, { question, score: ({ by }) => by });
  for (const { swapped } of swaps.filter(({ bought }) => bought < question.upTo).slice(0, TRIED)) {
    const found = better(swapped, question, undefined);
    if (found !== undefined) return found;
  }
  return undefined;
}

function better(swapped: OrderAnswer, { court, upTo }: SwapQuestion, best: number | undefined): Outcome | undefined {
  const evaluated = court.evaluator.evaluate(swapped);
  if (evaluated.money.total >= (best ?? upTo) || !holdsUp(court, { answer: swapped, evaluated })) return undefined;
  return { status: "feasible", answer: swapped, evaluated, bound: 0, certificates: [], stats: [], models: [] };
}

interface Swap {
  readonly swapped: OrderAnswer;
  readonly bought: number;
}

/** Swaps by ascending score of their candidates. */
function swapsOf(
  context: ExplainContext,
  { place: { machine, axis }, now }: SwapSearch,
  { question, score }: { question: SwapQuestion; score: (candidate: Candidate) => number },
): Swap[] {
  const { answer } = context.decision;
  const own = answer?.machines[machine];
  if (answer === undefined || own === undefined) return [];
  const around = context.setup.machines[machine];
  const together = around === undefined ? [] : (sharedPicks(around).find((axes) => axes.includes(axis)) ?? []);
  return firstBy(context, now, { accepts: question.accepts, score }).map((column) => {
    const axes = own.axes.map((pick, a) => (together.includes(a) ? column : pick));
    const swapped: OrderAnswer = {
      machines: answer.machines.map((before, m) => (m === machine ? { ...own, axes } : before)),
    };
    return { swapped, bought: boughtFor(context, swapped) };
  });
}

/** Purchase and variety of an answer, its energy taken as it is now [cent]. */
function boughtFor({ setup, decision }: ExplainContext, answer: OrderAnswer): number {
  const machines = setup.machines.flatMap((machine, m) => {
    const [before, own] = [decision.evaluated?.machines[m], answer.machines[m]];
    return before === undefined || own === undefined ? [] : [{ ...before, modules: modulesOf(machine, own) }];
  });
  return orderMoney(setup, answer, machines).total;
}

/** Candidates of the axis by ascending score. */
function firstBy(
  { setup: { catalogue } }: ExplainContext,
  now: JudgedAxis,
  { accepts, score }: { accepts: Accepts; score: (candidate: Candidate) => number },
): AxisColumn[] {
  const axis = acceptedAxis(now, accepts);
  const found: Scored[] = [];
  for (const look of axis.looks)
    eachCandidate(look.judged, (pair, drive, inductor, index) => {
      const candidate = candidateOf(look.judged, { pair, index, drive, inductor });
      insert(found, { visit: { look, index, drive, inductor, case: 0 }, score: score(candidate) });
    });
  return columnsOf(
    axis,
    catalogue,
    found.map(({ visit }) => visit),
  ).columns.slice();
}

function lowest(parts: readonly AnyPart[]): Float64Array {
  return Float64Array.from(parts, lowestPrice);
}

/** Lowest price of a candidate's parts [cent]. */
function priceOf({ motors, gearboxes, drives, inductors }: Catalogue): (candidate: Candidate) => number {
  const [ofMotor, ofGearbox, ofDrive, ofInductor] = [
    lowest(motors),
    lowest(gearboxes),
    lowest(drives),
    lowest(inductors),
  ];
  return ({ motor, gearbox, drive, inductor }) =>
    (ofMotor[motor] ?? 0) + (ofGearbox[gearbox] ?? 0) + (ofDrive[drive] ?? 0) + (ofInductor[inductor] ?? 0);
}

interface Scored {
  readonly visit: Visit;
  readonly score: number;
}

function insert(list: Scored[], one: Scored): void {
  const last = list.at(-1);
  if (list.length >= LOOKED_AT && last !== undefined && one.score >= last.score) return;
  const at = list.findIndex(({ score }) => one.score < score);
  list.splice(at < 0 ? list.length : at, 0, one);
  if (list.length > LOOKED_AT) list.pop();
}
