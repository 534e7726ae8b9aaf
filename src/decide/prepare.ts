import { energyPrice } from "../model/build.ts";
import { spansOfSign } from "../physics/power/bus-power.ts";
import { rootFix } from "../solve/root-fix.ts";
import type { BrakingClass } from "./braking-classes.ts";
import { bestOf, type Court, type Found } from "./court.ts";
import type { EvaluatedOrder } from "./evaluate.ts";
import { narrowed, withPicks } from "./narrow.ts";
import { type Round, roundOf, type TakenSpans, wholeCycles } from "./round.ts";
import type { Setup } from "./setup.ts";
import { glimpsed, type JudgedAxes, type SiftMemory, type SiftTools, sifted } from "./sift.ts";
import { splitByMass } from "./split.ts";

/** Few candidates that hold every answer worth having: what the solver is given. */
export interface Prepared {
  readonly setup: Setup;
  readonly columns: Round["columns"];
  readonly taken: TakenSpans;
  /** No answer of this part costs less [cent]. */
  readonly bound: number;
  /** false: stopped on the way; the columns are a selection. */
  readonly isWhole: boolean;
}

/** How to prepare. */
export interface PrepareTask {
  readonly court: Court;
  readonly isStopped: () => boolean;
  readonly progress: (note: string) => void;
  /** Keeps every answer cheaper than this [cent]; Infinity: every answer that may be the best. */
  readonly upTo: number;
  /** Where earlier siftings ended, by way of braking; added to. */
  readonly memories: Map<boolean, SiftMemory>;
  /** Told of every answer that stands. */
  readonly note: (found: Found) => void;
  /** Solves a selection of candidates for a first answer, where none of the quick ones stands. */
  readonly firstAnswer: (selection: Prepared) => Promise<EvaluatedOrder | undefined>;
  /** Spans over which to count power, where a good answer is known already. */
  readonly taken?: TakenSpans;
}

/** Rounds at the most: each narrows the masses that can ride, and with them the figures of what carries them. */
const ROUNDS = 5;
/** Up to so many candidates, their mean power is worked out exactly in every round. */
const EXACT_FROM = 600;

/** Iterations that raise a bound from multipliers that are nearly right. */
const WARM = 120;

/** More candidates than this are split by the mass of what rides, up to so many times. */
const SPLIT_FROM = 250;
const SPLITS = 8;

/**
 * Sifts and narrows the candidates of a way of braking. Where much is left because picks pass only under light loads, it is
 * split by the mass of what rides, and each half sifted and narrowed again.
 *
 * @returns parts that hold every answer worth having; none where there is no such answer
 */
export async function prepare(braking: BrakingClass, judged: JudgedAxes, task: PrepareTask): Promise<Prepared[]> {
  const { setup, feedsBack } = braking;
  const whole = wholeCycles(setup);
  const isBillLinear = feedsBack || energyPrice(setup.problem) === 0;
  const needsAnswer = task.upTo === Number.POSITIVE_INFINITY || (!isBillLinear && task.taken === undefined);
  const seen = needsAnswer ? await glimpse(setup, judged, { ...task, feedsBack, taken: whole }) : undefined;
  const taken = isBillLinear ? whole : (task.taken ?? takenSpans(seen, whole));
  const known = { cost: Math.min(task.upTo, seen?.money.total ?? Number.POSITIVE_INFINITY) };
  return prepareHalf(setup, judged, { ...task, taken, feedsBack, known, splits: 0, least: 0 });
}

interface HalfTask extends SiftTask {
  /** The best answer met in any half. */
  readonly known: { cost: number };
  readonly splits: number;
  /** What the whole that was split proved [cent]. */
  readonly least: number;
}

