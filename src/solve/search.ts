import { type Ascent, ascend } from "./ascent.ts";
import { activeRows, newRelaxation, type Relaxation, relax, type Weights, weightsOf } from "./bound.ts";
import { decide, splitOf } from "./branching.ts";
import type { Core } from "./core.ts";
import { type Court, exclude, hear, limitOf } from "./court.ts";
import { copyDomain, type Domain, openSize } from "./domain.ts";
import type { EngineName } from "./engine.ts";
import { enumerate } from "./enumerate.ts";
import { type EngineCounts, type LeafTools, solveLeaf } from "./leaf.ts";
import { polished, searchLocally } from "./local-search.ts";
import { multipliersOf } from "./multipliers.ts";
import type { CertificateBranch, Decision } from "./outcome.ts";
import { solveTieLeaf, tieEnumeration } from "./ties.ts";

/** Columns in open groups up to which the embedded engine is good at a leaf. */
const SIMPLEX_LEAF = 120;

/** The same for HiGHS, once branching alone has taken this many nodes. */
const HIGHS_LEAF = 600;
const PATIENCE = 40;

/** A part of the search still to be looked at. */
interface Open {
  readonly domain: Domain;
  readonly weights: Weights | undefined;
  readonly bound: number;
  readonly parent: number;
  readonly fixed: Decision | undefined;
}

/** State of one search over a core; the court outlives it. */
export interface Search {
  readonly core: Core;
  readonly court: Court;
  readonly engine: EngineName;
  readonly tools: Omit<LeafTools, "order">;
  readonly counts: EngineCounts;
  readonly isStopped: () => boolean;
  readonly report: (search: Search) => void;
  readonly stack: Open[];
  readonly branches: CertificateBranch[];
  nodes: number;
  /** The last engine that closed a leaf. */
  closer: EngineName | undefined;
  /** After the root: its multipliers and what is left. */
  root: { readonly ascent: Ascent; readonly domain: Domain } | undefined;
  /** Ties given up for lack of time. */
  isCutShort: boolean;
}

/** Searches from a domain until nothing at or below the court's limit is left, or until stopped. */
export async function runSearch(search: Search, domain: Domain, weights: Weights | undefined): Promise<void> {
  search.stack.push({ domain, weights, bound: -Infinity, parent: -1, fixed: undefined });
  while (search.stack.length > 0) {
    if (search.isStopped()) {
      search.isCutShort = true;
      return;
    }
    const open = search.stack.pop()!;
    await visitNode(search, open);
    search.report(search);
  }
}

/** Least bound over what is still open; the limit when nothing is. */
export function openBound({ stack, court }: Search): number {
  return stack.reduce((least, { bound }) => Math.min(least, bound), limitOf(court));
}

/** Nothing wanted has such a bound; an infinite one says that nothing is left at all. */
function isOut(bound: number, court: Court): boolean {
  return bound === Infinity || bound > limitOf(court);
}

async function visitNode(search: Search, open: Open): Promise<void> {
  const { core, court } = search;
  if (isOut(open.bound, court)) {
    record(search, open, { steps: [], weights: open.weights ?? weightsOf(core), bound: open.bound }, "bound");
    return;
  }
  search.nodes += 1;
  const domain = copyDomain(open.domain);
  const relaxation = newRelaxation(core);
  const { ascent, steps } = raiseBound(search, open, domain, relaxation);
  if (open.parent === -1) search.root ??= { ascent, domain: copyDomain(domain) };
  const bound = Math.max(ascent.bound, open.bound);
  const proof = { steps, weights: ascent.weights, bound };
  if (isOut(bound, court)) {
    record(search, open, proof, "bound");
    return;
  }
  relaxation.isActive = activeRows(core, domain);
  relax(core, domain, weightsOf(core, ascent.weights), relaxation);
  if (enumerateLeaf(search, domain, relaxation)) record(search, open, proof, "enumeration");
  else if (await askEngine(search, domain)) record(search, open, proof, "engine");
  else split(search, open, { domain, ascent, relaxation, proof });
}

/** Ascends, looks for answers, and ascends again while the answers brought new rows. */
function raiseBound(
  search: Search,
  open: Open,
  domain: Domain,
  relaxation: Relaxation,
): { ascent: Ascent; steps: Weights[] } {
  const { core, court } = search;
  const steps: Weights[] = [];
  let weights = open.weights;
  for (let round = 0; ; round += 1) {
    const rows = core.rows.length;
    const ascent = ascend(core, domain, weights, {
      iterations: iterationsFor(search, open, round),
      limit: () => limitOf(court),
      isStopped: search.isStopped,
      visit: (now) => hearPolished(search, domain, now),
    });
    steps.push(...ascent.steps);
    if (isOut(ascent.bound, court) || search.isStopped()) return { ascent, steps };
    relaxation.isActive = activeRows(core, domain);
    relax(core, domain, weightsOf(core, ascent.weights), relaxation);
    const limit = limitOf(court);
    if (court.tie === undefined) improve(search, open, domain, relaxation);
    const isBetter = open.parent === -1 && limitOf(court) < limit;
    if ((core.rows.length === rows && !isBetter) || round >= 12) return { ascent, steps };
    weights = weightsOf(core, ascent.weights);
  }
}

