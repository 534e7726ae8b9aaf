import type { Failures } from "../candidates/judge-drives.ts";
import { failedCount, failedLimits } from "../candidates/limit-scan.ts";
import { type AxisColumn, type JudgedAxis, judgedAxis } from "../decide/axis-columns.ts";
import type { Court } from "../decide/court.ts";
import type { Outcome } from "../decide/decide.ts";
import { type EvaluatedAxis, evaluatorOf } from "../decide/evaluate.ts";
import { type Breach, type Leniency, STRICT } from "../decide/leniency.ts";
import { rangeOf } from "../decide/narrow.ts";
import type { Prepared } from "../decide/prepare.ts";
import { ridersFirst } from "../decide/setup.ts";
import type { JudgedAxes } from "../decide/sift.ts";
import type { Limit, LimitId } from "../machine/limit.ts";
import { type ExplainContext, isOver, totalOf } from "./context.ts";
import type { PickNames } from "../machine/result.ts";
import type { BindingFound, StepFound } from "./explanation.ts";
import { type AxisPlace, cheapestSwap } from "./swap.ts";
import { cheapestBelow, cheapestOf, prepareAll } from "./what-if.ts";

/** Sets of up to so many limits are looked for one size after the other. */
const LARGEST_SET = 4;

/**
 * The smallest set of an axis's limits whose joint lifting makes the order cheaper, what it saves, and the smallest relief
 * that changes the answer.
 *
 * An answer uses one candidate of the axis; if it breaks n limits, lifting just those n lets it through. So the cheapest
 * answer among candidates that break n limits gives the set of that size that saves most.
 */
export async function axisBinding(context: ExplainContext, place: AxisPlace): Promise<BindingFound> {
  for (let size = 1; size <= LARGEST_SET; size++) {
    if (isOver(context)) return { kind: "not-searched" };
    const found = await withSetOf(context, place, size);
    if (found !== undefined) return found;
    if (size === 2 && (await withSetOf(context, place, Number.POSITIVE_INFINITY)) === undefined) break;
  }
  return isOver(context) ? { kind: "not-searched" } : { kind: "cheapest" };
}

async function withSetOf(context: ExplainContext, place: AxisPlace, size: number): Promise<BindingFound | undefined> {
  const total = totalOf(context);
  const judged = surveyed(context, place, (failures) => failedCount(failures.failed) <= size);
  const court = courtFor(context, place, ({ failed }) => failed.length <= size);
  const swap = cheapestSwap(context, place, { court, accepts: ({ failed }) => failed > 0 && failedCount(failed) <= size, upTo: total });
  const better = await cheapestOf(context, { setup: context.setup, judged, court, upTo: swap?.evaluated?.money.total ?? total });
  const outcome = better ?? swap;
  const picked = evaluatedAt(outcome, place);
  if (outcome?.evaluated === undefined || picked === undefined) return undefined;
  const limits = picked.judgement.failed;
  const first = stepOf(picked, outcome, limits);
  return {
    kind: "held",
    limits,
    price: total - outcome.evaluated.money.total,
    unlimited: namesOf(picked),
    nextStep: await nextStep(context, place, { limits, first }),
  };
}

/** Candidates of all axes with one axis surveyed: what it fails is noted, not enforced. What carries it is judged anew. */
function surveyed(
  { setup, decision }: ExplainContext,
  { machine: m, axis: a }: AxisPlace,
  accepts: (failures: Failures) => boolean,
): JudgedAxes {
  return decision.judged.map((axes, index) => {
    const machine = setup.machines[index];
    if (index !== m || machine === undefined) return axes;
    const found: JudgedAxis[] = [...axes];
    for (const at of ridersFirst(machine)) {
      const own = machine.axes[at];
      const before = axes[at];
      if (own === undefined || before === undefined) continue;
      if (at === a) found[at] = { ...judgedAxis(own, setup.catalogue, { range: before.range, mode: "survey" }), accepts };
      else if (own.riders.includes(a)) found[at] = judgedAxis(own, setup.catalogue, { range: rangeOf(own, found, setup.catalogue), mode: "enforce" });
    }
    return found;
  });
}

function courtFor({ setup }: ExplainContext, place: AxisPlace, mayBreak: (breach: Breach) => boolean): Court {
  const leniency: Leniency = { ...STRICT, axis: (machine, axis, breach) => machine === place.machine && axis === place.axis && mayBreak(breach) };
  return { evaluator: evaluatorOf(setup), leniency };
}

