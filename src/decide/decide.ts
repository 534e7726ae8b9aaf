import type { LimitId } from "../machine/limit.ts";
import { energyPrice } from "../model/build.ts";
import type { Picks, SelectionModel, Verdict } from "../model/selection.ts";
import { spansOfSign } from "../physics/power/bus-power.ts";
import type { EngineName } from "../solve/engine.ts";
import type { Certificate, SolveStats } from "../solve/outcome.ts";
import { rootFix } from "../solve/root-fix.ts";
import { solveModel } from "../solve/solve-model.ts";
import type { OrderAnswer } from "./answer.ts";
import { type BrakingClass, brakingClasses } from "./braking-classes.ts";
import { cutsFor } from "./cuts.ts";
import { energyRowsFor } from "./energy-rows.ts";
import { type EvaluatedOrder, type Evaluator, evaluatorOf, standing } from "./evaluate.ts";
import { emptyAxes, hasRanges, judgedAxes, narrowed, withPicks } from "./narrow.ts";
import { answerOf, type Round, roundOf, type TakenSpans, wholeCycles } from "./round.ts";
import type { Setup } from "./setup.ts";
import { glimpsed, type JudgedAxes, sifted, type SiftTools } from "./sift.ts";
import { supplied } from "./supplied.ts";

/** How to decide: engine, time, and what is wanted. */
export interface DecideOptions {
  readonly engine: EngineName;
  readonly secondsLeft: () => number;
  readonly aborted: () => boolean;
  readonly progress: (note: string) => void;
  /** Only answers cheaper than this are wanted [cent]. */
  readonly cutoff?: number;
  /** false: any answer of the lowest cost will do. */
  readonly ties: boolean;
  /** Limits that may be broken, to see what they cost. */
  readonly excused?: Excuse;
}

/** True where a limit may be broken: of an axis, a bus (axis −1), or the order (machine −1). */
export type Excuse = (place: { readonly machine: number; readonly axis: number; readonly bus: number }, limit: LimitId) => boolean;

export type DecisionStatus = "optimal" | "feasible" | "infeasible" | "unknown";

/** What was decided, and what it was decided among. */
export interface Decision {
  readonly status: DecisionStatus;
  readonly answer?: OrderAnswer;
  readonly evaluated?: EvaluatedOrder;
  /** No answer costs less [cent]. */
  readonly bound: number;
  readonly judged: JudgedAxes;
  /** Axes without a candidate. */
  readonly empty: readonly { readonly machine: number; readonly axis: number }[];
  readonly certificates: readonly Certificate[];
  readonly stats: readonly SolveStats[];
  /** Models of the last rounds with the rows that answers broke, one for each way of braking that was looked into. */
  readonly models: readonly SelectionModel[];
}

/**
 * The loop around the solver: judge, sift, build, narrow what can ride, solve with exact rows made as answers break them.
 *
 * Every answer is worked out exactly with true carried masses before it counts; wrong ones are cut off. Supplies that feed
 * back are looked into apart from those that do not, because the energy bill has another form with them.
 */
export async function decide(setup: Setup, options: DecideOptions, judged: JudgedAxes = judgedAxes(setup)): Promise<Decision> {
  const empty = emptyAxes(judged);
  let decision: Decision = { status: "infeasible", bound: Number.POSITIVE_INFINITY, judged, empty, certificates: [], stats: [], models: [] };
  if (empty.length > 0 || hasUnfedBus(setup)) return decision;
  const court: Court = { evaluator: evaluatorOf(setup), excused: options.excused ?? (() => false) };
  for (const braking of brakingClasses(setup)) {
    const cutoff = Math.min(options.cutoff ?? Number.POSITIVE_INFINITY, decision.evaluated?.money.total ?? Number.POSITIVE_INFINITY);
    const outcome = await decideClass(braking, judged, { court, options: Number.isFinite(cutoff) ? { ...options, cutoff } : options });
    decision = joined(decision, outcome);
  }
  return decision;
}