function prepareHalf(setup: Setup, judged: JudgedAxes, task: HalfTask): Prepared[] {
  if (judged.some((axes) => axes.some(({ judged: { pairs } }) => pairs.length === 0))) return [];
  const { taken, known } = task;
  if (task.splits > 0 && task.isStopped()) return [{ setup, taken, bound: task.least, columns: [], isWhole: false }];
  const sieve = sifted(setup, judged, siftTools({ ...task, upTo: known.cost }));
  if (!task.memories.has(task.feedsBack)) task.memories.set(task.feedsBack, sieve.memory);
  known.cost = Math.min(known.cost, sieve.best);
  const part = { setup, taken, bound: sieve.bound };
  if (!sieve.isWhole) return [{ ...part, columns: sieve.columns, isWhole: false }];
  if (task.isStopped()) return [{ ...part, columns: [], isWhole: false }];
  const columns = narrowedColumns(setup, sieve.columns, task);
  if (!isComplete(columns)) return [];
  if (task.isStopped()) return [{ ...part, columns: [], isWhole: false }];
  const halves =
    task.splits < SPLITS && sizeOf(columns) > SPLIT_FROM && !task.isStopped()
      ? splitByMass(setup, judged, columns)
      : undefined;
  if (halves === undefined) return [{ ...part, columns, isWhole: true }];
  return halves.flatMap((half) => prepareHalf(setup, half, { ...task, splits: task.splits + 1, least: sieve.bound }));
}

function narrowedColumns(setup: Setup, start: Round["columns"], task: HalfTask): Round["columns"] {
  let columns = start;
  for (let step = 0; step < ROUNDS && isComplete(columns) && !task.isStopped(); step++) {
    const round = roundOf(setup, columns, {
      mean: sizeOf(columns) > EXACT_FROM ? "quick" : "exact",
      taken: task.taken,
    });
    const next = narrowedOnce(round, task.known.cost, task);
    task.known.cost = next.best;
    const done = sizeOf(next.columns) > 0.5 * sizeOf(columns);
    task.progress(`${sizeOf(next.columns)} candidates left of ${sizeOf(columns)}`);
    columns = next.columns;
    if (done) break;
  }
  return columns;
}

interface SiftTask extends PrepareTask {
  readonly taken: TakenSpans;
  readonly feedsBack: boolean;
}

function siftTools(task: SiftTask): SiftTools {
  return {
    taken: task.taken,
    known: task.upTo,
    isStopped: task.isStopped,
    memory: task.memories.get(task.feedsBack),
    best: (round, suggestions) => {
      const found = bestOf(round, task.court, suggestions);
      if (found !== undefined) task.note(found);
      return found;
    },
    raise: (model, from) => {
      const { multipliers, suggestions } = rootFix(model, undefined, {
        isStopped: task.isStopped,
        ...(from === undefined ? {} : { multipliers: from, iterations: WARM }),
      });
      return { multipliers, suggestions: suggestions.map(({ picks }) => picks) };
    },
  };
}

/** A first answer: one of the quick ones on a thin selection of candidates, or what solving the selection brings. */
async function glimpse(setup: Setup, judged: JudgedAxes, task: SiftTask): Promise<EvaluatedOrder | undefined> {
  let seen: EvaluatedOrder | undefined;
  const note = (found: Found): void => {
    seen = found.evaluated;
    task.note(found);
  };
  const columns = glimpsed(setup, judged, siftTools({ ...task, note }));
  if (task.isStopped()) return seen;
  return seen ?? task.firstAnswer({ setup, columns, taken: task.taken, bound: 0, isWhole: false });
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

function narrowedOnce(round: Round, known: number, task: PrepareTask): { best: number; columns: Round["columns"] } {
  const upper = (best: number): number | undefined =>
    Number.isFinite(best) ? best + round.built.model.rounding : undefined;
  const first = rootFix(round.built.model, upper(known), { isStopped: task.isStopped });
  const found = bestOf(
    round,
    task.court,
    first.suggestions.map(({ picks }) => picks),
  );
  if (found !== undefined) task.note(found);
  const best = Math.min(known, found?.cost ?? Number.POSITIVE_INFINITY);
  const fixed =
    best < known
      ? rootFix(round.built.model, upper(best), { isStopped: task.isStopped, multipliers: first.multipliers })
      : first;
  return { best, columns: narrowed(round, withPicks(fixed.survivors, found?.picks)) };
}

function isComplete(columns: Round["columns"]): boolean {
  return columns.every((machine) => machine.every((axis) => axis.columns.length > 0));
}

function sizeOf(columns: Round["columns"]): number {
  return columns.reduce((sum, machine) => sum + machine.reduce((all, axis) => all + axis.columns.length, 0), 0);
}
