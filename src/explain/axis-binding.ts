import { failedCount, failedLimits } from "../candidates/limit-scan.ts";
import type { Court } from "../decide/court.ts";
import type { Outcome } from "../decide/decide.ts";
import type { EvaluatedAxis } from "../decide/evaluate.ts";
import type { JudgedAxes } from "../decide/field.ts";
import { type Accepts, acceptedAxis, ENFORCE, type JudgedAxis, judgedAxis } from "../decide/judged-axis.ts";
import { type Breach, type Leniency, STRICT } from "../decide/leniency.ts";
import type { MassCase } from "../decide/mass-cases.ts";
import { rangeOf } from "../decide/narrow.ts";
import { ridersFirst } from "../decide/setup.ts";
import { breachAt } from "../decide/source-breach.ts";
import type { Limit, LimitId } from "../machine/limit.ts";
import type { PickNames } from "../machine/result.ts";
import { type ExplainContext, isOver, totalOf } from "./context.ts";
import type { BindingFound, StepFound } from "./explanation.ts";
import { type AxisPlace, cheapestSwap, leastSwap } from "./swap.ts";
import { cheapestOf } from "./what-if.ts";

/**
 * The smallest set of an axis's limits whose joint lifting makes the order cheaper, what it saves, and the smallest relief
 * that changes the answer.
 *
 * An answer uses one candidate of the axis; if it breaks n limits, lifting just those n lets it through. So the cheapest
 * answer among candidates that break n limits gives the set of that size that saves most.
 */
export async function axisBinding(context: ExplainContext, place: AxisPlace): Promise<BindingFound> {
  const one = await savedWith(context, place, 1);
  if (one !== undefined) return heldBy(context, one);
  if (isOver(context)) return { kind: "not-searched" };
  const all = await savedWith(context, place, Number.POSITIVE_INFINITY);
  if (all === undefined) return isOver(context) ? { kind: "not-searched" } : { kind: "cheapest" };
  for (let size = 2; size < all.breach.failed.length; size++) {
    const found = await savedWith(context, place, size);
    if (found !== undefined) return heldBy(context, found);
    if (isOver(context)) return { kind: "not-searched" };
  }
  return heldBy(context, all);
}

/** An axis with the candidates that fail few enough limits: over all it may carry, and at what it carries now. */
interface AxisSearch {
  readonly place: AxisPlace;
  readonly survey: JudgedAxis;
  readonly now: JudgedAxis;
}

function searchOf({ setup, decision }: ExplainContext, place: AxisPlace, most: number): AxisSearch | undefined {
  const own = setup.machines[place.machine]?.axes[place.axis];
  const range = decision.judged[place.machine]?.[place.axis]?.range;
  if (own === undefined || range === undefined) return undefined;
  const surveyed = (over: MassCase): JudgedAxis => judgedAxis(own, setup.catalogue, { range: over, judging: { most } });
  const survey = surveyed(range);
  const carried = evaluatedAt(decision, place)?.carried ?? 0;
  const now = range.low === range.high ? survey : surveyed({ low: carried, high: carried });
  return { place, survey, now };
}

/** A cheaper answer whose pick of the axis, or a substitute of its parts, breaks some limits. */
interface Saved {
  readonly search: AxisSearch;
  readonly outcome: Outcome;
  readonly picked: EvaluatedAxis;
  readonly breach: Breach;
  readonly isProved: boolean;
}

/** The cheapest answer below the present total whose pick of the axis breaks at most so many limits. */
async function savedWith(context: ExplainContext, place: AxisPlace, size: number): Promise<Saved | undefined> {
  const search = searchOf(context, place, size);
  if (search === undefined) return undefined;
  const total = totalOf(context);
  const accepts: Accepts = remembering((failed) => failedCount(failed) <= size);
  const court = courtFor(context, place, ({ failed }) => failed.length <= size);
  const swap = cheapestSwap(context, search, {
    court,
    accepts: (failed, by) => failed > 0 && accepts(failed, by),
    upTo: total,
  });
  const better = isOver(context)
    ? undefined
    : await cheapestOf(context, {
        setup: context.setup,
        judged: judgedWith(context, search, accepts),
        court,
        upTo: swap?.evaluated?.money.total ?? total,
      });
  const outcome = better ?? swap;
  const found = brokenAt(outcome, place, court);
  return outcome === undefined || found === undefined
    ? undefined
    : { search, outcome, ...found, isProved: !isOver(context) };
}