function hasUnfedBus({ machines }: Setup): boolean {
  return machines.some(({ buses, axes }) => buses.some(({ options }, b) => options.length === 0 && axes.some(({ bus }) => bus === b)));
}

/** Works answers out and says which of their broken limits are excused. */
interface Court {
  readonly evaluator: Evaluator;
  readonly excused: Excuse;
}

interface Task {
  readonly court: Court;
  readonly options: DecideOptions;
}

type ClassOutcome = Omit<Decision, "judged" | "empty">;

async function decideClass({ setup, feedsBack }: BrakingClass, judged: JudgedAxes, { court, options }: Task): Promise<ClassOutcome> {
  const round = narrowedRound({ setup, feedsBack }, judged, { court, options });
  const nothing: ClassOutcome = { status: "infeasible", bound: Number.POSITIVE_INFINITY, certificates: [], stats: [], models: [] };
  if (round === undefined) return nothing;
  const outcome = await solveModel(round.built.model, {
    engine: options.engine,
    secondsLeft: options.secondsLeft,
    aborted: options.aborted,
    ties: options.ties,
    judge: (picks) => verdictOn(round, court, picks),
    ...(options.cutoff === undefined ? {} : { cutoff: options.cutoff }),
  });
  const { status, bound, certificate, model, stats, picks } = outcome;
  const common = { status, bound, certificates: [certificate], models: [model], stats: [stats] };
  if (picks === undefined) return common;
  const answer = answerOf(round, picks);
  return { ...common, answer, evaluated: court.evaluator.evaluate(answer) };
}

/** Two ways of braking together: the later one's answer is cheaper where it has one. */
function joined(before: Decision, after: ClassOutcome): Decision {
  const found = after.answer === undefined ? before : after;
  const open = [before.status, after.status].some((status) => status === "feasible" || status === "unknown");
  const status = found.answer === undefined ? (open ? "unknown" : "infeasible") : open ? "feasible" : "optimal";
  return {
    ...before,
    ...(found.answer === undefined ? {} : { answer: found.answer }),
    ...(found.evaluated === undefined ? {} : { evaluated: found.evaluated }),
    status,
    bound: Math.min(before.bound, after.bound),
    certificates: [...before.certificates, ...after.certificates],
    stats: [...before.stats, ...after.stats],
    models: [...before.models, ...after.models],
  };
}

/** Rounds at the most: each narrows the masses that can ride, and with them the figures of what carries them. */
const ROUNDS = 5;
/** Up to so many candidates, their mean power is worked out exactly in every round. */
const EXACT_FROM = 600;

/** The round to solve: few candidates, exact figures; undefined where no candidates are left. */
function narrowedRound({ setup, feedsBack }: BrakingClass, judged: JudgedAxes, task: Task): Round | undefined {
  const whole = wholeCycles(setup);
  const taken = feedsBack || energyPrice(setup.problem) === 0 ? whole : takenSpans(glimpse(setup, judged, { ...task, taken: whole }), whole);
  const sieve = sifted(setup, judged, siftTools({ ...task, taken }));
  let { best, columns } = sieve;
  for (let step = 0; step < ROUNDS && isComplete(columns); step++) {
    const round = roundOf(setup, columns, { mean: sizeOf(columns) > EXACT_FROM ? "quick" : "exact", taken });
    const next = narrowedOnce(round, best, task);
    best = next.best;
    const done = !hasRanges(columns) && sizeOf(next.columns) > 0.5 * sizeOf(columns);
    task.options.progress(`${sizeOf(next.columns)} candidates left of ${sizeOf(columns)}`);
    columns = next.columns;
    if (done) break;
  }
  return isComplete(columns) ? roundOf(setup, columns, { mean: "exact", taken }) : undefined;
}

function isStopped({ options }: Task): () => boolean {
  return () => options.aborted() || options.secondsLeft() <= 0;
}

