import { brakingClasses } from "../decide/braking-classes.ts";
import type { Court } from "../decide/court.ts";
import { joined, type Outcome, solvePrepared } from "../decide/decide.ts";
import type { Prepared } from "../decide/prepare.ts";
import { prepare } from "../decide/prepare.ts";
import type { TakenSpans } from "../decide/round.ts";
import type { Setup } from "../decide/setup.ts";
import type { JudgedAxes } from "../decide/sift.ts";
import type { ExplainContext } from "./context.ts";

/** Prepares every way of braking for answers cheaper than a total, among other candidates than those of the answer. */
export function prepareCheaper(
  context: ExplainContext,
  { setup, judged, court, upTo }: { setup: Setup; judged: JudgedAxes; court: Court; upTo: number },
): Prepared[] {
  const taken = takenOf(context);
  return brakingClasses(setup).flatMap((braking) => {
    const task = { court, isStopped: () => context.aborted() || context.secondsLeft() <= 0, progress: () => undefined, upTo, keepAll: true };
    return prepare(braking, judged, taken === undefined ? task : { ...task, taken }) ?? [];
  });
}

/** Spans in which the answer takes power: what was counted when it was found. */
function takenOf({ decision }: ExplainContext): TakenSpans | undefined {
  return decision.prepared.find(({ taken }) => taken.some((buses) => buses.some(({ share }) => share < 1)))?.taken;
}

/** The cheapest answer below a total; undefined where there is none (or none was found in time). */
export async function cheapestBelow(
  context: ExplainContext,
  prepared: readonly Prepared[],
  { court, upTo }: { court: Court; upTo: number },
): Promise<Outcome | undefined> {
  let best: Outcome | undefined;
  for (const ready of prepared) {
    if (ready.columns.some((axes) => axes.some(({ columns }) => columns.length === 0))) continue;
    const cutoff = best?.evaluated?.money.total ?? upTo;
    const { engine, secondsLeft, aborted } = context;
    const outcome = await solvePrepared(ready, court, { engine, secondsLeft, aborted, progress: () => undefined, ties: false, cutoff });
    if (outcome.answer !== undefined) best = best === undefined ? outcome : joined(best, outcome);
  }
  return best;
}
