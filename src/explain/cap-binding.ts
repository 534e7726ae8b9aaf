import { type DecideOptions, type Decision, decide } from "../decide/decide.ts";
import type { Setup } from "../decide/setup.ts";
import type { LimitId } from "../machine/limit.ts";
import type { Caps } from "../machine/problem.ts";
import { type ExplainContext, isOver, totalOf } from "./context.ts";
import type { CapFound, StepFound } from "./explanation.ts";

/** A cap, and what an answer comes to against it. */
interface Cap {
  readonly id: LimitId;
  readonly key: keyof Caps;
  readonly demand: (decision: Decision) => number;
  /** The next value worth trying below one that an answer needs: one part fewer, or a hair less. */
  readonly below: (value: number) => number;
}

const oneLess = (value: number): number => value - 1;
const hairLess = (value: number): number => value * (1 - 1e-9);

function most(
  decision: Decision,
  value: (total: { price: number; mass: number; cabinetWidth: number }) => number,
): number {
  return Math.max(0, ...(decision.evaluated?.money.totals ?? []).map(value));
}

function distinct(key: "motors" | "frames" | "gearboxes" | "drives" | "makers" | "parts"): Cap["demand"] {
  return ({ evaluated }) => evaluated?.money.distinct[key] ?? 0;
}

const CAPS: readonly Cap[] = [
  { id: "caps.motors", key: "motors", demand: distinct("motors"), below: oneLess },
  { id: "caps.frames", key: "frames", demand: distinct("frames"), below: oneLess },
  { id: "caps.gearboxes", key: "gearboxes", demand: distinct("gearboxes"), below: oneLess },
  { id: "caps.drives", key: "drives", demand: distinct("drives"), below: oneLess },
  { id: "caps.makers", key: "makers", demand: distinct("makers"), below: oneLess },
  { id: "caps.parts", key: "parts", demand: distinct("parts"), below: oneLess },
  { id: "machine.price", key: "price", demand: (d) => most(d, ({ price }) => price), below: oneLess },
  { id: "machine.mass", key: "mass", demand: (d) => most(d, ({ mass }) => mass), below: hairLess },
  {
    id: "machine.cabinet_width",
    key: "cabinetWidth",
    demand: (d) => most(d, ({ cabinetWidth }) => cabinetWidth),
    below: hairLess,
  },
  {
    id: "machine.lead_time",
    key: "leadTime",
    demand: ({ evaluated }) => Math.max(0, ...(evaluated?.money.lines ?? []).map(({ part }) => part.leadTime ?? 0)),
    below: oneLess,
  },
];

/** Caps that the problem sets. */
export function capsSet({ problem }: Setup): readonly LimitId[] {
  return CAPS.filter(({ key }) => problem.caps[key] !== undefined).map(({ id }) => id);
}

/** What the order would save without a cap, and the smallest relief of the cap that saves anything. */
export async function capBinding(context: ExplainContext, id: LimitId): Promise<CapFound | undefined> {
  const cap = CAPS.find((one) => one.id === id);
  const allowed = cap === undefined ? undefined : context.setup.problem.caps[cap.key];
  if (cap === undefined || allowed === undefined) return undefined;
  const free = await decidedWith(context, cap, undefined);
  if (free.evaluated === undefined) return isOver(context) ? undefined : { id, price: 0, nextStep: undefined };
  const price = totalOf(context) - free.evaluated.money.total;
  return { id, price, nextStep: await nextStep(context, cap, { allowed, free }) };
}

/** The cheapest answer below the present total with the cap at another value, or without it. */
function decidedWith(context: ExplainContext, { key }: Cap, value: number | undefined): Promise<Decision> {
  const { [key]: _, ...others } = context.setup.problem.caps;
  const caps: Caps = value === undefined ? others : { ...others, [key]: value };
  const setup = { ...context.setup, problem: { ...context.setup.problem, caps } };
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
  { allowed, free }: { allowed: number; free: Decision },
): Promise<StepFound | undefined> {
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
    best = decision;
  }
  const demand = cap.demand(best);
  const share = allowed > 0 ? demand / allowed - 1 : 0;
  return {
    share,
    relief: [{ id: cap.id, demand, allowed }],
    part: newParts(context, best),
    total: best.evaluated?.money.total ?? totalOf(context),
    isLeast,
  };
}

/** Part numbers that come in. */
function newParts({ decision }: ExplainContext, { evaluated }: Decision): string {
  const before = new Set(decision.evaluated?.money.lines.map(({ part }) => part.part));
  const added = (evaluated?.money.lines ?? []).filter(({ part }) => !before.has(part.part));
  return added.map(({ part }) => part.part).join(", ");
}
