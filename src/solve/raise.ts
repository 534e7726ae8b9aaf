import { type Ascent, ascend } from "./ascent.ts";
import { activeRows, type Relaxation, relax, type Weights, weightsOf } from "./bound.ts";
import { type Court, hear, keepLimitOf, limitOf } from "./court.ts";
import type { Domain } from "./domain.ts";
import { undecidedFirst } from "./first-choices.ts";
import { narrowed } from "./fixing.ts";
import { polished, searchLocally } from "./local-search.ts";

/** What raising the bound of one node needs to know. */
export interface RaiseTask {
  readonly court: Court;
  /** Shrinks on the way. */
  readonly domain: Domain;
  readonly weights: Weights | undefined;
  readonly isRoot: boolean;
  /** It follows from a choice of a group to decide first. */
  readonly isChoice: boolean;
  readonly isStopped: () => boolean;
  /** Written to: afterwards the relaxation at the best multipliers. */
  readonly relaxation: Relaxation;
}

/** Nothing wanted has such a bound; an infinite one says that nothing is left at all. */
export function isOut(bound: number, court: Court): boolean {
  return bound === Infinity || bound > limitOf(court);
}

/** Ascends, looks for answers, and ascends again while the answers brought new rows or a better best. */
export function raiseBound(task: RaiseTask): { ascent: Ascent; steps: Weights[] } {
  const { court, domain, relaxation, isStopped } = task;
  const { core } = court;
  const steps: Weights[] = [];
  let { weights } = task;
  const isBeforeChoice = undecidedFirst(core, domain) === 1;
  for (let round = 0; ; round += 1) {
    const rows = core.rows.length;
    const ascent = ascend(core, domain, weights, {
      iterations: iterationsFor(task, round, isBeforeChoice),
      limit: () => limitOf(court),
      keepLimit: () => keepLimitOf(court),
      isStopped,
      room: relaxation,
      visit: (now, among) => hearPolished(task, now, among),
    });
    steps.push(...ascent.steps);
    if (isOut(ascent.bound, court) || isStopped()) return { ascent, steps };
    relaxation.isActive = activeRows(core, domain);
    relax(core, domain, weightsOf(core, ascent.weights), relaxation);
    const limit = limitOf(court);
    if (court.tie === undefined) improve(task);
    const isBetter = task.isRoot && !isBeforeChoice && limitOf(court) < limit;
    if ((core.rows.length === rows && !isBetter) || round >= 12) return { ascent, steps };
    weights = weightsOf(core, ascent.weights);
  }
}

/** Few where the only group left to decide first is decided next: that raises the bound much more. */
function iterationsFor({ weights, isRoot }: RaiseTask, round: number, isBeforeChoice: boolean): number {
  if (round > 0) return 60;
  if (!isRoot || weights !== undefined) return 150;
  return isBeforeChoice ? 60 : 400;
}

function hearPolished({ court }: RaiseTask, now: Relaxation, among: Domain): void {
  if (court.tie !== undefined) return;
  const found = polished(court.core, narrowed(court.core, among, now), now.pick);
  if (found.isFeasible) hear(court, found.picks);
}

/** Local search from the relaxation's picks; again while the judge answers with new rows. */
function improve({ court, domain, relaxation, isRoot, isChoice }: RaiseTask): void {
  const { core } = court;
  const isThorough = isRoot || isChoice || court.best === undefined;
  const narrow = narrowed(core, domain, relaxation);
  for (let round = 0; round < 12; round += 1) {
    const rows = core.rows.length;
    const { pick, slack } = relaxation;
    const found = isThorough ? searchLocally(core, narrow, pick, slack) : polished(core, narrow, pick);
    if (!found.isFeasible) return;
    hear(court, found.picks);
    if (core.rows.length === rows) return;
  }
}
