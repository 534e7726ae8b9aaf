import type { Picks, Verdict } from "../model/selection.ts";
import type { OrderAnswer } from "./answer.ts";
import { cutsFor } from "./cuts.ts";
import { energyRowsFor } from "./energy-rows.ts";
import type { EvaluatedOrder, Evaluator } from "./evaluate.ts";
import { type Leniency, stands } from "./leniency.ts";
import { mended } from "./mended.ts";
import type { PowerMemory } from "./power-memory.ts";
import { answerOf, type Round } from "./round.ts";
import { isSourced } from "./source-breach.ts";
import { sourceRows } from "./source-rows.ts";
import type { Sourcing, Worked } from "./sourcing.ts";
import { supplied } from "./supplied.ts";

/** Works answers out and says whether they stand. */
export interface Court {
  readonly memory: PowerMemory;
  readonly evaluator: Evaluator;
  readonly leniency: Leniency;
  readonly sourcing: Sourcing;
}

/** True where an answer breaks nothing that is not let pass, and each part number that needs a substitute has one. */
export function holdsUp({ leniency, sourcing }: Court, worked: Worked): boolean {
  return stands(worked.evaluated, leniency) && isSourced(sourcing, worked, leniency);
}

/** An answer that stands. */
export interface Standing {
  /** Exact [cent]. */
  readonly cost: number;
  readonly evaluated: EvaluatedOrder;
  readonly answer: OrderAnswer;
}

/** An answer that stands, with its picks in a round. */
export interface Found extends Standing {
  readonly picks: Picks;
}

/** The cheapest of some picks that stands, each mended where it fails under its true loads and given the cheapest supplies it can do with. */
export function bestOf(round: Round, court: Court, suggestions: readonly Picks[]): Found | undefined {
  let best: Found | undefined;
  for (const suggestion of suggestions) {
    const picks = supplied(round, court, mended(round, court, suggestion));
    const answer = answerOf(round, picks);
    const evaluated = court.evaluator.evaluate(answer);
    const cost = holdsUp(court, { answer, evaluated }) ? evaluated.money.total : Number.POSITIVE_INFINITY;
    if (cost < (best?.cost ?? Number.POSITIVE_INFINITY)) best = { picks, cost, evaluated, answer };
  }
  return best;
}

/** Axes that fail under what these picks make them carry, and how much that is [kg]. */
export function strainedBy(
  round: Round,
  { evaluator, leniency }: Court,
  picks: Picks,
): { machine: number; axis: number; mass: number }[] {
  const { machines } = evaluator.evaluate(answerOf(round, picks));
  return machines.flatMap(({ axes }, machine) =>
    axes.flatMap(({ judgement, carried }, axis) => {
      const holds = judgement.failed.length === 0 || leniency.axis(machine, axis, judgement);
      return holds || carried === 0 ? [] : [{ machine, axis, mass: carried }];
    }),
  );
}

/** What the world outside the model says of picks: their exact cost, or the rows they break. */
export function verdictOn(round: Round, court: Court, picks: Picks): Verdict {
  const verdict = roughVerdictOn(round, court, picks);
  if (verdict.cost === undefined) return verdict;
  return { ...verdict, envelopeRows: energyRowsFor(round, picks, court.evaluator.evaluate(answerOf(round, picks))) };
}

/** The same without rows for what the model leaves out of the cost. */
export function roughVerdictOn(round: Round, { evaluator, leniency, sourcing }: Court, picks: Picks): Verdict {
  const answer = answerOf(round, picks);
  const evaluated = evaluator.evaluate(answer);
  if (!stands(evaluated, leniency)) return { rows: cutsFor(round, picks, { evaluated, leniency }), envelopeRows: [] };
  const rows = sourceRows({ round, picks, worked: { answer, evaluated }, sourcing, leniency });
  return rows.length > 0 ? { rows, envelopeRows: [] } : { cost: evaluated.money.total, rows, envelopeRows: [] };
}
