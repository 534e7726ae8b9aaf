import { type DecideOptions, type Decision, decide } from "../decide/decide.ts";
import type { JudgedAxes } from "../decide/field.ts";
import type { Setup } from "../decide/setup.ts";
import { FRONTIER_KINDS } from "../machine/frontier.ts";
import type { Multipliers } from "../solve/multipliers.ts";
import { compareTies } from "../solve/tie-key.ts";
import { fieldsUnder, shareOuts } from "./fields.ts";
import { placeName } from "./place-name.ts";
import { type CountCaps, fits, isLooser, type Point, totalOf } from "./point.ts";
import { emptyReason, searchedReason } from "./reason.ts";

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
 * Answers questions, most with one decision, some with one for each of their parts. What a looser cap has shown is not searched for again: an order that
 * stays within the tighter cap already, or that there is none. Neither is what the candidates of the axes rule out alone.
 */
export function asking(context: SweepContext): Ask {
  const known: Point[] = [];
  let multipliers: Multipliers | undefined;
  const decidedOn = async (judged: JudgedAxes, { caps, secondsLeft, cutoff }: Question): Promise<Point> => {
    const decision = await decideUnder({ ...context, judged, secondsLeft }, { caps, cutoff, multipliers });
    multipliers ??= decision.prepared[0]?.multipliers;
    return pointOf(context.setup, caps, decision);
  };
  const decided = async (question: Question): Promise<Point> => {
    const { caps } = question;
    const found = fieldsUnder(context.setup, context.judged, caps);
    if ("none" in found) return noneUnder(caps, found.none);
    const parts = found.fields.map((judged) => async (cutoff: number) => decidedOn(judged, { ...question, cutoff }));
    return bestOf(question, parts);
  };
  const asked = async (caps: CountCaps): Promise<Point> => {
    // One point takes half of the time left at most, so that others get their turn.
    const question = {
      caps,
      secondsLeft: context.lasting(context.secondsLeft() / 2),
      cutoff: Number.POSITIVE_INFINITY,
      isOver: () => isOver(context),
    };
    const shares = shareOuts(context.setup, context.judged, caps);
    if (shares.length === 0) return decided(question);
    const parts = shares.map((share) => async (cutoff: number) => decided({ ...question, caps: share, cutoff }));
    return bestOf(question, parts);
  };
  return async (caps) => {
    const point = remembered(known, caps) ?? (await asked(caps));
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

/** What is asked: the cheapest order under some caps, if it is cheaper than a cutoff. */
interface Question {
  readonly caps: CountCaps;
  /** [s] */
  readonly secondsLeft: () => number;
  /** [cent] */
  readonly cutoff: number;
  /** True where there is no time left for anything. */
  readonly isOver: () => boolean;
}

/** The cheapest of what the parts of a question give, each asked for what beats those before; what one leaves open stays open. */
async function bestOf(
  { caps, cutoff, secondsLeft, isOver: isEnded }: Question,
  parts: readonly ((cutoff: number) => Promise<Point>)[],
): Promise<Point> {
  const points: Point[] = [];
  for (const part of parts) {
    // Looking at a part takes its time even where none is left: what was not asked stays open.
    if (points.length > 0 && (isEnded() || secondsLeft() <= 0)) return boundless(caps, bestAmong(points));
    const best = bestAmong(points);
    // An order of the same cost is wanted, too: the tie rule may prefer it.
    points.push(await part(Math.min(cutoff, best === undefined ? Number.POSITIVE_INFINITY : totalOf(best) + 1)));
  }
  const best = bestAmong(points);
  const bound = Math.min(...points.map((point) => (point.status === "optimal" ? totalOf(point) : point.bound)));
  if (best?.order === undefined) return nothingUnder(caps, points, bound);
  const total = totalOf(best);
  return { caps, status: bound >= total ? "optimal" : "feasible", bound: Math.min(bound, total), order: best.order };
}

function bestAmong(points: readonly Point[]): Point | undefined {
  return points.filter(({ order }) => order !== undefined).toSorted(byTotal)[0];
}

/** No part has an order: there is none where each is sure of it. */
function nothingUnder(caps: CountCaps, points: readonly Point[], bound: number): Point {
  if (points.some(({ status }) => status !== "infeasible")) return { caps, status: "unknown", bound };
  const [only, ...others] = points;
  return noneUnder(caps, others.length === 0 ? (only?.reason ?? searchedReason(caps)) : searchedReason(caps));
}

/** What is known where parts were left out: the order found, and no bound. */
function boundless(caps: CountCaps, best: Point | undefined): Point {
  if (best?.order === undefined) return { caps, status: "unknown", bound: 0 };
  return { caps, status: "feasible", bound: 0, order: best.order };
}

/** Cheapest first, orders of equal cost by the tie rule. */
function byTotal(one: Point, other: Point): number {
  const more = totalOf(one) - totalOf(other);
  const [tie, otherTie] = [one.order?.tie, other.order?.tie];
  return more !== 0 || tie === undefined || otherTie === undefined ? more : compareTies(tie, otherTie);
}

function noneUnder(caps: CountCaps, reason: string): Point {
  return { caps, status: "infeasible", bound: Number.POSITIVE_INFINITY, reason };
}

/** How one decision is asked for. */
interface Asked {
  readonly caps: CountCaps;
  readonly cutoff: number;
  readonly multipliers: Multipliers | undefined;
}

/** Decides with the caps tightened. */
function decideUnder(context: SweepContext, { caps, cutoff, multipliers }: Asked): Promise<Decision> {
  const { engine, aborted, secondsLeft, progress, judged } = context;
  progress(caps);
  const options: DecideOptions = {
    engine,
    aborted,
    secondsLeft,
    progress: (note) => progress(caps, note),
    ties: true,
    ...(Number.isFinite(cutoff) ? { cutoff } : {}),
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
  const { status, bound, answer, evaluated, sourcing, tie } = decision;
  if (answer !== undefined && evaluated !== undefined)
    return { caps, status, bound, order: { answer, evaluated, sourcing, tie } };
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