function iterationsFor(search: Search, { parent, weights }: Open, round: number): number {
  if (round > 0) return 60;
  if (parent >= 0) return search.core.columnCount > 20_000 ? 60 : 90;
  return weights === undefined ? 400 : 150;
}

function hearPolished({ core, court }: Search, domain: Domain, { pick }: Relaxation): void {
  if (court.tie !== undefined) return;
  const found = polished(core, domain, pick);
  if (found.isFeasible) hear(court, found.picks);
}

/** Local search from the relaxation's picks; again while the judge answers with new rows. */
function improve({ core, court }: Search, open: Open, domain: Domain, relaxation: Relaxation): void {
  const isThorough = open.parent === -1 || court.best === undefined;
  for (let round = 0; round < 12; round += 1) {
    const rows = core.rows.length;
    const { pick, slack } = relaxation;
    const found = isThorough ? searchLocally(core, domain, pick, slack) : polished(core, domain, pick);
    if (!found.isFeasible) return;
    hear(court, found.picks);
    if (core.rows.length === rows) return;
  }
}

/** Sees through everything that the bound leaves, if that is little. */
function enumerateLeaf(search: Search, domain: Domain, relaxation: Relaxation): boolean {
  const { core, court } = search;
  const size = openSize(domain);
  const budget = size <= SIMPLEX_LEAF ? 20_000 : 4000;
  const base = { limit: () => limitOf(court), budget, visit: (picks: readonly number[]) => void hear(court, picks) };
  return enumerate(
    core,
    domain,
    relaxation,
    court.tie === undefined ? base : { ...base, ...tieEnumeration(court, domain), budget: 4 * budget },
  );
}

/** Closes a small domain by an engine; false: it could not, or the domain is not ripe. */
async function askEngine(search: Search, domain: Domain): Promise<boolean> {
  const { core, court } = search;
  const order = enginesFor(search, domain);
  if (order.length === 0) return false;
  const tools: LeafTools = { ...search.tools, order };
  if (court.tie !== undefined) return solveTieLeaf(court, domain, tools);
  while (!search.isStopped()) {
    const answer = await solveLeaf(core, domain, tools);
    if (answer.kind === "stopped") return false;
    search.closer = answer.engine;
    if (answer.kind === "none" || answer.cost > limitOf(court)) return true;
    // Heard before or just now, but still below the limit: out of the way, so that the next one can show.
    hear(court, answer.picks);
    if (isStillWanted(court, answer.picks)) exclude(court, answer.picks);
  }
  return false;
}

function isStillWanted({ core, known }: Court, picks: readonly number[]): boolean {
  return known.has(picks.join(" ")) && !core.rows.some(({ key }) => key === `cut/${picks.join("-")}`);
}

function enginesFor(search: Search, domain: Domain): readonly EngineName[] {
  const { core, engine, nodes, court } = search;
  const size = openSize(domain);
  const isTried = nodes > PATIENCE;
  const isHighsLeaf = size <= HIGHS_LEAF && (isTried || (engine === "highs" && court.tie === undefined));
  if (court.tie !== undefined) return isHighsLeaf ? ["highs"] : [];
  const isUndecided = core.model.groups.some(({ decideFirst }, g) => decideFirst && domain.alive[g]!.length > 1);
  if (isUndecided && !isTried) return [];
  if (size <= SIMPLEX_LEAF && engine === "simplex") return ["simplex", "highs"];
  return isHighsLeaf ? ["highs"] : [];
}

interface Proof {
  readonly steps: readonly Weights[];
  readonly weights: Weights;
  readonly bound: number;
}

function record(search: Search, { parent, fixed }: Open, proof: Proof, closedBy: CertificateBranch["closedBy"]): void {
  if (search.court.tie !== undefined) return;
  const { core } = search;
  search.branches.push({
    parent,
    ...(fixed === undefined ? {} : { fixed }),
    steps: proof.steps.map((weights) => multipliersOf(core, weights)),
    multipliers: multipliersOf(core, proof.weights),
    bound: proof.bound,
    closedBy,
  });
}

function split(
  search: Search,
  open: Open,
  at: { domain: Domain; ascent: Ascent; relaxation: Relaxation; proof: Proof },
): void {
  const { core, stack } = search;
  record(search, open, at.proof, "split");
  const parent = Math.max(0, search.branches.length - 1);
  const { weights } = at.ascent;
  const decisions = splitOf(core, at.domain, at.ascent, at.relaxation);
  for (const fixed of decisions.toReversed()) {
    stack.push({ domain: decide(core, at.domain, fixed), weights, bound: at.proof.bound, parent, fixed });
  }
}
