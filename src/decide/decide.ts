import type { SelectionModel } from "../model/selection.ts";
import type { Multipliers } from "../solve/multipliers.ts";
import type { Certificate, SolveStats } from "../solve/outcome.ts";
import { compareTies, type TieKey, tieKeyOf } from "../solve/tie-key.ts";
import type { OrderAnswer } from "./answer.ts";
import { type BrakingClass, type Brakings, brakingsOf } from "./braking-classes.ts";
import { cappedAxes } from "./capped.ts";
import type { Court, Standing } from "./court.ts";
import { type EvaluatedOrder, type Evaluator, evaluatorOf } from "./evaluate.ts";
import type { JudgedAxes } from "./field.ts";
import type { Finder } from "./finder.ts";
import { type Leniency, STRICT } from "./leniency.ts";
import { emptyAxes, judgedAxes } from "./narrow.ts";
import { type Looks, looksOf, openClasses } from "./other-brakings.ts";
import { type PowerMemory, powerMemory } from "./power-memory.ts";
import { type Prepared, type PrepareTask, prepare } from "./prepare.ts";
import { punctual } from "./punctual.ts";
import { answerOf, roundOf } from "./round.ts";
import { type SearchOptions, searching } from "./searching.ts";
import type { Setup } from "./setup.ts";
import { sourcedAxes, sourcedOptions } from "./sourced.ts";
import { type Sourcing, sourcingOf } from "./sourcing.ts";

/** How to decide: engine, time, and what is wanted. */
export interface DecideOptions extends SearchOptions {
  readonly progress: (note: string) => void;
  readonly leniency?: Leniency;
  /** Multipliers that were good for a question much like this one: a start. */
  readonly multipliers?: Multipliers;
  /** Finds in place of searching. */
  readonly finderOf?: (court: Court) => Finder;
}

export type DecisionStatus = "optimal" | "feasible" | "infeasible" | "unknown";

/** What was decided, and what it was decided among. */
export interface Decision extends Outcome {
  readonly judged: JudgedAxes;
  /** Those of them whose parts have substitutes on their axis, where the problem demands it; otherwise the same. */
  readonly sourced: JudgedAxes;
  /** Axes without a candidate, substitutes aside. */
  readonly empty: readonly { readonly machine: number; readonly axis: number }[];
  /** What the solver was given, way of braking by way of braking. */
  readonly prepared: readonly Prepared[];
  /** What was proved at first sight; absent where nothing was looked at. */
  readonly looks: Looks | undefined;
  /** What answers were worked out with. */
  readonly evaluator: Evaluator;
  /** What its parts' substitutes were judged with. */
  readonly sourcing: Sourcing;
  readonly memory: PowerMemory;
}

/** What solving brought. */
export interface Outcome {
  readonly status: DecisionStatus;
  readonly answer?: OrderAnswer;
  readonly evaluated?: EvaluatedOrder;
  /** What decides between answers of the same cost; absent without a model to read it from. */
  readonly tie?: TieKey;
  /** No answer costs less [cent]. */
  readonly bound: number;
  readonly certificates: readonly Certificate[];
  readonly stats: readonly SolveStats[];
  /** Models with the rows that answers broke, one for each way of braking that was looked into. */
  readonly models: readonly SelectionModel[];
}

/**
 * The loop around the solver: judge, sift, build, narrow what can ride, solve with exact rows made as answers break them.
 *
 * Every answer is worked out exactly with true carried masses before it counts; wrong ones are cut off. Supplies that feed
 * back are looked into apart from those that do not, because the energy bill has another form with them.
 */
