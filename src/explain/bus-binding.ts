import type { Court } from "../decide/court.ts";
import type { Outcome } from "../decide/decide.ts";
import type { EvaluatedBus } from "../decide/evaluate.ts";
import { STRICT } from "../decide/leniency.ts";
import { brokenOnBus, sourcesOf } from "../decide/sourcing.ts";
import type { LimitId } from "../machine/limit.ts";
import { type ExplainContext, isOver, totalOf } from "./context.ts";
import type { BusFound, StepFound } from "./explanation.ts";
import { cheapestBelow } from "./what-if.ts";

/** A bus of a machine. */
export interface BusPlace {
  readonly machine: number;
  readonly bus: number;
}

/** Limits of a bus that may be what a larger supply or a resistor is bought for. */
const BUS_LIMITS: readonly LimitId[] = [
  "supply.peak_power",
  "supply.continuous_power",
  "supply.overload",
  "supply.capacitance",
  "supply.regeneration",
  "resistor.peak_power",
  "resistor.continuous_power",
  "resistor.stop_energy",
];

/** The smallest set of a bus's limits whose joint lifting makes the order cheaper; its next step is the next part. */
export async function busBinding(context: ExplainContext, place: BusPlace): Promise<BusFound> {
  const all = await lifted(context, place, BUS_LIMITS);
  if (isOver(context)) return { kind: "not-searched" };
  if (all === undefined) return { kind: "cheapest" };
  for (const sets of [BUS_LIMITS.map((id) => [id]), pairs(BUS_LIMITS)]) {
    const found = await cheapestSet(context, place, sets);
    if (found !== undefined) return found;
  }
  return heldBy(context, place, all, brokenOf(context, all, place));
}

function pairs(ids: readonly LimitId[]): LimitId[][] {
  return ids.flatMap((one, k) => ids.slice(k + 1).map((other) => [one, other]));
}

async function cheapestSet(
  context: ExplainContext,
  place: BusPlace,
  sets: readonly (readonly LimitId[])[],
): Promise<BusFound | undefined> {
  let best: BusAnswer | undefined;
  for (const limits of sets) {
    if (isOver(context)) break;
    best = cheaperOf(best, answerOf(await lifted(context, place, limits), limits));
  }
  return best === undefined ? undefined : heldBy(context, place, best.outcome, best.limits);
}

/** An answer that lifting some limits allows, with its total [cent]. */
interface BusAnswer {
  readonly outcome: Outcome;
  readonly limits: readonly LimitId[];
  readonly total: number;
}

function answerOf(outcome: Outcome | undefined, limits: readonly LimitId[]): BusAnswer | undefined {
  const total = outcome?.evaluated?.money.total;
  return outcome === undefined || total === undefined ? undefined : { outcome, limits, total };
}

/** The first of equals. */
function cheaperOf(one: BusAnswer | undefined, other: BusAnswer | undefined): BusAnswer | undefined {
  if (one === undefined || other === undefined) return one ?? other;
  return other.total < one.total ? other : one;
}

/** The cheapest answer with some limits of the bus lifted; what was prepared holds every answer cheaper than the present one. */
function lifted(context: ExplainContext, place: BusPlace, limits: readonly LimitId[]): Promise<Outcome | undefined> {
  const mayBreak = (machine: number, bus: number, limit: LimitId): boolean =>
    machine === place.machine && bus === place.bus && limits.includes(limit);
  const { evaluator, memory, sourcing } = context.decision;
  const court: Court = { evaluator, memory, sourcing, leniency: { ...STRICT, bus: mayBreak } };
  return cheapestBelow(context, context.decision.prepared, { court, upTo: totalOf(context) });
}

function busOf({ evaluated }: Outcome, { machine, bus }: BusPlace): EvaluatedBus | undefined {
  return evaluated?.machines[machine]?.buses[bus];
}

/** What a bus breaks with every limit of it lifted: with its own supply and resistor, and with their substitutes. */
function brokenOf({ decision: { sourcing } }: ExplainContext, outcome: Outcome, place: BusPlace): readonly LimitId[] {
  const { answer, evaluated } = outcome;
  if (answer === undefined || evaluated === undefined) return [];
  const worked = { answer, evaluated };
  const substitutes = sourcesOf(sourcing, worked, { ...STRICT, bus: () => true }).flatMap(({ substitute, places }) =>
    substitute !== undefined && places.some((one) => one.kind === "bus" && isSame(one, place)) ? [substitute] : [],
  );
  const theirs = substitutes.flatMap((rival) => brokenOnBus(sourcing, worked, { rival, place }));
  return [...new Set([...(busOf(outcome, place)?.judgement.failed ?? []), ...theirs])];
}

function isSame(one: BusPlace, other: BusPlace): boolean {
  return one.machine === other.machine && one.bus === other.bus;
}

function heldBy(context: ExplainContext, place: BusPlace, outcome: Outcome, limits: readonly LimitId[]): BusFound {
  const total = outcome.evaluated?.money.total ?? totalOf(context);
  return {
    kind: "held",
    limits,
    price: totalOf(context) - total,
    nextStep: stepTo(outcome, place, total),
    isProved: !isOver(context),
  };
}

/** The step to the parts of a cheaper answer: what its supply and resistor would have to bear. */
function stepTo(outcome: Outcome, place: BusPlace, total: number): StepFound | undefined {
  const judged = busOf(outcome, place)?.judgement;
  const option = outcome.answer?.machines[place.machine]?.buses[place.bus];
  if (judged === undefined || option?.supply === undefined) return undefined;
  const broken = judged.limits.filter(({ id }) => judged.failed.includes(id));
  const shares = broken.map(({ utilisation }) => (utilisation === null ? Number.POSITIVE_INFINITY : utilisation - 1));
  // Nothing is broken where a substitute alone breaks what it is held by: there is no share then.
  const share = Math.max(...shares);
  if (!Number.isFinite(share) || broken.some(({ demand }) => !Number.isFinite(demand))) return undefined;
  const part = [option.supply.part, option.resistor?.part].filter((name) => name !== undefined).join(" with ");
  return {
    share,
    relief: broken.map(({ id, demand, allowed }) => ({ id, demand, allowed })),
    part,
    total,
    isLeast: false,
  };
}
