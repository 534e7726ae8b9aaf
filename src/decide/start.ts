import type { Multipliers } from "../solve/multipliers.ts";
import type { OrderAnswer } from "./answer.ts";
import { type NamedMachine, namedMachines } from "./named-answer.ts";
import type { Prepared } from "./prepare.ts";

/**
 * What questions much like the next one ended with: where to begin looking. All by name, so that nothing of those
 * questions is kept alive; what the next one does not have is passed over. It changes how soon an answer is proved, never
 * which one.
 */
export interface Start {
  /** Of the latest. */
  readonly multipliers: Multipliers;
  /** Different ones, the latest first. */
  readonly answers: readonly (readonly NamedMachine[])[];
}

/** Answers kept. */
const MOST = 4;

/** The start that a decision adds to the one before. */
export function startOf(
  { answer, prepared }: { readonly answer?: OrderAnswer; readonly prepared: readonly Prepared[] },
  before: Start | undefined,
): Start | undefined {
  const [first] = prepared;
  if (answer === undefined || first === undefined) return before;
  const latest = namedMachines(answer);
  const others = (before?.answers ?? []).filter((other) => JSON.stringify(other) !== JSON.stringify(latest));
  return { multipliers: first.multipliers, answers: [latest, ...others].slice(0, MOST) };
}
