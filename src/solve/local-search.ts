import { type Assignment, applyColumn, applyParts, emptyAssignment, moveInRows } from "./assignment.ts";
import type { Core } from "./core.ts";
import { costOf, isFeasible, usesOf } from "./cost.ts";
import type { Domain } from "./domain.ts";
import { improveGroup } from "./improve-group.ts";

/** Picks by group, local column index, with their cost in the model. */
export interface Found {
  readonly picks: readonly number[];
  readonly cost: number;
  readonly isFeasible: boolean;
}

/** Most rounds over all groups in one polish; each round improves or ends it. */
const MOST_ROUNDS = 30;

/** Most parts that drop and add moves try per pass. */
const MOST_PARTS = 24;

/** Improves picks group by group until no single change helps. Deterministic. */
export function polished(core: Core, domain: Domain, start: Int32Array): Found {
  const assignment = assignmentOf(core, domain, start);
  polish(assignment, domain);
  return foundOf(assignment);
}

/**
 * Improves picks group by group, then by giving up parts and by taking parts in, until nothing helps.
 *
 * @param promise - by part: the smaller, the sooner it is tried (slack of the relaxation)
 */
export function searchLocally(core: Core, domain: Domain, start: Int32Array, promise: Float64Array): Found {
  const assignment = assignmentOf(core, domain, start);
  polish(assignment, domain);
  let best = foundOf(assignment);
  const inVain = new Set<string>();
  for (let pass = 0; pass < 8; pass += 1) {
    const before = best;
    const moves = movesOf(assignment, domain, promise).filter((move) => !inVain.has(String(move)));
    best = tryMoves(assignment, domain, { start: best, moves, inVain });
    if (best === before) break;
  }
  return best;
}

/** Which parts a move bans (-1) or treats as paid for (1). */
type Move = readonly (readonly [part: number, mode: 1 | -1])[];

function movesOf(assignment: Assignment, domain: Domain, promise: Float64Array): Move[] {
  const { core, useCount } = assignment;
  const isPriced = (part: number): boolean => core.fixed[part]! > 0 || core.capsOf[part]!.length > 0;
  const parts = Array.from(core.fixed, (_, part) => part).filter((part) => isPriced(part) && domain.use[part] !== 0);
  const used = parts.filter((part) => useCount[part]! > 0).toSorted((a, b) => useCount[a]! - useCount[b]! || a - b);
  const unused = parts
    .filter((part) => useCount[part] === 0 && core.partLinks[part]!.some((link) => domain.linkCount[link]! > 0))
    .toSorted((a, b) => promise[a]! - promise[b]! || a - b)
    .slice(0, MOST_PARTS);
  const drops = used.slice(0, MOST_PARTS);
  const swaps = drops.slice(0, 6).flatMap((drop) =>
    unused.slice(0, 6).map(
      (add): Move => [
        [drop, -1],
        [add, 1],
      ],
    ),
  );
  return [...drops.map((part): Move => [[part, -1]]), ...unused.map((part): Move => [[part, 1]]), ...swaps];
}

interface Trials {
  readonly start: Found;
  readonly moves: readonly Move[];
  /** Written to: moves that have not helped the best picks. */
  readonly inVain: Set<string>;
}

function tryMoves(assignment: Assignment, domain: Domain, { start, moves, inVain }: Trials): Found {
  let best = start;
  let before = assignment.pick.slice();
  for (const move of moves) {
    inVain.add(String(move));
    for (const [part, mode] of move) assignment.mode[part] = mode;
    const isMoved = polish(assignment, domain, 2);
    for (const [part] of move) assignment.mode[part] = 0;
    if (!isMoved) continue;
    polish(assignment, domain);
    const found = foundOf(assignment);
    if (isBetter(found, best)) {
      best = found;
      before = assignment.pick.slice();
      inVain.clear();
    } else {
      resetTo(assignment, before);
    }
  }
  return best;
}

/** Feasible before infeasible, then cheaper by more than rounding noise. */
function isBetter(a: Found, b: Found): boolean {
  if (a.isFeasible !== b.isFeasible) return a.isFeasible;
  return a.cost < b.cost - 1e-9 * Math.abs(b.cost);
}

function assignmentOf(core: Core, domain: Domain, start: Int32Array): Assignment {
  const assignment = emptyAssignment(core);
  for (const [group, columns] of domain.alive.entries()) {
    const column = columns.includes(start[group]!) ? start[group]! : columns[0];
    if (column !== undefined) applyColumn(assignment, column);
  }
  return assignment;
}

function resetTo(assignment: Assignment, pick: Int32Array): void {
  for (const [group, column] of pick.entries()) {
    const now = assignment.pick[group]!;
    if (now === column) continue;
    applyParts(assignment, now, -1);
    applyParts(assignment, column, 1);
    moveInRows(assignment, now, column);
  }
}

function foundOf({ core, pick }: Assignment): Found {
  const picks = Array.from(pick, (column, group) => column - core.offset[group]!);
  const uses = usesOf(core.model, picks);
  return {
    picks,
    cost: costOf(core.model, picks, uses),
    isFeasible: isFeasible(core.model, picks, uses),
  };
}

/** Until every group stays where it is; whether any was moved. */
function polish(assignment: Assignment, domain: Domain, rounds = MOST_ROUNDS): boolean {
  const groups = domain.alive.length;
  let isMoved = false;
  let staying = 0;
  for (let turn = 0; turn < rounds * groups && staying < groups; turn += 1) {
    const group = turn % groups;
    staying += 1;
    if (domain.alive[group]!.length < 2 || !improveGroup(assignment, domain, group)) continue;
    isMoved = true;
    staying = 1;
  }
  return isMoved;
}
