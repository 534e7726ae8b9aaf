import { studentQuantile } from "./distributions.ts";
import type { Absent } from "./remark.ts";
import type { Effect } from "./two-level-effects.ts";

/** How large effects of nothing are. */
export interface Lenth {
  /** Pseudo standard error. */
  readonly pse: number;
  /** A single inert effect stays below it with the confidence asked for. */
  readonly marginOfError: number;
  /** All inert effects together stay below it with the confidence asked for. */
  readonly simultaneousMargin: number;
  /** Degrees of freedom of the quantiles, a third of the number of effects. */
  readonly freedom: number;
  /** Effects beyond the margin of error. */
  readonly likely: readonly string[];
  /** Effects beyond the simultaneous margin. */
  readonly active: readonly string[];
}

/**
 * Judges effects of a design without replicates by each other. It assumes that few of them are active and that the
 * rest is noise; of a solver without noise it ranks what is left out of a smaller model.
 *
 * s0 = 1.5·median|c|, PSE = 1.5·median{|c| : |c| < 2.5·s0}, d = m/3; ME = t(0.975; d)·PSE,
 * SME = t(γ; d)·PSE with γ = (1 + 0.95^(1/m))/2
 * Source: R. V. Lenth, "Quick and easy analysis of unreplicated factorials", Technometrics 31 (1989) 469.
 *
 * @param confidence - of the margins, from 0 to 1
 */
export function lenth(effects: readonly Pick<Effect, "name" | "value">[], confidence = 0.95): Lenth | Absent {
  const sizes = effects.map(({ value }) => Math.abs(value));
  if (sizes.length < 2) return { absent: "too-few-effects" };
  const firstGuess = 1.5 * median(sizes);
  if (firstGuess === 0) return { absent: "all-zero-effects" };
  const pse = 1.5 * median(sizes.filter((size) => size < 2.5 * firstGuess));
  const freedom = sizes.length / 3;
  const margin = (share: number): number => studentQuantile((1 + share) / 2, freedom) * pse;
  const [marginOfError, simultaneousMargin] = [margin(confidence), margin(confidence ** (1 / sizes.length))];
  const beyond = (limit: number): string[] =>
    effects.filter(({ value }) => Math.abs(value) > limit).map(({ name }) => name);
  return {
    pse,
    marginOfError,
    simultaneousMargin,
    freedom,
    likely: beyond(marginOfError),
    active: beyond(simultaneousMargin),
  };
}

function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = sorted.length / 2;
  return ((sorted[Math.ceil(middle) - 1] ?? 0) + (sorted[Math.floor(middle)] ?? 0)) / 2;
}