export async function decide(
  setup: Setup,
  options: DecideOptions,
  judged: JudgedAxes = judgedAxes(setup),
): Promise<Decision> {
  const empty = emptyAxes(judged);
  const evaluator = evaluatorOf(setup);
  const memory = powerMemory();
  const sourcing = sourcingOf(setup, evaluator);
  const sourced = sourcedAxes(setup, judged, sourcing.rivals);
  const fed = sourcedOptions(setup, sourcing.rivals);
  const found = { judged, sourced, empty, evaluator, sourcing, memory };
  if (empty.length > 0 || !hasChoices(fed, sourced)) return { ...NOTHING, ...found, prepared: [], looks: undefined };
  const court: Court = { evaluator, memory, sourcing, leniency: options.leniency ?? STRICT };
  const left = punctual(fed, sourced);
  const search: Search = {
    options,
    court,
    finder: options.finderOf?.(court) ?? searching(court, options),
    judged: cappedAxes(left.setup, left.judged),
    prepared: [],
    looks: undefined,
    outcome: NOTHING,
    seen: undefined,
  };
  if (hasChoices(left.setup, search.judged)) await searchAll(search, left.setup);
  const { outcome, seen, prepared, looks } = search;
  return { ...withSeen(outcome, seen), ...found, prepared, looks };
}

/** How far deciding has come. */
interface Search {
  readonly options: DecideOptions;
  readonly court: Court;
  readonly finder: Finder;
  /** What caps leave room for. */
  readonly judged: JudgedAxes;
  readonly prepared: Prepared[];
  looks: Looks | undefined;
  outcome: Outcome;
  /** The best answer met on the way. */
  seen: Standing | undefined;
}

/**
 * Looks into the first way of braking, and into those that may do better by what was seen at first sight.
 *
 * With several buses the first may take all the time there is: the others are prepared before, which mostly ends them.
 */
async function searchAll(search: Search, setup: Setup): Promise<void> {
  const brakings = brakingsOf(setup);
  const first = await prepareClass(search, brakings.first, (look) => {
    search.looks = looksOf(look, setup, brakings, search.court.memory);
  });
  const isOne = brakings.both.length <= 1;
  if (isOne) await solveClass(search, first);
  const others = await prepareOthers(search, setup, brakings);
  if (!isOne) await solveClass(search, first);
  for (const other of others) await solveClass(search, other);
}

async function prepareOthers(search: Search, setup: Setup, brakings: Brakings): Promise<readonly Prepared[]> {
  const { looks } = search;
  const open = openClasses(setup, brakings, { looks, boundOf: ({ bound }) => bound, limit: limitOf(search) });
  const left: Prepared[] = [];
  for (const { braking, bound } of open) {
    if (bound > limitOf(search)) continue;
    if (search.finder.isStopped()) search.outcome = joined(search.outcome, { ...NOTHING, status: "unknown", bound });
    else {
      const part = await prepareClass(search, braking, () => undefined);
      if (part !== undefined) left.push(part);
    }
  }
  return left;
}

/** Answers whose bound is above it are not worth having [cent]. */
function limitOf(search: Search): number {
  return (knownCost(search) ?? Number.POSITIVE_INFINITY) + (search.looks?.first.rounding ?? 0);
}

/** Prepares one way of braking for answers that are cheaper than the one known; undefined: it has none. */
async function prepareClass(
  search: Search,
  braking: BrakingClass,
  noteLook: PrepareTask["noteLook"],
): Promise<Prepared | undefined> {
  const { options, court, finder, looks } = search;
  const found = looks === undefined ? await finder.guess(braking.setup, search.judged) : undefined;
  if (found !== undefined) note(search, found);
  return prepare(braking, search.judged, {
    court,
    finder,
    found,
    progress: options.progress,
    upTo: knownCost(search) ?? Number.POSITIVE_INFINITY,
    multipliers: options.multipliers ?? looks?.first.multipliers,
    noteLook,
    note: (better) => note(search, better),
  });
}

/** Solves what was prepared, if anything. */
async function solveClass(search: Search, part: Prepared | undefined): Promise<void> {
  if (part === undefined) return;
  search.prepared.push(part);
  const { court, finder } = search;
  search.outcome = joined(search.outcome, await solvePrepared(part, { court, finder, cutoff: cutoffOf(search) }));
}

function note(search: Search, found: Standing): void {
  if (found.cost < (search.seen?.cost ?? Number.POSITIVE_INFINITY)) search.seen = found;
}