async function heldBy(
  context: ExplainContext,
  { search, outcome, picked, breach, isProved }: Saved,
): Promise<BindingFound> {
  const limits = breach.failed;
  const first = stepOf({ picked, breach }, outcome, limits);
  return {
    kind: "held",
    limits,
    price: totalOf(context) - first.total,
    unlimited: namesOf(picked),
    isProved,
    nextStep: await nextStep(context, search, { limits, first }),
  };
}

/** Candidates of all axes, those of one by what they may fail. What carries it is judged anew. */
function judgedWith(
  { setup, decision }: ExplainContext,
  { place: { machine: m, axis: a }, survey }: AxisSearch,
  accepts: Accepts,
): JudgedAxes {
  return decision.judged.map((axes, index) => {
    const machine = setup.machines[index];
    if (index !== m || machine === undefined) return axes;
    const found: JudgedAxis[] = [...axes];
    found[a] = acceptedAxis(survey, accepts);
    for (const at of ridersFirst(machine)) {
      const own = machine.axes[at];
      if (own?.riders.includes(a) === true)
        found[at] = judgedAxis(own, setup.catalogue, { range: rangeOf(own, found, setup.catalogue), judging: ENFORCE });
    }
    return found;
  });
}

function courtFor(
  { decision: { evaluator, memory, sourcing } }: ExplainContext,
  place: AxisPlace,
  mayBreak: (breach: Breach) => boolean,
): Court {
  const leniency: Leniency = {
    ...STRICT,
    axis: (machine, axis, breach) => machine === place.machine && axis === place.axis && mayBreak(breach),
  };
  return { evaluator, memory, sourcing, leniency };
}

function evaluatedAt(outcome: Outcome | undefined, { machine, axis }: AxisPlace): EvaluatedAxis | undefined {
  return outcome?.evaluated?.machines[machine]?.axes[axis];
}

/** An axis of an answer, and what it breaks with the substitutes of its parts. */
interface Broken {
  readonly picked: EvaluatedAxis;
  readonly breach: Breach;
}

function brokenAt(outcome: Outcome | undefined, place: AxisPlace, { sourcing, leniency }: Court): Broken | undefined {
  const picked = evaluatedAt(outcome, place);
  const { answer, evaluated } = outcome ?? {};
  if (answer === undefined || evaluated === undefined || picked === undefined) return undefined;
  return { picked, breach: breachAt({ sourcing, worked: { answer, evaluated }, leniency }, place) ?? picked.judgement };
}

function namesOf({ pick: { motor, gearbox, drive } }: EvaluatedAxis): PickNames {
  return { motor: motor.part, gearbox: gearbox?.part ?? null, ratio: gearbox?.ratio ?? 1, drive: drive.part };
}

interface StepSearch {
  readonly limits: readonly LimitId[];
  /** The answer without these limits, as a step. */
  readonly first: StepFound;
}

/**
 * Looks for a cheaper answer with less and less relief of the limits, until there is none. A change of this axis alone
 * comes first: it is seldom beaten, and proving that is quick.
 */
async function nextStep(
  context: ExplainContext,
  search: AxisSearch,
  { limits, first }: StepSearch,
): Promise<StepFound | undefined> {
  const isAmong = remembering((failed) => failedLimits(failed).every((id) => limits.includes(id)));
  const cheapest = cheapestWithin(context, search, { limits, isAmong });
  const swap = swapStep(context, search, { limits, isAmong });
  let found = lesser(first, swap);
  // A change of this axis alone need not be the cheapest answer with its relief; what solving brings is.
  let isCheapest = found === first;
  let isLeast = false;
  while (!isLeast && !isOver(context)) {
    const less = await cheapest(found.share * (1 - HAIR), totalOf(context));
    isLeast = less === undefined && !isOver(context);
    isCheapest ||= less !== undefined;
    found = less ?? found;
  }
  if (!Number.isFinite(found.share)) return undefined;
  const cheaper = isLeast && !isCheapest ? await cheapest(found.share * (1 + HAIR), found.total) : undefined;
  return { ...(cheaper ?? found), isLeast };
}

