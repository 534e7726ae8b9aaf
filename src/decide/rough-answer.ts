import type { Picks, SelectionModel, Verdict } from "../model/selection.ts";
import { costOf } from "../solve/cost.ts";
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
 * What the model leaves out of the cost hardly differs between answers: those it would then make too dear are not worked out.
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
    judge: sparing(round.built.model, upTo, (some) => roughVerdictOn(round, court, some)),
    ...(Number.isFinite(upTo) ? { cutoff: upTo } : {}),
  });
  if (picks === undefined) return undefined;
  const answer = answerOf(round, picks);
  const evaluated = court.evaluator.evaluate(answer);
  return { cost: evaluated.money.total, evaluated, answer };
}

/** Judges only what may be cheaper than the best so far, were it as little dearer than its model cost as any before. */
function sparing(model: SelectionModel, upTo: number, judge: (picks: Picks) => Verdict): (picks: Picks) => Verdict {
  let [best, beyond] = [upTo, Number.POSITIVE_INFINITY];
  return (picks) => {
    const cost = costOf(model, picks);
    const expected = cost + beyond;
    if (Number.isFinite(expected) && expected > best) return { cost: expected, rows: [], envelopeRows: [] };
    const verdict = judge(picks);
    if (verdict.cost !== undefined) {
      best = Math.min(best, verdict.cost);
      beyond = Math.min(beyond, verdict.cost - cost);
    }
    return verdict;
  };
}
