import type { SelectionModel } from "../model/selection.ts";
import { newRelaxation, weightsOf } from "./bound.ts";
import { PATIENCE } from "./close.ts";
import { coreOf } from "./core.ts";
import { beginTies, type Court, hear, limitOf, newCourt, noiseOf, tieLimitOf } from "./court.ts";
import { fullDomain } from "./domain.ts";
import { boundOf, statusOf } from "./ending.ts";
import { newEngines } from "./engines/engines.ts";
import { keptColumns } from "./leaf.ts";
import { multipliersOf, weightsFrom } from "./multipliers.ts";
import type { Certificate, Outcome, SolveOptions, SolveStats } from "./outcome.ts";
import { refix } from "./refix.ts";
import { certificateBranch, openBound, openNodes, rootNode, runSearch, type Search } from "./search.ts";

/** Longest single call of an engine [s]. */
const ENGINE_SECONDS = 20;

/**
 * Solves a selection model to proven optimality, or as far as the time goes.
 *
 * Lagrangian bound with reduced-cost fixing, local search, branching on the groups to decide first, on parts and on
 * columns, small leaves by own enumeration or an engine whose every answer is recomputed. Every answer that could
 * become the best is judged first; rows the judge adds hold for the rest of the search. Afterwards the tie rule.
 */
export async function solveModel(model: SelectionModel, options: SolveOptions): Promise<Outcome> {
  const core = coreOf(model);
  const court = newCourt(core, options);
  const search = newSearch(court, options);
  if (options.start !== undefined && isPicks(model, options.start)) hear(court, options.start);
  const start = options.multipliers === undefined ? undefined : weightsFrom(core, options.multipliers);
  if (model.groups.length > 0) await runSearch(search, [rootNode(fullDomain(core), start)]);
  else hear(court, []);
  const ended: Ended = { search, limit: limitOf(court), bound: openBound(search), isComplete: !search.isCutShort };
  const ties =
    court.best !== undefined && ended.isComplete && options.ties !== false
      ? await settleTies(search, options)
      : undefined;
  return outcomeOf(ended, ties);
}

function isPicks(model: SelectionModel, picks: readonly number[]): boolean {
  return (
    picks.length === model.groups.length && model.groups.every(({ columns }, g) => columns[picks[g]!] !== undefined)
  );
}

function newSearch(court: Court, options: SolveOptions): Search {
  const counts = { calls: 0, failures: 0 };
  const { secondsLeft, aborted, progress, nodes } = options;
  const engines = options.engines ?? newEngines(() => -secondsLeft());
  const seconds = (): number => Math.min(ENGINE_SECONDS, secondsLeft());
  return {
    court,
    closer: {
      preferred: options.engine,
      tools: { engines, seconds, counts },
      patience: options.patience ?? PATIENCE,
      last: undefined,
    },
    counts,
    isStopped: () => secondsLeft() <= 0 || aborted?.() === true,
    room: newRelaxation(court.core),
    most: nodes ?? Number.POSITIVE_INFINITY,
    report: (search) => progress?.(progressOf(search)),
    fresh: [],
    lanes: [],
    branches: [],
    residue: [],
    nodes: 0,
    root: undefined,
    isCutShort: false,
  };
}

function progressOf(search: Search): Parameters<NonNullable<SolveOptions["progress"]>>[0] {
  const { court, nodes, root } = search;
  const { core } = court;
  const columns = root?.columns ?? core.columnCount;
  const cost = court.best?.cost;
  return { bound: openBound(search) - core.model.rounding, nodes, columns, ...(cost === undefined ? {} : { cost }) };
}

/** The search for the cheapest, as it stood when it ended. */
interface Ended {
  readonly search: Search;
  readonly limit: number;
  readonly bound: number;
  readonly isComplete: boolean;
}

/** Looks again at what was closed only for better answers, now for equal ones. */
async function settleTies(search: Search, options: SolveOptions): Promise<Search> {
  const { court, residue } = search;
  beginTies(court);
  const ties = newSearch(court, options);
  const start = residue.filter(({ bound }) => bound <= limitOf(court)).map((open) => ({ ...open, parent: 0, lane: 0 }));
  await runSearch(ties, start);
  return ties;
}

function outcomeOf(ended: Ended, ties: Search | undefined): Outcome {
  const { search } = ended;
  const { court, root } = search;
  const { core } = court;
  const status = statusOf(court, ended.isComplete);
  const engine = search.closer.last;
  return {
    status,
    ...court.best,
    ...boundOf(court, ended, status),
    model: core.model,
    added: court.added,
    certificate: certificateOf(ended),
    survivors: survivorsOf(search),
    multipliers: multipliersOf(core, root?.proof.at(-1) ?? weightsOf(core)),
    ...(engine === undefined ? {} : { engine }),
    stats: statsOf(ties === undefined ? [search] : [search, ties]),
    tiesSettled: ties !== undefined && !ties.isCutShort,
  };
}

function statsOf(searches: readonly Search[]): SolveStats {
  const sumOf = (count: (search: Search) => number): number => searches.reduce((sum, one) => sum + count(one), 0);
  const { court, root } = searches[0]!;
  return {
    nodes: sumOf(({ nodes }) => nodes),
    judged: court.known.size,
    engineCalls: sumOf(({ counts }) => counts.calls),
    engineFailures: sumOf(({ counts }) => counts.failures),
    rootColumns: root?.columns ?? court.core.columnCount,
  };
}

function certificateOf({ search, limit }: Ended): Certificate {
  const { branches, court } = search;
  const open = openNodes(search).map((node) => certificateBranch(court.core, node, "open"));
  return { limit, branches: [...branches, ...open], judged: [...court.known.values()] };
}

/** Columns that the root proof leaves at the cost of the optimum, and those of the answers heard at that cost. */
function survivorsOf({ court, root }: Search): number[][] {
  const { core, known, best } = court;
  const domain = fullDomain(core);
  refix(core, domain, root?.proof ?? [], tieLimitOf(court));
  const kept = keptColumns(core, domain).map((columns) => new Set(columns));
  const cost = best?.cost ?? -Infinity;
  for (const one of known.values()) {
    if (one.cost === undefined || one.cost > cost + noiseOf(core.model, cost)) continue;
    one.picks.forEach((pick, g) => kept[g]!.add(pick));
  }
  return kept.map((columns) => [...columns].toSorted((a, b) => a - b));
}
