import { entryOf } from "../faults/entry-of.ts";
import { energyPrice } from "../model/build.ts";
import { spansOfSign } from "../physics/power/bus-power.ts";
import type { Multipliers } from "../solve/multipliers.ts";
import type { BrakingClass } from "./braking-classes.ts";
import type { Court, Standing } from "./court.ts";
import type { EvaluatedOrder } from "./evaluate.ts";
import type { JudgedAxes } from "./field.ts";
import type { Finder } from "./finder.ts";
import type { FirstLook } from "./first-look.ts";
import { pairsLeft } from "./judged-axis.ts";
import { narrowed } from "./narrow.ts";
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
  /** What narrowing ended with: a start for the search. */
  readonly from: Multipliers;
}

/** How to prepare. */
export interface PrepareTask {
  readonly court: Court;
  readonly finder: Finder;
  readonly progress: (note: string) => void;
  /** Keeps every answer cheaper than this [cent]; Infinity: every answer that may be the best. */
  readonly upTo: number;
  /** A good answer to begin with. */
  readonly found?: Standing | undefined;
  /** Multipliers that were good for a question much like this one. */
  readonly multipliers: Multipliers | undefined;
  /** Told what the first turn proved. */
  readonly noteLook: (look: FirstLook) => void;
  /** Told of every answer that stands. */
  readonly note: (found: Standing) => void;
  /** Spans over which to count power, where a good answer is known already. */
  readonly taken?: TakenSpans;
}

/** Rounds at the most: each narrows the masses that can ride, and with them the figures of what carries them. */
const ROUNDS = 8;
/** Up to so many candidates, their mean power is worked out exactly; at once, where there are no more than the few. */
const EXACT_FROM = 1200;
const FEW = 40;

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
  if (!sieve.isWhole) return { ...part, columns: sieve.columns, isWhole: false, from: multipliers };
  if (!isComplete(sieve.columns)) return undefined;
  const { columns, from } = narrowedColumns(sieve, setup, task);
  if (!isComplete(columns)) return undefined;
  return { ...part, columns, isWhole: true, from };
}

function narrowedColumns(sieve: Sifted, setup: Setup, task: PrepareTask): Omit<Narrowed, "best"> {
  let { columns, best: known, multipliers: from } = sieve;
  for (let step = 0; step < ROUNDS && isComplete(columns) && !task.finder.isStopped(); step++) {
    const size = sizeOf(columns);
    // The closed bound drops most of them for less than their exact means would take.
    const mean = size <= FEW || (step > 0 && size <= EXACT_FROM) ? "exact" : "quick";
    const round = roundOf(setup, columns, { mean, taken: sieve.taken, memory: task.court.memory });
    const next = narrowedOnce(round, { known, from }, task);
    ({ columns, best: known, from } = next);
    const left = sizeOf(columns);
    task.progress(`${left} candidates left of ${size}`);
    if (mean === "exact" ? left > 0.7 * size : left > 0.97 * size && left > EXACT_FROM) break;
  }
  return { columns, from };
}

function siftTools({ setup, saves }: BrakingClass, task: PrepareTask): SiftTools {
  const { finder } = task;
  const noted = (found: Standing | undefined): Standing | undefined => {
    if (found !== undefined) task.note(found);
    return found;
  };
  const whole = wholeCycles(setup);
  // Where energy may be fed back, and where it costs nothing, the whole cycle counts.
  const isFree = energyPrice(setup.problem) === 0;
  const takenBy = (best: Standing | undefined): TakenSpans => {
    const taken = task.taken ?? takenSpans(best?.evaluated, whole);
    return whole.map((buses, m) => buses.map((all, b) => (saves[m]?.[b] === true ? all : (taken[m]?.[b] ?? all))));
  };
  return {
    taken: (best) => (isFree ? whole : takenBy(best)),
    found: task.found,
    known: task.upTo,
    isStopped: finder.isStopped,
    memory: task.court.memory,
    multipliers: task.multipliers,
    raise: finder.raise,
    best: (round, suggestions) => {
      const { found, strained } = finder.best(round, suggestions);
      return { found: noted(found), strained };
    },
    roughAnswer: async (columns, { taken, upTo }) => noted(await finder.roughAnswer({ setup, columns, taken }, upTo)),
    firstAnswer: async (columns, taken) => noted(await finder.firstAnswer({ setup, columns, taken }))?.cost,
  };
}

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

interface Narrowed {
  readonly columns: Round["columns"];
  readonly best: number;
  readonly from: Multipliers;
}

function narrowedOnce(
  round: Round,
  { known, from }: { known: number; from: Multipliers },
  task: PrepareTask,
): Narrowed {
  const { found, survivors, multipliers } = task.finder.narrow(round, known, from);
  if (found !== undefined) task.note(found);
  const best = Math.min(known, found?.cost ?? Number.POSITIVE_INFINITY);
  return { columns: narrowed(round, survivors), best, from: multipliers };
}

function isComplete(columns: Round["columns"]): boolean {
  return columns.every((machine) => machine.every((axis) => axis.columns.length > 0));
}

function sizeOf(columns: Round["columns"]): number {
  return columns.reduce((sum, machine) => sum + machine.reduce((all, axis) => all + axis.columns.length, 0), 0);
}
