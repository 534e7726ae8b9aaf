import type { Picks } from "../model/selection.ts";
import type { EngineName } from "../solve/engine.ts";
import type { Multipliers } from "../solve/multipliers.ts";
import { type RootFix, rootFix } from "../solve/root-fix.ts";
import { solveModel } from "../solve/solve-model.ts";
import { bestOf, type Court, type Standing, strainedBy, verdictOn } from "./court.ts";
import type { JudgedAxes } from "./field.ts";
import type { Finder, Narrowing, Selection, Solved } from "./finder.ts";
import { columnsNamed } from "./named-answer.ts";
import { withPicks } from "./narrow.ts";
import { roughAnswer } from "./rough-answer.ts";
import { answerOf, type Round, roundOf, wholeCycles } from "./round.ts";
import type { Setup } from "./setup.ts";
import type { Start } from "./start.ts";

/** How far to search. */
export interface SearchOptions {
  readonly engine: EngineName;
  readonly secondsLeft: () => number;
  readonly aborted: () => boolean;
  /** false: any answer of the lowest cost will do. */
  readonly ties: boolean;
  /** Only answers cheaper than this are wanted [cent]. */
  readonly cutoff?: number;
  /** What questions much like this one ended with. */
  readonly start?: Start | undefined;
}

/** Iterations that raise a bound from nothing, and from multipliers that are nearly right; more where more axes share parts. */
const COLD = 250;
const WARM = 100;
/** Iterations that narrow what sifting left, from its multipliers. */
const NARROW = 80;
/** Groups up to which these do. */
const FEW_GROUPS = 7;

const NO_LIMIT = Number.POSITIVE_INFINITY;

/** Finds by ascents, local searches and branching. */
export function searching(court: Court, options: SearchOptions): Finder {
  const isStopped = (): boolean => options.aborted() || options.secondsLeft() <= 0;
  const roughly: Finder["roughAnswer"] = ({ setup, columns, taken }, upTo) =>
    roughAnswer(setup, columns, { court, taken, upTo, isStopped });
  const { start } = options;
  return {
    isStopped,
    guess: async (setup, judged) =>
      start === undefined ? undefined : roughly(selectionOf(start, setup, judged), NO_LIMIT),
    raise: (model, before, known) => {
      const from = before ?? start?.multipliers;
      const iterations = (from === undefined ? COLD : WARM) * Math.max(1, model.groups.length / FEW_GROUPS);
      const how = { isStopped, iterations, multipliers: from, aim: known };
      const { multipliers, suggestions } = rootFix(model, undefined, how);
      return { multipliers, suggestions: picksIn(suggestions) };
    },
    best: (round, suggestions) => ({
      found: bestOf(round, court, suggestions),
      strained: suggestions.flatMap((picks) => strainedBy(round, court, picks)),
    }),
    roughAnswer: roughly,
    // Proving the first answer best among few candidates may take long: only where a little searching finds none.
    firstAnswer: async (selection) =>
      (await roughly(selection, NO_LIMIT)) ?? (await firstAnswer(selection, court, { ...options, ties: false })),
    narrow: (round, known, from) => narrowing(round, known, { court, isStopped, from }),
    solve: (round, cutoff, from) =>
      solveRound(round, court, { ...options, ...(cutoff === undefined ? {} : { cutoff }) }, from),
  };
}

/** What a start names, among the candidates of this question. */
function selectionOf({ answers }: Start, setup: Setup, judged: JudgedAxes): Selection {
  return { setup, columns: columnsNamed(setup, judged, answers), taken: wholeCycles(setup) };
}

function picksIn(suggestions: RootFix["suggestions"]): Picks[] {
  return suggestions.map(({ picks }) => picks);
}

async function firstAnswer(
  { setup, columns, taken }: Selection,
  court: Court,
  options: SearchOptions,
): Promise<Standing | undefined> {
  if (columns.length === 0) return undefined;
  const round = roundOf(setup, columns, { mean: "quick", taken, memory: court.memory });
  const { picks } = await solveRound(round, court, options);
  if (picks === undefined) return undefined;
  const answer = answerOf(round, picks);
  const evaluated = court.evaluator.evaluate(answer);
  return { cost: evaluated.money.total, evaluated, answer };
}

function solveRound(
  round: Round,
  court: Court,
  { engine, secondsLeft, aborted, ties, cutoff }: SearchOptions,
  from?: Multipliers,
): Promise<Solved> {
  return solveModel(round.built.model, {
    engine,
    secondsLeft,
    aborted,
    ties,
    judge: (answer) => verdictOn(round, court, answer),
    ...(cutoff === undefined ? {} : { cutoff }),
    ...(from === undefined ? {} : { multipliers: from }),
  });
}

/** Fixes at the cost of the answer known, and once more where a better one shows. */
function narrowing(
  round: Round,
  known: number,
  { court, isStopped, from }: { court: Court; isStopped: () => boolean; from: Multipliers },
): Narrowing {
  const { model } = round.built;
  const fixedAt = (best: number, multipliers: Multipliers): RootFix =>
    rootFix(model, Number.isFinite(best) ? best + model.rounding : undefined, {
      isStopped,
      iterations: NARROW,
      multipliers,
    });
  const first = fixedAt(known, from);
  const found = bestOf(round, court, picksIn(first.suggestions));
  const isBetter = found !== undefined && found.cost < known;
  const { survivors, multipliers, proof } = isBetter ? fixedAt(found.cost, first.multipliers) : first;
  return { found, survivors: withPicks(survivors, found?.picks), multipliers, proof };
}
