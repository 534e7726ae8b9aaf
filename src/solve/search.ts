import type { Ascent } from "./ascent.ts";
import { activeRows, type Relaxation, relax, type Weights, weightsOf } from "./bound.ts";
import { decide, type Split, splitOf } from "./branching.ts";
import { type ClosedAt, type Closer, closeByEngine, closeByEnumeration, type EngineTask, isRipe } from "./close.ts";
import type { Core } from "./core.ts";
import { type Court, keepLimitOf, limitOf, tieLimitOf } from "./court.ts";
import { copyDomain, type Domain } from "./domain.ts";
import type { EngineCounts } from "./leaf.ts";
import { multipliersOf } from "./multipliers.ts";
import type { CertificateBranch, Decision } from "./outcome.ts";
import { isOut, raiseBound } from "./raise.ts";
import { refix } from "./refix.ts";

/** Nodes spent in one lane before the next has its turn, as long as there is no answer. */
const TURN = 8;

/** A part of the search still to be looked at. */
export interface Open {
  readonly domain: Domain;
  readonly weights: Weights | undefined;
  readonly bound: number;
  /** Index of the parent's certificate; -1 for a root. */
  readonly parent: number;
  readonly fixed?: Decision;
  /** Set once the bound has been raised: what the relaxation used on the way. */
  readonly ascent?: Ascent;
  readonly steps: readonly Weights[];
  /** Subtree it belongs to: each choice of the groups decided first is one of its own. */
  readonly lane: number;
  /** A choice of a group to decide first, to be looked at beside the others of its group before any is gone into. */
  readonly isChoice?: true;
}

/** State of one search; the court outlives it. */
export interface Search {
  readonly court: Court;
  readonly closer: Closer;
  readonly counts: EngineCounts;
  readonly isStopped: () => boolean;
  /** Room for the relaxation of the node looked at. */
  readonly room: Relaxation;
  /** Most nodes looked at. */
  readonly most: number;
  readonly report: (search: Search) => void;
  /** Nodes of choices to decide first whose bound is still to be raised. */
  readonly fresh: Open[];
  /** Open nodes by lane, the next one last. */
  readonly lanes: Open[][];
  readonly branches: CertificateBranch[];
  /** Closed only for answers better than the best: looked at again when ties are settled. */
  readonly residue: Open[];
  nodes: number;
  /** After the root: its multipliers and what is left. */
  root: { readonly proof: readonly Weights[]; readonly columns: number } | undefined;
  /** Ended by time or abort. */
  isCutShort: boolean;
}

/** Searches until nothing at or below the court's limit is left, or until stopped. */
export async function runSearch(search: Search, start: readonly Open[]): Promise<void> {
  for (const open of start) (search.lanes[open.lane] ??= []).push(open);
  for (let open = takeNext(search); open !== undefined; open = takeNext(search)) {
    if (isSpent(search)) {
      search.isCutShort = true;
      (search.lanes[open.lane] ??= []).push(open);
      return;
    }
    await visitNode(search, open);
    search.report(search);
  }
}

function isSpent({ isStopped, nodes, most }: Search): boolean {
  return nodes >= most || isStopped();
}

/** A node that spans a whole domain. */
export function rootNode(domain: Domain, weights: Weights | undefined): Open {
  return { domain, weights, bound: -Infinity, parent: -1, steps: [], lane: 0 };
}

/** Everything still open. */
export function openNodes({ fresh, lanes }: Search): readonly Open[] {
  return [...fresh, ...lanes.flat()];
}

/** Least bound over what is still open; the limit when nothing is. */
export function openBound(search: Search): number {
  return openNodes(search).reduce((least, { bound }) => Math.min(least, bound), limitOf(search.court));
}

/**
 * Fresh choices first, so that each has a bound and has looked for an answer; then the lane of the lowest bound,
 * depth first within it. Without an answer the lanes take turns: the lowest bound may belong to a choice that has none.
 */
function takeNext({ fresh, lanes, court, nodes }: Search): Open | undefined {
  const first = fresh.shift();
  if (first !== undefined) return first;
  const filled = lanes.filter(({ length }) => length > 0);
  if (filled.length === 0) return undefined;
  if (court.best === undefined) return filled[Math.floor(nodes / TURN) % filled.length]!.pop();
  const boundOf = (lane: readonly Open[]): number =>
    lane.reduce((least, { bound }) => Math.min(least, bound), Infinity);
  return filled.reduce((best, lane) => (boundOf(lane) < boundOf(best) ? lane : best)).pop();
}

/** A node whose bound has been raised. */
interface Raised {
  readonly open: Open;
  readonly domain: Domain;
  readonly weights: Weights;
  readonly bound: number;
  readonly steps: readonly Weights[];
  readonly ascent: Ascent;
}

async function visitNode(search: Search, open: Open): Promise<void> {
  const { court } = search;
  if (isOut(open.bound, court)) {
    close(search, { ...open, weights: open.weights ?? weightsOf(court.core) }, "bound");
    return;
  }
  search.nodes += 1;
  const { room: relaxation } = search;
  const raised = open.ascent === undefined ? raise(search, open, relaxation) : refresh(search, open, open.ascent);
  const { bound, weights, steps, domain, ascent } = raised;
  const now: Open = { ...open, bound, weights, steps, domain, ascent };
  if (isOut(bound, court)) close(search, now, "bound");
  else if (open.ascent === undefined && open.isChoice) (search.lanes[open.lane] ??= []).push(now);
  else await settle(search, now, raised, relaxation);
}

