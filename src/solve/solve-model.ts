import type { SelectionModel } from "../model/selection.ts";
import { type Weights, weightsOf } from "./bound.ts";
import { type Core, coreOf } from "./core.ts";
import { beginTies, type Court, hear, limitOf, newCourt, noiseOf } from "./court.ts";
import { type Domain, fullDomain, sizeOf } from "./domain.ts";
import { newEngines } from "./engines/engines.ts";
import { keptColumns } from "./leaf.ts";
import { multipliersOf, weightsFrom } from "./multipliers.ts";
import type { Certificate, Outcome, OutcomeStatus, SolveOptions, SolveStats } from "./outcome.ts";
import { refix } from "./refix.ts";
import { openBound, runSearch, type Search } from "./search.ts";

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
  const search = newSearch(core, court, options);
  if (options.start !== undefined && isPicks(model, options.start)) hear(court, options.start);
  const start = options.multipliers === undefined ? undefined : weightsFrom(core, options.multipliers);
  if (model.groups.length > 0) await runSearch(search, fullDomain(core), start);
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

function newSearch(core: Core, court: Court, options: SolveOptions): Search {
  const counts = { calls: 0, failures: 0 };
  const { secondsLeft, aborted, progress } = options;
  return {
    core,
    court,
    engine: options.engine,
    counts,
    tools: {
      engines: options.engines ?? newEngines(() => -secondsLeft()),
      seconds: () => Math.min(ENGINE_SECONDS, secondsLeft()),
      counts,
    },
    isStopped: () => secondsLeft() <= 0 || aborted?.() === true,
    report: (search) => progress?.(progressOf(search)),
    stack: [],
    branches: [],
    nodes: 0,
    closer: undefined,
    root: undefined,
    isCutShort: false,
  };
}

function progressOf(search: Search): Parameters<NonNullable<SolveOptions["progress"]>>[0] {
  const { court, nodes, root, core } = search;
  const columns = root === undefined ? core.columnCount : sizeOf(root.domain);
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

/** The search among equals. */
interface Ties {
  readonly search: Search;
  /** What the root left at the cost of the optimum. */
  readonly domain: Domain | undefined;
}

async function settleTies(search: Search, options: SolveOptions): Promise<Ties> {
  const { core, court, root } = search;
  beginTies(court);
  const ties = newSearch(core, court, options);
  const domain = fullDomain(core);
  refix(core, domain, proofWeights(search), limitOf(court));
  await runSearch(ties, domain, root === undefined ? undefined : weightsOf(core, root.ascent.weights));
  return { search: ties, domain: ties.root?.domain };
}

function proofWeights({ root }: Search): Weights[] {
  return root === undefined ? [] : [...root.ascent.steps, root.ascent.weights];
}

function outcomeOf(ended: Ended, ties: Ties | undefined): Outcome {
  const { search } = ended;
  const { core, court, root } = search;
  const status = statusOf(court, ended.isComplete);
  const engine = search.closer ?? ties?.search.closer;
  return {
    status,
    ...court.best,
    ...boundOf(ended, status),
    model: core.model,
    added: court.added,
    certificate: certificateOf(ended),
    survivors: survivorsOf(ended, ties),
    multipliers: multipliersOf(core, root?.ascent.weights ?? weightsOf(core)),
    ...(engine === undefined ? {} : { engine }),
    stats: statsOf(ties === undefined ? [search] : [search, ties.search]),
    tiesSettled: ties !== undefined && !ties.search.isCutShort,
  };
}

function statsOf(searches: readonly Search[]): SolveStats {
  const sumOf = (count: (search: Search) => number): number => searches.reduce((sum, one) => sum + count(one), 0);
  const { core, court, root } = searches[0]!;
  return {
    nodes: sumOf(({ nodes }) => nodes),
    judged: court.known.size,
    engineCalls: sumOf(({ counts }) => counts.calls),
    engineFailures: sumOf(({ counts }) => counts.failures),
    rootColumns: root === undefined ? core.columnCount : sizeOf(root.domain),
  };
}

function statusOf({ best }: Court, isComplete: boolean): OutcomeStatus {
  if (isComplete) return best === undefined ? "infeasible" : "optimal";
  return best === undefined ? "unknown" : "feasible";
}

function boundOf({ search, limit, bound }: Ended, status: OutcomeStatus): { bound: number; gap?: number } {
  const { court, core } = search;
  const { unit, rounding } = core.model;
  const cost = court.best?.cost;
  if (status === "infeasible") return { bound: court.cutoff };
  if (cost === undefined) return { bound: bound - rounding };
  if (status === "optimal")
    return { bound: Math.min(cost, Math.max(cost - unit, limit - rounding + noiseOf(core.model, cost) * 2)), gap: 0 };
  const least = Math.min(cost, bound - rounding);
  return { bound: least, gap: cost - least };
}

function certificateOf({ search, limit }: Ended): Certificate {
  const { core, branches, stack, court } = search;
  const open = stack.map(({ parent, fixed, weights, bound }) => ({
    parent,
    ...(fixed === undefined ? {} : { fixed }),
    steps: [],
    multipliers: multipliersOf(core, weights ?? weightsOf(core)),
    bound,
    closedBy: "open" as const,
  }));
  return { limit, branches: [...branches, ...open], judged: [...court.known.values()] };
}

/** Columns that the root proof leaves at the cost of the optimum, and those of the answers heard at that cost. */
function survivorsOf({ search }: Ended, ties: Ties | undefined): number[][] {
  const { core, court } = search;
  const domain = ties?.domain ?? rootDomain(search);
  const kept = keptColumns(core, domain).map((columns) => new Set(columns));
  const cost = court.best?.cost ?? Infinity;
  for (const known of court.known.values()) {
    if (known.cost === undefined || known.cost > cost + noiseOf(core.model, cost)) continue;
    known.picks.forEach((pick, g) => kept[g]!.add(pick));
  }
  return kept.map((columns) => [...columns].toSorted((a, b) => a - b));
}

function rootDomain(search: Search): Domain {
  const { core, court } = search;
  const domain = fullDomain(core);
  if (court.best !== undefined && court.tie === undefined) beginTies(court);
  refix(core, domain, proofWeights(search), limitOf(court));
  return domain;
}
