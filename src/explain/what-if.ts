import { type BrakingClass, brakingsOf } from "../decide/braking-classes.ts";
import type { Court } from "../decide/court.ts";
import { joined, type Outcome, solvePrepared } from "../decide/decide.ts";
import type { JudgedAxes } from "../decide/field.ts";
import type { Finder } from "../decide/finder.ts";
import { boundBeside, type FirstLook } from "../decide/first-look.ts";
import { openClasses } from "../decide/other-brakings.ts";
import { type Prepared, type PrepareTask, prepare } from "../decide/prepare.ts";
import type { TakenSpans } from "../decide/round.ts";
import { searching } from "../decide/searching.ts";
import type { Setup } from "../decide/setup.ts";
import { sourcedAxes, sourcedOptions } from "../decide/sourced.ts";
import type { ExplainContext } from "./context.ts";

/** Other candidates than those of the answer, and what answers among them may break. */
export interface WhatIf {
  readonly setup: Setup;
  readonly judged: JudgedAxes;
  readonly court: Court;
  /** Only answers cheaper than this are wanted [cent]. */
  readonly upTo: number;
}

/** The cheapest answer of a what-if; undefined where there is none (or none was found in time). */
export async function cheapestOf(
  context: ExplainContext,
  { setup, judged, court, upTo }: WhatIf,
): Promise<Outcome | undefined> {
  let best: Outcome | undefined;
  const candidates = withSubstitutes(context, setup, judged);
  const fed = sourcedOptions(setup, court.sourcing.rivals);
  const brakings = brakingsOf(fed);
  const { looks } = context.decision;
  const boundOf = (look: FirstLook): number => boundBeside(look, fed, candidates);
  const below = (): number => best?.evaluated?.money.total ?? upTo;
  const limit = (): number => below() + (looks?.first.rounding ?? 0);
  const search = async (braking: BrakingClass): Promise<void> => {
    const part = await prepare(braking, candidates, { ...taskOf(context, court), court, upTo: below() });
    const found = part && (await cheapestBelow(context, [part], { court, upTo: below() }));
    if (found !== undefined) best = best === undefined ? found : joined(best, found);
  };
  if (looks === undefined || boundOf(looks.first) <= limit()) await search(brakings.first);
  for (const { braking, bound } of openClasses(fed, brakings, { looks, boundOf, limit: limit() }))
    if (bound <= limit()) await search(braking);
  return best;
}

/** The candidates whose parts have substitutes on their axis; axes that were not changed are those of the decision. */
function withSubstitutes({ decision }: ExplainContext, setup: Setup, judged: JudgedAxes): JudgedAxes {
  const changed = judged.map((axes, m) => axes.filter((axis, a) => axis !== decision.judged[m]?.[a]));
  const sourced = sourcedAxes(setup, changed, decision.sourcing.rivals);
  return judged.map((axes, m) =>
    axes.map((axis, a) => {
      const at = changed[m]?.indexOf(axis) ?? -1;
      return (at < 0 ? decision.sourced[m]?.[a] : sourced[m]?.[at]) ?? axis;
    }),
  );
}

/** A what-if has an answer to beat; it needs no first one. */
async function firstAnswer(): Promise<undefined> {
  return undefined;
}

function finderOf({ engine, secondsLeft, aborted }: ExplainContext, court: Court): Finder {
  return { ...searching(court, { engine, secondsLeft, aborted, ties: false }), firstAnswer };
}

function taskOf(
  context: ExplainContext,
  court: Court,
): Pick<PrepareTask, "finder" | "progress" | "taken" | "multipliers" | "note" | "noteLook"> {
  const taken = takenOf(context);
  const task = {
    finder: finderOf(context, court),
    progress: () => undefined,
    multipliers: context.decision.prepared[0]?.multipliers,
    note: () => undefined,
    noteLook: () => undefined,
  };
  return taken === undefined ? task : { ...task, taken };
}

/** Spans in which the answer takes power: what was counted when it was found. */
function takenOf({ decision }: ExplainContext): TakenSpans | undefined {
  return decision.prepared.find(({ taken }) => taken.flat(2).some(({ share }) => share < 1))?.taken;
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
    const outcome = await solvePrepared(ready, { court, finder: finderOf(context, court), cutoff });
    if (outcome.answer !== undefined) best = best === undefined ? outcome : joined(best, outcome);
  }
  return best;
}
