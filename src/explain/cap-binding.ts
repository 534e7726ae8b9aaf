import { type DecideOptions, type Decision, decide } from "../decide/decide.ts";
import type { OrderMoney } from "../decide/money.ts";
import type { Problem } from "../machine/problem.ts";
import { type Cap, type CapSet, withCap } from "./caps.ts";
import { type ExplainContext, isOver, totalOf } from "./context.ts";
import type { CapFound, StepFound } from "./explanation.ts";

/** What the order would save without a cap, and the smallest relief of the cap that saves anything. */
export async function capBinding(context: ExplainContext, { cap, allowed }: CapSet): Promise<CapFound | undefined> {
  const { id } = cap;
  const { evaluated: free } = await decidedWith(context, cap, undefined);
  if (free === undefined) return isOver(context) ? undefined : { id, price: 0, nextStep: undefined };
  const price = totalOf(context) - free.money.total;
  return { id, price, nextStep: await nextStep(context, cap, { allowed, free: free.money }) };
}

/** The cheapest answer below the present total with the cap at another value, or without it. */
function decidedWith(context: ExplainContext, cap: Cap, value: number | undefined): Promise<Decision> {
  return decidedAs(context, withCap(context.setup.problem, cap, value));
}

/** What the order would save without dual source. */
export async function dualSourceBinding(context: ExplainContext): Promise<CapFound | undefined> {
  const { evaluated } = await decidedAs(context, { ...context.setup.problem, dualSource: [] });
  if (evaluated === undefined && isOver(context)) return undefined;
  const price = evaluated === undefined ? 0 : totalOf(context) - evaluated.money.total;
  return { id: "order.dual_source", price, nextStep: undefined };
}

/** The cheapest answer below the present total of a problem with the same axes and other demands on the order. */
function decidedAs(context: ExplainContext, problem: Problem): Promise<Decision> {
  const setup = { ...context.setup, problem };
  const { engine, secondsLeft, aborted, decision } = context;
  const [first] = decision.prepared;
  const options: DecideOptions = {
    engine,
    secondsLeft,
    aborted,
    progress: () => undefined,
    ties: false,
    cutoff: totalOf(context),
    ...(first === undefined ? {} : { multipliers: first.multipliers }),
  };
  return decide(setup, options, decision.judged);
}

async function nextStep(
  context: ExplainContext,
  cap: Cap,
  { allowed, free }: { allowed: number; free: OrderMoney },
): Promise<StepFound> {
  let best = free;
  let isLeast = false;
  while (!isOver(context)) {
    const tighter = cap.below(cap.demand(best));
    if (tighter <= allowed) {
      isLeast = true;
      break;
    }
    const decision = await decidedWith(context, cap, tighter);
    if (decision.evaluated === undefined) {
      isLeast = decision.status === "infeasible";
      break;
    }
    best = decision.evaluated.money;
  }
  const demand = cap.demand(best);
  const share = allowed > 0 ? demand / allowed - 1 : 0;
  return {
    share,
    relief: [{ id: cap.id, demand, allowed }],
    part: newParts(context, best),
    total: best.total,
    isLeast,
  };
}

/** Part numbers that come in. */
function newParts({ decision }: ExplainContext, { lines }: OrderMoney): string {
  const before = new Set(decision.evaluated?.money.lines.map(({ part }) => part.part));
  const added = lines.filter(({ part }) => !before.has(part.part));
  return added.map(({ part }) => part.part).join(", ");
}
