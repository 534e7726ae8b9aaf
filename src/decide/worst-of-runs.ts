import type { Limit, LimitId, Unchecked } from "../machine/limit.ts";
import type { Run } from "./setup.ts";

/** What one run says of limits. */
interface RunJudgement {
  readonly limits: readonly Limit[];
  readonly unchecked: readonly Unchecked[];
  readonly failed: readonly LimitId[];
}

/** Judgements of all runs as one: each limit from the run in which it is nearest to failing, with that run's mode. */
export function worstOfRuns<T extends RunJudgement>(judgements: readonly T[], runs: readonly Run[]): T {
  const [first, ...others] = judgements;
  if (first === undefined) throw new RangeError("worstOfRuns: no run");
  if (others.length === 0) return first;
  const limits = new Map<LimitId, Limit>();
  judgements.forEach((judgement, k) => {
    const mode = runs[k]?.mode;
    for (const limit of judgement.limits) {
      const before = limits.get(limit.id);
      if (before === undefined || useOf(limit) > useOf(before))
        limits.set(limit.id, mode === undefined ? limit : { ...limit, mode });
    }
  });
  const unchecked = new Map(judgements.flatMap((judgement) => judgement.unchecked).map((one) => [one.id, one]));
  const failed = new Set(judgements.flatMap((judgement) => judgement.failed));
  return { ...first, limits: [...limits.values()], unchecked: [...unchecked.values()], failed: [...failed] };
}

function useOf({ utilisation }: Limit): number {
  return utilisation ?? Number.POSITIVE_INFINITY;
}