interface SiftTask extends Task {
  readonly taken: TakenSpans;
  /** Told of every answer that stands. */
  readonly note?: (evaluated: EvaluatedOrder) => void;
}

function siftTools(task: SiftTask): SiftTools {
  return {
    taken: task.taken,
    known: task.options.cutoff ?? Number.POSITIVE_INFINITY,
    best: (round, suggestions) => {
      const found = bestOf(round, task.court, suggestions);
      if (found !== undefined) task.note?.(found.evaluated);
      return found;
    },
    raise: (model, from) => {
      const { multipliers, suggestions } = rootFix(model, undefined, { isStopped: isStopped(task), ...(from === undefined ? {} : { multipliers: from }) });
      return { multipliers, suggestions: suggestions.map(({ picks }) => picks) };
    },
  };
}

function glimpse(setup: Setup, judged: JudgedAxes, task: SiftTask): EvaluatedOrder | undefined {
  let seen: EvaluatedOrder | undefined;
  glimpsed(setup, judged, siftTools({ ...task, note: (evaluated) => void (seen = evaluated) }));
  return seen;
}

/** Where an answer takes power from each bus: energy given back elsewhere is lost. */
function takenSpans(seen: EvaluatedOrder | undefined, otherwise: TakenSpans): TakenSpans {
  if (seen === undefined) return otherwise;
  return seen.machines.map(({ buses }) =>
    buses.map(({ demand: { billed } }) => {
      const spans = spansOfSign(billed, 1);
      return { spans, share: spans.reduce((sum, { from, to }) => sum + to - from, 0) / billed.period };
    }),
  );
}

function narrowedOnce(round: Round, known: number, task: Task): { best: number; columns: Round["columns"] } {
  const upper = (best: number): number | undefined => (Number.isFinite(best) ? best + round.built.model.rounding : undefined);
  const first = rootFix(round.built.model, upper(known), { isStopped: isStopped(task) });
  const found = bestOf(round, task.court, first.suggestions.map(({ picks }) => picks));
  const best = Math.min(known, found?.cost ?? Number.POSITIVE_INFINITY);
  const fixed = best < known ? rootFix(round.built.model, upper(best), { isStopped: isStopped(task), multipliers: first.multipliers }) : first;
  return { best, columns: narrowed(round, withPicks(fixed.survivors, found?.picks)) };
}

function isComplete(columns: Round["columns"]): boolean {
  return columns.every((machine) => machine.every((axis) => axis.columns.length > 0));
}

function sizeOf(columns: Round["columns"]): number {
  return columns.reduce((sum, machine) => sum + machine.reduce((all, axis) => all + axis.columns.length, 0), 0);
}

interface Found {
  readonly picks: Picks;
  readonly cost: number;
  readonly evaluated: EvaluatedOrder;
}

/** The cheapest of some picks that stands, each with the cheapest supplies it can do with. */
function bestOf(round: Round, court: Court, suggestions: readonly Picks[]): Found | undefined {
  let best: Found | undefined;
  for (const suggestion of suggestions) {
    const picks = supplied(round, court.evaluator, suggestion);
    const evaluated = court.evaluator.evaluate(answerOf(round, picks));
    const cost = standing(evaluated, court.excused) ? evaluated.money.total : Number.POSITIVE_INFINITY;
    if (cost < (best?.cost ?? Number.POSITIVE_INFINITY)) best = { picks, cost, evaluated };
  }
  return best;
}

/** What the world outside the model says of picks: their exact cost, or the rows they break. */
function verdictOn(round: Round, { evaluator, excused }: Court, picks: Picks): Verdict {
  const evaluated = evaluator.evaluate(answerOf(round, picks));
  if (!standing(evaluated, excused)) return { rows: cutsFor(round, picks, { evaluated, excused }), envelopeRows: [] };
  return { cost: evaluated.money.total, rows: [], envelopeRows: energyRowsFor(round, picks, evaluated) };
}
