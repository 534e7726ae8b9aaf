import { entryOf } from "../faults/entry-of.ts";
import { energyPrice } from "../model/build.ts";
import { spansOfSign } from "../physics/power/bus-power.ts";
import type { Multipliers } from "../solve/multipliers.ts";
import { rootFix } from "../solve/root-fix.ts";
import type { BrakingClass } from "./braking-classes.ts";
import { bestOf, type Court, type Standing, strainedBy } from "./court.ts";
import type { EvaluatedOrder } from "./evaluate.ts";
import type { JudgedAxes } from "./field.ts";
import type { FirstLook } from "./first-look.ts";
import { pairsLeft } from "./judged-axis.ts";
import { narrowed, withPicks } from "./narrow.ts";
import { roughAnswer } from "./rough-answer.ts";
import { type Round, roundOf, type TakenSpans, wholeCycles } from "./round.ts";
import type { Setup } from "./setup.ts";
import type { SiftTools } from "./sieve.ts";
import { type Sifted, sifted } from "./sift.ts";

/** Few candidates that hold every answer worth having: what the solver is given. */
export interface Prepared {
  readonly setup: Setup;
  readonly columns: Round["columns"];
  readonly taken: TakenSpans;
  /** No answer of this part costs less [cent]. */
  readonly bound: number;
  /** false: stopped on the way; the columns are a selection. */
  readonly isWhole: boolean;
  /** What sifting ended with: a start for questions much alike. */
  readonly multipliers: Multipliers;
}

/** How to prepare. */
export interface PrepareTask {
  readonly court: Court;
  readonly isStopped: () => boolean;
  readonly progress: (note: string) => void;
  /** Keeps every answer cheaper than this [cent]; Infinity: every answer that may be the best. */
  readonly upTo: number;
  /** Multipliers that were good for a question much like this one. */
  readonly multipliers: Multipliers | undefined;
  /** Told what the first turn proved. */
  readonly noteLook: (look: FirstLook) => void;
  /** Told of every answer that stands. */
  readonly note: (found: Standing) => void;
  /** Solves a selection of candidates for a first answer, where none of the quick ones stands. */
  readonly firstAnswer: (selection: Prepared) => Promise<EvaluatedOrder | undefined>;
  /** Spans over which to count power, where a good answer is known already. */
  readonly taken?: TakenSpans;
}

/** Rounds at the most: each narrows the masses that can ride, and with them the figures of what carries them. */
const ROUNDS = 8;
/** Up to so many candidates, their mean power is worked out exactly. */
const EXACT_FROM = 1200;

/** Iterations that raise a bound from multipliers that are nearly right. */
const WARM = 120;

/**
 * Sifts and narrows the candidates of a way of braking.
 *
 * @returns what holds every answer worth having; undefined where there is no such answer
 */
export async function prepare(
  braking: BrakingClass,
  judged: JudgedAxes,
  task: PrepareTask,
): Promise<Prepared | undefined> {
  const { setup } = braking;
  if (judged.some((axes) => axes.some((axis) => pairsLeft(axis) === 0))) return undefined;
  const sieve = await sifted(setup, judged, siftTools(braking, task));
  const { taken, bound, multipliers } = sieve;
  task.noteLook(sieve.first);
  const part = { setup, taken, bound, multipliers };
  if (!sieve.isWhole) return { ...part, columns: sieve.columns, isWhole: false };
  if (!isComplete(sieve.columns)) return undefined;
  const columns = narrowedColumns(sieve, setup, task);
  if (!isComplete(columns)) return undefined;
  return { ...part, columns, isWhole: true };
}

function narrowedColumns({ columns: start, best, taken }: Sifted, setup: Setup, task: PrepareTask): Round["columns"] {
  let [columns, known] = [start, best];
  for (let step = 0; step < ROUNDS && isComplete(columns) && !task.isStopped(); step++) {
    const isExact = sizeOf(columns) <= EXACT_FROM;
    const round = roundOf(setup, columns, { mean: isExact ? "exact" : "quick", taken, memory: task.court.memory });
    const next = narrowedOnce(round, known, task);
    known = next.best;
    const done = isExact && sizeOf(next.columns) > 0.7 * sizeOf(columns);
    task.progress(`${sizeOf(next.columns)} candidates left of ${sizeOf(columns)}`);
    columns = next.columns;
    if (done) break;
  }
  return columns;
}

function siftTools({ setup, feedsBack }: BrakingClass, task: PrepareTask): SiftTools {
  const whole = wholeCycles(setup);
  // Where energy may be fed back, and where it costs nothing, the whole cycle counts.
  const isBillLinear = feedsBack || energyPrice(setup.problem) === 0;
  return {
    taken: (best) => (isBillLinear ? whole : (task.taken ?? takenSpans(best?.evaluated, whole))),
    known: task.upTo,
    isStopped: task.isStopped,
    memory: task.court.memory,
    multipliers: task.multipliers,
    best: (round, suggestions) => {
      const found = bestOf(round, task.court, suggestions);
      if (found !== undefined) task.note(found);
      return { found, strained: suggestions.flatMap((picks) => strainedBy(round, task.court, picks)) };
    },
    roughAnswer: async (columns, { taken, upTo }) => {
      const { court, isStopped } = task;
      const found = await roughAnswer(setup, columns, { court, taken, upTo, isStopped });
      if (found !== undefined) task.note(found);
      return found;
    },
    firstAnswer: async (columns, taken) => {
      const found = await task.firstAnswer({
        setup,
        columns,
        taken,
        bound: 0,
        isWhole: false,
        multipliers: NO_MULTIPLIERS,
      });
      return found?.money.total;
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

const NO_MULTIPLIERS: Multipliers = { links: {}, caps: {}, rows: {} };

/** Where an answer takes power from each bus: energy given back elsewhere is lost. */
function takenSpans(seen: EvaluatedOrder | undefined, otherwise: TakenSpans): TakenSpans {
  if (seen === undefined) return otherwise;
  return seen.machines.map(({ buses }, m) =>
    buses.map(({ runs }, b) =>
      runs.map(({ demand: { billed } }, run) => {
        const spans = spansOfSign(billed, 1);
        const share = spans.reduce((sum, { from, to }) => sum + to - from, 0) / billed.period;
        return { spans, share, weight: entryOf(entryOf(entryOf(otherwise, m), b), run).weight };
      }),
    ),
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
