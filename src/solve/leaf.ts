import { lower, picksOf } from "../model/lower.ts";
import type { Picks, SelectionModel } from "../model/selection.ts";
import { ask } from "./ask.ts";
import type { Core } from "./core.ts";
import { costOf, isFeasible, usesOf } from "./cost.ts";
import type { Domain } from "./domain.ts";
import type { EngineAnswer, EngineName } from "./engine.ts";
import type { Engines } from "./engines/engines.ts";
import { linearCost } from "./engines/repair.ts";
import { restrict } from "./restrict.ts";

/** An engine's claim about a domain after our own check. */
export type LeafAnswer =
  | { readonly kind: "best"; readonly picks: Picks; readonly cost: number; readonly engine: EngineName }
  | { readonly kind: "none"; readonly engine: EngineName }
  | { readonly kind: "stopped" };

/** Counts of engine calls, written to. */
export interface EngineCounts {
  calls: number;
  failures: number;
}

/** What a leaf is solved with. */
export interface LeafTools {
  readonly engines: Engines;
  /** In the order they are asked. */
  readonly order: readonly EngineName[];
  readonly seconds: () => number;
  readonly counts: EngineCounts;
}

/** Local column indices left in each group. */
export function keptColumns(core: Core, domain: Domain): number[][] {
  return domain.alive.map((columns, g) => Array.from(columns, (column) => column - core.offset[g]!));
}

/**
 * The cheapest answer in a domain by an engine. Its picks are recomputed from the model, claimed cost against real
 * cost; that there is none is believed of HiGHS alone; an engine caught wrong is passed over for the other.
 */
export async function solveLeaf(core: Core, domain: Domain, tools: LeafTools): Promise<LeafAnswer> {
  const { model, restore } = restrict(core.model, keptColumns(core, domain));
  const linear = lower(model);
  let infeasible = 0;
  for (const name of tools.order) {
    tools.counts.calls += 1;
    const answer = await ask(tools.engines[name], linear, tools.seconds());
    const checked = checkedAnswer(model, answer, () => linearCost(linear, answer.values ?? []));
    if (checked !== undefined) {
      // HiGHS is asked after an infeasible claim of the other, and its answer shows the claim was false.
      tools.counts.failures += infeasible;
      return { kind: "best", picks: restore(checked.picks), cost: checked.cost, engine: name };
    }
    if (answer.status !== "infeasible") tools.counts.failures += 1;
    else infeasible += 1;
    // HiGHS has said so without presolve, too.
    if (answer.status === "infeasible" && name === "highs") return { kind: "none", engine: name };
  }
  return { kind: "stopped" };
}

/** Picks and their recomputed cost; undefined where the claim does not hold. */
function checkedAnswer(
  model: SelectionModel,
  answer: EngineAnswer,
  claimed: () => number,
): { readonly picks: Picks; readonly cost: number } | undefined {
  if (answer.status !== "optimal" || answer.values === undefined) return undefined;
  const picks = picksOf(model, answer.values);
  if (picks === undefined) return undefined;
  const uses = usesOf(model, picks);
  const cost = costOf(model, picks, uses);
  if (Math.abs(cost - claimed()) > 1e-5 * Math.max(1, Math.abs(cost))) return undefined;
  return isFeasible(model, picks, uses) ? { picks, cost } : undefined;
}
