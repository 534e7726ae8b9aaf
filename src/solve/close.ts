import type { Relaxation } from "./bound.ts";
import { costOf, isFeasible, usesOf } from "./cost.ts";
import { type Court, exclude, hear, keepLimitOf, limitOf } from "./court.ts";
import { type Domain, openSize } from "./domain.ts";
import type { EngineName } from "./engine.ts";
import { enumerate } from "./enumerate.ts";
import { undecidedFirst } from "./first-choices.ts";
import { type LeafTools, solveLeaf } from "./leaf.ts";
import { solveTieLeaf, tieEnumeration } from "./ties.ts";

/** Columns in open groups up to which much is enumerated. */
const SMALL_LEAF = 400;

/** The same up to which the embedded engine is good at a leaf: larger ones split sooner than it solves them. */
const SIMPLEX_LEAF = 60;

/** The same for HiGHS, growing with the nodes that branching alone has taken. */
const HIGHS_LEAVES = [
  { nodes: 4000, columns: 4000 },
  { nodes: 1500, columns: 1500 },
  { nodes: 400, columns: 400 },
] as const;

/** How leaves are closed by engines. */
export interface Closer {
  readonly preferred: EngineName;
  readonly tools: Omit<LeafTools, "order">;
  /** Partial answers looked at before an engine is asked. */
  readonly patience: number;
  /** The last engine that closed a leaf. */
  last: EngineName | undefined;
}

/** How far a closed domain is closed: no answer left in it that was not heard costs less (model cost). */
export type ClosedAt = number;

/** Partial answers looked at before an engine is asked: a fraction of a second, where an engine may take many. */
export const PATIENCE = 100_000;

/** Share of it that a domain gets which is not ripe for an engine: any, and a small one. */
const SHARE = { any: 0.01, small: 0.25 };

/** What closing by enumeration looks at. */
export interface EnumerationTask {
  readonly court: Court;
  readonly relaxation: Relaxation;
  /** Partial answers looked at before an engine is asked. */
  readonly patience: number;
  readonly isStopped: () => boolean;
}

/**
 * Sees through everything that the bound leaves, if that is little; undefined: it is too much, or it was stopped.
 *
 * @param ripe - an engine would be asked next: then more is looked at
 */
export function closeByEnumeration(task: EnumerationTask, domain: Domain, ripe: boolean): ClosedAt | undefined {
  const share = openSize(domain) <= SMALL_LEAF ? SHARE.small : SHARE.any;
  const closedAt = seeThrough(task, domain, { wanted: task.patience * share, isLast: false });
  return closedAt === undefined && ripe ? seeThrough(task, domain, { wanted: task.patience, isLast: true }) : closedAt;
}

/** @param isLast - no splitting follows: where there are too many that only equal the best, those below it are looked at alone */
function seeThrough(
  task: EnumerationTask,
  domain: Domain,
  { wanted, isLast }: { wanted: number; isLast: boolean },
): ClosedAt | undefined {
  const { court, relaxation, isStopped } = task;
  // Enough for a domain with nothing left to decide.
  const budget = Math.max(wanted, 2 * court.core.groupCount);
  // Below the cheapest picks each column is looked at once.
  if (openSize(domain) > budget) return undefined;
  if (court.tie !== undefined) return enumerateTies(task, domain, 4 * budget);
  let closedAt = Infinity;
  // Answers that only equal the best are passed over here, but it is noted that there are some.
  const visit = (picks: readonly number[]): void => {
    const cost = costIfFeasible(court, picks);
    if (cost > limitOf(court)) closedAt = Math.min(closedAt, cost);
    else hear(court, picks);
  };
  const toTies = { limit: () => keepLimitOf(court), budget, visit, isStopped };
  if (enumerate(court.core, domain, relaxation, toTies)) return closedAt;
  if (!isLast) return undefined;
  const strict = { ...toTies, limit: () => limitOf(court) };
  return enumerate(court.core, domain, relaxation, strict) ? limitOf(court) : undefined;
}

function costIfFeasible({ core: { model } }: Court, picks: readonly number[]): number {
  const uses = usesOf(model, picks);
  return isFeasible(model, picks, uses) ? costOf(model, picks, uses) : Infinity;
}

function enumerateTies(
  { court, relaxation, isStopped }: EnumerationTask,
  domain: Domain,
  budget: number,
): ClosedAt | undefined {
  const visit = (picks: readonly number[]): void => void hear(court, picks);
  const options = { limit: () => limitOf(court), budget, visit, isStopped, ...tieEnumeration(court, domain) };
  return enumerate(court.core, domain, relaxation, options) ? Infinity : undefined;
}

/** What closing by an engine looks at. */
export interface EngineTask {
  readonly court: Court;
  readonly closer: Closer;
  /** Nodes visited so far. */
  readonly nodes: number;
  readonly isStopped: () => boolean;
}

/** Whether a domain is small enough to be closed at one stroke. */
export function isRipe(task: EngineTask, domain: Domain): boolean {
  return enginesFor(task, domain).length > 0;
}

/** Closes a ripe domain by an engine; undefined: it could not. */
export async function closeByEngine(task: EngineTask, domain: Domain): Promise<ClosedAt | undefined> {
  const { court, closer } = task;
  const order = enginesFor(task, domain);
  const tools: LeafTools = { ...closer.tools, order };
  if (court.tie !== undefined) return (await solveTieLeaf(court, domain, tools)) ? Infinity : undefined;
  while (!task.isStopped()) {
    const answer = await solveLeaf(court.core, domain, tools);
    if (answer.kind === "stopped") return undefined;
    closer.last = answer.engine;
    if (answer.kind === "none") return Infinity;
    if (answer.cost > limitOf(court)) return answer.cost;
    // Heard before or just now, but still below the limit: out of the way, so that the next one can show.
    hear(court, answer.picks);
    if (isStillWanted(court, answer.picks)) exclude(court, answer.picks);
  }
  return undefined;
}

function isStillWanted({ core, known }: Court, picks: readonly number[]): boolean {
  return known.has(picks.join(" ")) && !core.rows.some(({ key }) => key === `cut/${picks.join("-")}`);
}

function enginesFor({ court, closer, nodes }: EngineTask, domain: Domain): readonly EngineName[] {
  const size = openSize(domain);
  const grown = HIGHS_LEAVES.find((leaf) => nodes > leaf.nodes)?.columns ?? 0;
  const isDecided = undecidedFirst(court.core, domain) === 0;
  if (court.tie !== undefined || !isDecided) return size <= grown ? ["highs"] : [];
  if (closer.preferred === "highs") return size <= Math.max(grown, 600) ? ["highs"] : [];
  if (size <= SIMPLEX_LEAF) return ["simplex", "highs"];
  return size <= grown ? ["highs"] : [];
}
