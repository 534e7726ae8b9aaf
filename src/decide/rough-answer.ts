import { solveModel } from "../solve/solve-model.ts";
import { type Court, roughVerdictOn, type Standing } from "./court.ts";
import { answerOf, type Round, roundOf, type TakenSpans } from "./round.ts";
import type { Setup } from "./setup.ts";

/** What a rough answer is looked for with. */
export interface RoughTask {
  readonly court: Court;
  readonly taken: TakenSpans;
  /** Only answers cheaper than this are wanted [cent]. */
  readonly upTo: number;
  readonly isStopped: () => boolean;
}

/**
 * A good answer among some candidates: one node of the search, with its ascent and its local searches. Answers that fail
 * are cut off, but the energy of those that stand is not priced any finer: it seldom changes which is good.
 *
 * Proves nothing: what comes back is an answer that stands, at its exact cost.
 */
export async function roughAnswer(
  setup: Setup,
  columns: Round["columns"],
  { court, taken, upTo, isStopped }: RoughTask,
): Promise<Standing | undefined> {
  const round = roundOf(setup, columns, { mean: "quick", taken, memory: court.memory });
  const { picks } = await solveModel(round.built.model, {
    engine: "simplex",
    secondsLeft: () => Number.POSITIVE_INFINITY,
    aborted: isStopped,
    nodes: 1,
    ties: false,
    judge: (answer) => roughVerdictOn(round, court, answer),
    ...(Number.isFinite(upTo) ? { cutoff: upTo } : {}),
  });
  if (picks === undefined) return undefined;
  const answer = answerOf(round, picks);
  const evaluated = court.evaluator.evaluate(answer);
  return { cost: evaluated.money.total, evaluated, answer };
}