function evaluatedAt(outcome: Outcome | undefined, { machine, axis }: AxisPlace): EvaluatedAxis | undefined {
  return outcome?.evaluated?.machines[machine]?.axes[axis];
}

function namesOf({ pick: { motor, gearbox, drive } }: EvaluatedAxis): PickNames {
  return { motor: motor.part, gearbox: gearbox?.part ?? null, ratio: gearbox?.ratio ?? 1, drive: drive.part };
}

interface StepSearch {
  readonly limits: readonly LimitId[];
  /** The answer without these limits, as a step. */
  readonly first: StepFound;
}

/** So many candidates can be asked again and again. */
const SMALL = 1500;

/** Looks for a cheaper answer with less and less relief of the limits, until there is none. */
async function nextStep(context: ExplainContext, place: AxisPlace, { limits, first }: StepSearch): Promise<StepFound | undefined> {
  let found = first;
  let prepared: readonly Prepared[] | undefined;
  while (!isOver(context)) {
    const below = found.share;
    const within = ({ failed, by }: Failures): boolean => isAmong(failed, limits) && by - 1 < below;
    const court = courtFor(context, place, (breach) => isWithin(breach, limits, below));
    const whatIf = { setup: context.setup, judged: surveyed(context, place, within), court, upTo: totalOf(context) };
    prepared ??= smallOnly(prepareAll(context, whatIf));
    const outcome =
      prepared === undefined
        ? await cheapestOf(context, whatIf)
        : await cheapestBelow(context, prepared.map((ready) => withColumns(ready, place, within)), { court, upTo: whatIf.upTo });
    const picked = evaluatedAt(outcome, place);
    if (outcome === undefined || picked === undefined) break;
    found = stepOf(picked, outcome, limits);
  }
  return Number.isFinite(found.share) ? found : undefined;
}

function smallOnly(prepared: readonly Prepared[]): readonly Prepared[] | undefined {
  const size = prepared.reduce((sum, { columns }) => sum + columns.flat().reduce((all, axis) => all + axis.columns.length, 0), 0);
  return size <= SMALL ? prepared : undefined;
}

function stepOf(picked: EvaluatedAxis, outcome: Outcome, limits: readonly LimitId[]): StepFound {
  return {
    share: shareOf(picked.judgement, limits),
    relief: reliefOf(picked.judgement, limits),
    part: picked.pick.motor.part,
    pick: namesOf(picked),
    total: outcome.evaluated?.money.total ?? Number.POSITIVE_INFINITY,
  };
}

/** Only the named limits are broken, each by less than a share. */
function isWithin(breach: Breach, limits: readonly LimitId[], below: number): boolean {
  return breach.failed.every((id) => limits.includes(id)) && shareOf(breach, limits) < below * (1 - 1e-9);
}

function isAmong(failed: number, limits: readonly LimitId[]): boolean {
  return failedLimits(failed).every((id) => limits.includes(id));
}

function broken({ failed, limits: all }: Breach, limits: readonly LimitId[]): Limit[] {
  return all.filter(({ id }) => failed.includes(id) && limits.includes(id));
}

/** Utilisation beyond 1 that the breach needs; Infinity where a limit cannot be met at any share. */
function shareOf(breach: Breach, limits: readonly LimitId[]): number {
  const shares = broken(breach, limits).map(({ utilisation }) => (utilisation === null ? Number.POSITIVE_INFINITY : utilisation - 1));
  const known = broken(breach, limits).length === breach.failed.length;
  return known ? Math.max(...shares) : Number.POSITIVE_INFINITY;
}

function reliefOf(breach: Breach, limits: readonly LimitId[]): StepFound["relief"] {
  return broken(breach, limits).map(({ id, demand, allowed }) => ({ id, demand, allowed }));
}

/** The same preparation with only some columns of one axis; all of them where what rides on it settles what it fails. */
function withColumns(ready: Prepared, { machine, axis }: AxisPlace, keep: (column: AxisColumn) => boolean): Prepared {
  const columns = ready.columns.map((axes, m) =>
    axes.map((own, a) => (m === machine && a === axis && own.setup.riders.length === 0 ? { ...own, columns: own.columns.filter(keep) } : own)),
  );
  return { ...ready, columns };
}