async function settle(search: Search, now: Open, raised: Raised, relaxation: Relaxation): Promise<void> {
  const { closer, court, nodes } = search;
  const { core } = court;
  relaxation.isActive = activeRows(core, raised.domain);
  relax(core, raised.domain, weightsOf(core, raised.weights), relaxation);
  const { domain } = raised;
  const seeing = { court, relaxation, patience: closer.patience, isStopped: search.isStopped };
  const asking: EngineTask = { court, closer, nodes, isStopped: () => isSpent(search) };
  const ripe = isRipe(asking, domain);
  const seenTo = closeByEnumeration(seeing, domain, ripe);
  if (seenTo !== undefined) {
    close(search, now, "enumeration", seenTo);
    return;
  }
  const solvedTo = ripe ? await closeByEngine(asking, domain) : undefined;
  if (solvedTo !== undefined) close(search, now, "engine", solvedTo);
  else if (isSpent(search)) (search.lanes[now.lane] ??= []).push(now);
  else split(search, now, raised, relaxation);
}

function raise(search: Search, open: Open, relaxation: Relaxation): Raised {
  const { court, isStopped } = search;
  const domain = copyDomain(open.domain);
  const isRoot = open.parent === -1 && court.tie === undefined;
  const isChoice = open.isChoice === true;
  const { weights } = open;
  const { ascent, steps } = raiseBound({ court, domain, weights, isRoot, isChoice, isStopped, relaxation });
  const columns = domain.alive.reduce((sum, { length }) => sum + length, 0);
  if (isRoot) search.root ??= { proof: [...steps, ascent.weights], columns };
  return { open, domain, weights: ascent.weights, bound: Math.max(ascent.bound, open.bound), steps, ascent };
}

/** The bound was raised before: only what the limit has fallen since is looked at. */
function refresh({ court }: Search, open: Open, ascent: Ascent): Raised {
  const domain = copyDomain(open.domain);
  const weights = weightsOf(court.core, ascent.weights);
  const bound = refix(court.core, domain, [weights], keepLimitOf(court));
  return { open, domain, weights, bound: Math.max(bound, open.bound), steps: [...open.steps, weights], ascent };
}

/** Records how a node ended; what was closed only for better answers is kept for the ties. */
function close(
  search: Search,
  node: Open,
  closedBy: CertificateBranch["closedBy"],
  closedAt: ClosedAt = node.bound,
): void {
  const { court } = search;
  record(search, node, closedBy);
  if (court.tie !== undefined || !court.keepsTies) return;
  if (closedAt <= tieLimitOf(court)) search.residue.push({ ...node, bound: closedAt });
}

function record(search: Search, node: Open, closedBy: CertificateBranch["closedBy"]): void {
  if (search.court.tie === undefined) search.branches.push(certificateBranch(search.court.core, node, closedBy));
}

/** A node as the certificate shows it. */
export function certificateBranch(core: Core, node: Open, closedBy: CertificateBranch["closedBy"]): CertificateBranch {
  const { parent, fixed, steps, weights, bound } = node;
  return {
    parent,
    ...(fixed === undefined ? {} : { fixed }),
    steps: steps.map((one) => multipliersOf(core, one)),
    multipliers: multipliersOf(core, weights ?? weightsOf(core)),
    bound,
    closedBy,
  };
}

function split(search: Search, now: Open, { domain, ascent, weights, bound }: Raised, relaxation: Relaxation): void {
  const { court, lanes, fresh } = search;
  const { decisions, settled, areChoices } = splitOf(court, domain, ascent, relaxation);
  if (settled.length > 0) {
    takeSettled(search, now, settled);
    return;
  }
  record(search, now, "split");
  const parent = Math.max(0, search.branches.length - 1);
  const base = { weights, bound, parent, steps: [], lane: now.lane };
  const children = decisions.map((fixed): Open => ({ ...base, domain: decide(court.core, domain, fixed), fixed }));
  if (areChoices) {
    children.forEach((child, at) => fresh.push({ ...child, lane: lanes.length + at, isChoice: true }));
    for (const _ of children) lanes.push([]);
  } else (lanes[now.lane] ??= []).push(...children.toReversed());
}

/** Takes decisions whose other side is out, one below the other: none of the domains between them is looked at. */
function takeSettled(search: Search, node: Open, settled: Split["settled"]): void {
  const { court, branches } = search;
  let now = node;
  const out: Open[] = [];
  for (const [open, closed] of settled) {
    record(search, now, "split");
    const { weights, bound, lane } = node;
    const base = { weights, bound, lane, parent: Math.max(0, branches.length - 1), steps: [] };
    out.push({ ...base, domain: decide(court.core, now.domain, closed), fixed: closed });
    now = { ...base, domain: decide(court.core, now.domain, open), fixed: open };
  }
  (search.lanes[node.lane] ??= []).push(now, ...out);
}