interface AmongLimits {
  readonly limits: readonly LimitId[];
  /** Whether all failures are among the limits. */
  readonly isAmong: (failed: number) => boolean;
}

/** The cheapest answer below a total that breaks the limits by less than a share, as a step. */
function cheapestWithin(
  context: ExplainContext,
  search: AxisSearch,
  { limits, isAmong }: AmongLimits,
): (below: number, upTo: number) => Promise<StepFound | undefined> {
  const { place } = search;
  return async (below, upTo) => {
    const court = courtFor(context, place, (breach) => isWithin(breach, limits, below));
    const judged = judgedWith(context, search, (failed, by) => by - 1 < below && isAmong(failed));
    const outcome = await cheapestOf(context, { setup: context.setup, judged, court, upTo });
    const found = brokenAt(outcome, place, court);
    return outcome === undefined || found === undefined ? undefined : stepOf(found, outcome, limits);
  };
}

/** A change of this axis alone that breaks the limits least. */
function swapStep(
  context: ExplainContext,
  search: AxisSearch,
  { limits, isAmong }: AmongLimits,
): StepFound | undefined {
  const court = courtFor(context, search.place, (breach) => isWithin(breach, limits, Number.POSITIVE_INFINITY));
  const accepts: Accepts = (failed) => failed > 0 && isAmong(failed);
  const swap = leastSwap(context, search, { court, accepts, upTo: totalOf(context) });
  const found = brokenAt(swap, search.place, court);
  return swap === undefined || found === undefined ? undefined : stepOf(found, swap, limits);
}

function lesser(one: StepFound, other: StepFound | undefined): StepFound {
  return other !== undefined && other.share < one.share ? other : one;
}

function stepOf({ picked, breach }: Broken, outcome: Outcome, limits: readonly LimitId[]): StepFound {
  return {
    share: shareOf(breach, limits),
    relief: reliefOf(breach, limits),
    part: picked.pick.motor.part,
    pick: namesOf(picked),
    total: outcome.evaluated?.money.total ?? Number.POSITIVE_INFINITY,
    isLeast: false,
  };
}

/** Only the named limits are broken, each by less than a share. */
function isWithin(breach: Breach, limits: readonly LimitId[], below: number): boolean {
  return breach.failed.every((id) => limits.includes(id)) && shareOf(breach, limits) < below;
}

/** Steps that differ by a smaller share count as one: quick and exact judging agree to about this. */
const HAIR = 1e-6;

/** Remembers the verdict on each set of failures: there are few, met very often. */
function remembering(verdict: (failed: number) => boolean): (failed: number) => boolean {
  const known = new Map<number, boolean>();
  return (failed) => {
    const before = known.get(failed);
    if (before !== undefined) return before;
    const found = verdict(failed);
    known.set(failed, found);
    return found;
  };
}

function broken({ failed, limits: all }: Breach, limits: readonly LimitId[]): Limit[] {
  return all.filter(({ id }) => failed.includes(id) && limits.includes(id));
}

/** Utilisation beyond 1 that the breach needs; Infinity where a limit cannot be met at any share. */
function shareOf(breach: Breach, limits: readonly LimitId[]): number {
  const shares = broken(breach, limits).map(({ utilisation }) =>
    utilisation === null ? Number.POSITIVE_INFINITY : utilisation - 1,
  );
  const known = broken(breach, limits).length === breach.failed.length;
  return known ? Math.max(...shares) : Number.POSITIVE_INFINITY;
}

function reliefOf(breach: Breach, limits: readonly LimitId[]): StepFound["relief"] {
  return broken(breach, limits).map(({ id, demand, allowed }) => ({ id, demand, allowed }));
}