/** Only answers cheaper than this are wanted [cent]. */
function cutoffOf({ options, outcome, seen }: Search): number | undefined {
  const best = outcome.evaluated?.money.total;
  // With the tie rule to carry through, what costs just as much is wanted, too.
  const wanted = best === undefined || !options.ties ? best : best + 1;
  // What was met on the way is to be found again, or something better.
  const met = seen === undefined ? undefined : seen.cost + 1;
  return cheaper(options.cutoff, cheaper(wanted, met));
}

function knownCost({ options: { cutoff }, outcome, seen }: Search): number | undefined {
  return cheaper(cutoff, outcome.evaluated?.money.total ?? seen?.cost);
}

const NOTHING: Outcome = {
  status: "infeasible",
  bound: Number.POSITIVE_INFINITY,
  certificates: [],
  stats: [],
  models: [],
};

/** Where the search was stopped: the best answer met on the way, if it is better than what solving brought. */
function withSeen(outcome: Outcome, seen: Standing | undefined): Outcome {
  const isOpen = outcome.status === "unknown" || outcome.status === "feasible";
  if (!isOpen || seen === undefined || seen.cost >= (outcome.evaluated?.money.total ?? Number.POSITIVE_INFINITY))
    return outcome;
  return { ...outcome, status: "feasible", answer: seen.answer, evaluated: seen.evaluated };
}

/** Whether every bus has a supply to choose and every axis a candidate. */
function hasChoices({ machines }: Setup, judged: JudgedAxes): boolean {
  const isFed = machines.every(({ buses }) => buses.every(({ options }) => options.length > 0));
  return isFed && emptyAxes(judged).length === 0;
}

function cheaper(one: number | undefined, other: number | undefined): number | undefined {
  if (one === undefined || other === undefined) return one ?? other;
  return Math.min(one, other);
}

/** How to solve what was prepared. */
export interface SolveTask {
  readonly court: Court;
  readonly finder: Finder;
  /** Only answers cheaper than this are wanted [cent]. */
  readonly cutoff: number | undefined;
}

/** Solves what was prepared: the model of its candidates, with rows made as answers break them. */
export async function solvePrepared(
  { setup, columns, taken, bound: least, isWhole, from }: Prepared,
  { court, finder, cutoff }: SolveTask,
): Promise<Outcome> {
  if (columns.length === 0) return { ...NOTHING, status: "unknown", bound: least };
  const round = roundOf(setup, columns, { mean: isWhole ? "exact" : "quick", taken, memory: court.memory });
  const { status, bound, certificate, model, stats, picks } = await finder.solve(round, cutoff, from);
  const proved = { status: isWhole ? status : OPEN[status], bound: Math.max(isWhole ? bound : 0, least) };
  const common = { ...proved, certificates: [certificate], models: [model], stats: [stats] };
  if (picks === undefined) return common;
  const answer = answerOf(round, picks);
  return { ...common, answer, evaluated: court.evaluator.evaluate(answer), tie: tieKeyOf(model, picks) };
}

function isPreferred(one: Outcome, other: Outcome): boolean {
  if (one.evaluated === undefined || other.evaluated === undefined) return one.evaluated !== undefined;
  const more = one.evaluated.money.total - other.evaluated.money.total;
  if (more !== 0 || one.tie === undefined || other.tie === undefined) return more < 0;
  return compareTies(one.tie, other.tie) < 0;
}

/** What a status is worth where only a selection of candidates was looked at. */
const OPEN: Readonly<Record<DecisionStatus, DecisionStatus>> = {
  optimal: "feasible",
  feasible: "feasible",
  infeasible: "unknown",
  unknown: "unknown",
};

/** Two ways of braking together: the cheaper answer, of two that cost the same the one that the tie rule takes. */
export function joined(before: Outcome, after: Outcome): Outcome {
  const found = isPreferred(after, before) ? after : before;
  const open = [before.status, after.status].some((status) => status === "feasible" || status === "unknown");
  const without = open ? "unknown" : "infeasible";
  const withAnswer = open ? "feasible" : "optimal";
  return {
    ...found,
    status: found.answer === undefined ? without : withAnswer,
    bound: Math.min(before.bound, after.bound),
    certificates: [...before.certificates, ...after.certificates],
    stats: [...before.stats, ...after.stats],
    models: [...before.models, ...after.models],
  };
}
