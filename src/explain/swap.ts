import { candidateOf, eachCandidate } from "../candidates/each-candidate.ts";
import type { Failures } from "../candidates/judge-drives.ts";
import type { OrderAnswer } from "../decide/answer.ts";
import { type AxisColumn, columnOf, judgedAxis } from "../decide/axis-columns.ts";
import type { Court } from "../decide/court.ts";
import type { Outcome } from "../decide/decide.ts";
import { stands } from "../decide/leniency.ts";
import { modulesOf } from "../decide/modules.ts";
import { orderMoney } from "../decide/money.ts";
import { type ColumnInput, partsOfPick } from "../model/order.ts";
import type { ExplainContext } from "./context.ts";

/** An axis of a machine. */
export interface AxisPlace {
  readonly machine: number;
  readonly axis: number;
}

/** So many of the cheapest candidates are looked at, and so many of those worked out. */
const LOOKED_AT = 600;
const TRIED = 40;

/**
 * The cheapest answer that changes nothing but one axis, among the candidates it may have: a first cost to beat.
 *
 * @param accepts - which failures to look at
 */
export function cheapestSwap(
  context: ExplainContext,
  { machine, axis }: AxisPlace,
  { court, accepts, upTo }: { court: Court; accepts: (failures: Failures) => boolean; upTo: number },
): Outcome | undefined {
  const { answer } = context.decision;
  const own = answer?.machines[machine];
  if (answer === undefined || own === undefined) return undefined;
  const swaps = cheapest(context, { machine, axis }, accepts).map((column) => {
    const axes = own.axes.map((pick, a) => (a === axis ? column : pick));
    const swapped: OrderAnswer = { machines: answer.machines.map((before, m) => (m === machine ? { ...own, axes } : before)) };
    return { swapped, bought: boughtFor(context, swapped) };
  });
  let best: Outcome | undefined;
  for (const { swapped } of swaps.toSorted((a, b) => a.bought - b.bought).slice(0, TRIED)) {
    const evaluated = court.evaluator.evaluate(swapped);
    const total = evaluated.money.total;
    if (total >= (best?.evaluated?.money.total ?? upTo) || !stands(evaluated, court.leniency)) continue;
    best = { status: "feasible", answer: swapped, evaluated, bound: 0, certificates: [], stats: [], models: [] };
  }
  return best;
}

/** Purchase and variety of an answer, its energy taken as it is now [cent]. */
function boughtFor({ setup, decision }: ExplainContext, answer: OrderAnswer): number {
  const machines = setup.machines.flatMap((machine, m) => {
    const [before, own] = [decision.evaluated?.machines[m], answer.machines[m]];
    return before === undefined || own === undefined ? [] : [{ ...before, modules: modulesOf(machine, own) }];
  });
  return orderMoney(setup, answer, machines).total;
}

/** Candidates of the axis at what it carries now, cheapest parts first. */
function cheapest({ setup, decision }: ExplainContext, { machine, axis }: AxisPlace, accepts: (failures: Failures) => boolean): AxisColumn[] {
  const own = setup.machines[machine]?.axes[axis];
  const carried = decision.evaluated?.machines[machine]?.axes[axis]?.carried ?? 0;
  if (own === undefined) return [];
  const range = { low: carried, high: carried };
  const { judged } = judgedAxis(own, setup.catalogue, { range, mode: "survey" });
  const found: { column: AxisColumn; price: number }[] = [];
  eachCandidate(judged, (pair, drive, inductor) => {
    const candidate = candidateOf(judged, { pair, drive, inductor });
    if (!accepts(candidate)) return;
    for (const column of columnOf(candidate, setup.catalogue, { passing: [0], cases: [range] })) insert(found, { column, price: priceOf(column) });
  });
  return found.map(({ column }) => column);
}

function priceOf(pick: Pick<ColumnInput, "motor" | "gearbox" | "drive" | "inductor">): number {
  return partsOfPick(pick).reduce((sum, { prices }) => sum + Math.min(...prices.map(({ price }) => price)), 0);
}

function insert(list: { column: AxisColumn; price: number }[], one: { column: AxisColumn; price: number }): void {
  const last = list.at(-1);
  if (list.length >= LOOKED_AT && last !== undefined && one.price >= last.price) return;
  const at = list.findIndex(({ price }) => one.price < price);
  list.splice(at < 0 ? list.length : at, 0, one);
  if (list.length > LOOKED_AT) list.pop();
}
