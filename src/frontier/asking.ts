import { type DecideOptions, type Decision, decide } from "../decide/decide.ts";
import type { JudgedAxes } from "../decide/field.ts";
import type { Setup } from "../decide/setup.ts";
import { FRONTIER_KINDS, type FrontierKind } from "../machine/frontier.ts";
import type { Multipliers } from "../solve/multipliers.ts";
import { judgedWith, useful } from "./covering.ts";
import { apartDemands, type Demand, demandsOf } from "./demands.ts";
import { placeName } from "./place-name.ts";
import { type CountCaps, fits, isLooser, type Point } from "./point.ts";
import { apartReason, coverReason, emptyReason, searchedReason } from "./reason.ts";

/** What a sweep works from: the problem made ready and judged once for all its points, and the time left. */
export interface SweepContext {
  readonly setup: Setup;
  readonly judged: JudgedAxes;
  readonly engine: DecideOptions["engine"];
  /** For the whole sweep [s]. */
  readonly secondsLeft: () => number;
  /** The same for one point: a time of its own from now on [s]. */
  readonly lasting: (time: number) => () => number;
  readonly aborted: () => boolean;
  /** Told of what is looked for. */
  readonly progress: (caps: CountCaps, note?: string) => void;
}

/** Finds the cheapest order under some caps. */
export type Ask = (caps: CountCaps) => Promise<Point>;

/** True where there is no time left to search on. */
export function isOver({ aborted, secondsLeft }: SweepContext): boolean {
  return aborted() || secondsLeft() <= 0;
}

/**
 * Answers questions with one decision each at the most. What a looser cap has shown is not searched for again: an order that
 * stays within the tighter cap already, or that there is none. Neither is what the candidates of the axes rule out alone.
 */
export function asking(context: SweepContext): Ask {
  const known: Point[] = [];
  const demands = remembering((kind: FrontierKind) => demandsOf(context.setup, context.judged, kind));
  let multipliers: Multipliers | undefined;
  const decided = async (caps: CountCaps): Promise<Point> => {
    const field = fieldUnder(context, caps, demands);
    if ("none" in field) return field.none;
    const decision = await decideUnder({ ...context, judged: field.judged }, caps, multipliers);
    multipliers ??= decision.prepared[0]?.multipliers;
    return pointOf(context.setup, caps, decision);
  };
  return async (caps) => {
    const point = remembered(known, caps) ?? (await decided(caps));
    known.push(point);
    return point;
  };
}

/** What looser caps have shown already. */
function remembered(known: readonly Point[], caps: CountCaps): Point | undefined {
  const looser = known.filter((point) => isLooser(point.caps, caps));
  const same = looser.find(({ order }) => order !== undefined && fits(order, caps));
  const none = looser.find(({ status }) => status === "infeasible");
  const found = same ?? none;
  return found === undefined ? undefined : { ...found, caps };
}

/** Candidates that an order under the caps can hold; or the caps that rule every order out. */
type Field = { readonly judged: JudgedAxes } | { readonly none: Point };

/** Lets go of candidates, cap by cap, until a cap is met by none. */
function fieldUnder(
  { setup, judged: all }: SweepContext,
  caps: CountCaps,
  demands: (kind: FrontierKind) => readonly Demand[],
): Field {
  let judged = all;
  for (const kind of FRONTIER_KINDS) {
    const cap = caps[kind];
    if (cap === undefined) continue;
    const own = demands(kind);
    const apart = apartDemands(own);
    if (apart.length > cap) return { none: noneUnder(caps, apartReason(kind, apart.slice(0, cap + 1))) };
    const kept = useful(own, cap);
    if (kept === undefined) continue;
    if (own.length > 0 && kept.among.size === 0) return { none: noneUnder(caps, coverReason(kind, cap)) };
    judged = judgedWith(judged, setup.catalogue, { kind, demands: own, kept });
  }
  return { judged };
}

function noneUnder(caps: CountCaps, reason: string): Point {
  return { caps, status: "infeasible", bound: Number.POSITIVE_INFINITY, reason };
}

/** Decides with the caps tightened; one point takes half of the time left at most, so that others get their turn. */
function decideUnder(context: SweepContext, caps: CountCaps, multipliers: Multipliers | undefined): Promise<Decision> {
  const { engine, aborted, secondsLeft, lasting, progress, judged } = context;
  progress(caps);
  const options: DecideOptions = {
    engine,
    aborted,
    secondsLeft: lasting(secondsLeft() / 2),
    progress: (note) => progress(caps, note),
    ties: true,
    ...(multipliers === undefined ? {} : { multipliers }),
  };
  return decide(cappedSetup(context.setup, caps), options, judged);
}

/** The same problem with its caps on counts tightened; what it caps already stays capped. */
function cappedSetup(setup: Setup, caps: CountCaps): Setup {
  const tightened = FRONTIER_KINDS.flatMap((kind) => {
    const [own, asked] = [setup.problem.caps[kind], caps[kind]];
    const least = Math.min(own ?? Number.POSITIVE_INFINITY, asked ?? Number.POSITIVE_INFINITY);
    return Number.isFinite(least) ? [[kind, least] as const] : [];
  });
  const problem = { ...setup.problem, caps: { ...setup.problem.caps, ...Object.fromEntries(tightened) } };
  return { ...setup, problem };
}

function pointOf(setup: Setup, caps: CountCaps, decision: Decision): Point {
  const { status, bound, answer, evaluated, sourcing } = decision;
  if (answer !== undefined && evaluated !== undefined)
    return { caps, status, bound, order: { answer, evaluated, sourcing } };
  return { caps, status, bound, ...(status === "infeasible" ? { reason: reasonOf(setup, caps, decision) } : {}) };
}

function reasonOf(setup: Setup, caps: CountCaps, { empty }: Decision): string {
  if (Object.keys(caps).length > 0) return searchedReason(caps);
  const places = empty.flatMap(({ machine, axis }) => {
    const own = setup.machines[machine];
    return own === undefined ? [] : [placeName(setup, own.machine, own.axes[axis]?.axis.id ?? "")];
  });
  return places.length > 0 ? emptyReason(places) : searchedReason(caps);
}

function remembering<A, V>(work: (of: A) => V): (of: A) => V {
  const known = new Map<A, V>();
  return (of) => {
    const before = known.get(of);
    if (before !== undefined) return before;
    const made = work(of);
    known.set(of, made);
    return made;
  };
}
