import type { Relaxation } from "./bound.ts";
import type { Core } from "./core.ts";
import type { Domain } from "./domain.ts";

/** How a depth-first enumeration is bounded and what it does with what it finds. */
export interface Enumeration {
  /** Answers above it are not wanted; may fall while enumerating. */
  readonly limit: () => number;
  /** Most partial answers looked at. */
  readonly budget: number;
  /** Called with each complete answer (local column indices) whose bound does not exceed the limit. */
  readonly visit: (picks: readonly number[]) => void;
  /** Optional second reason to give up a branch: true when nothing below these columns (in `order`) is wanted. */
  readonly isHopeless?: (columns: readonly number[], order: readonly number[]) => boolean;
  /** Optional order of the columns within a group. Default: reduced cost. */
  readonly compare?: (a: number, b: number) => number;
}

interface Visit {
  readonly core: Core;
  readonly domain: Domain;
  readonly relaxation: Relaxation;
  readonly options: Enumeration;
  readonly order: readonly number[];
  /** By depth: columns in the order they are tried. */
  readonly columns: readonly Int32Array[];
  readonly chosen: number[];
  /** By part: how many chosen columns pay its slack. */
  readonly paid: Int32Array;
  readonly isSorted: boolean;
  rest: number;
}

/**
 * Walks through every answer of a domain that the bound does not exclude.
 *
 * The bound of a partial answer is L + Σ (rc - least rc) + slack of the undecided parts it uses, each once.
 *
 * @returns true when all were seen, false when the budget ran out
 */
export function enumerate(core: Core, domain: Domain, relaxation: Relaxation, options: Enumeration): boolean {
  const order = Array.from({ length: core.groupCount }, (_, g) => g);
  const byReduced = (a: number, b: number): number => relaxation.reduced[a]! - relaxation.reduced[b]! || a - b;
  if (options.compare === undefined) order.sort((a, b) => domain.alive[a]!.length - domain.alive[b]!.length || a - b);
  const columns = order.map((g) => domain.alive[g]!.toSorted(options.compare ?? byReduced));
  const visit: Visit = {
    core,
    domain,
    relaxation,
    options,
    order,
    columns,
    chosen: [],
    paid: new Int32Array(core.partCount),
    isSorted: options.compare === undefined,
    rest: options.budget,
  };
  return descend(visit, 0, relaxation.value);
}

function descend(visit: Visit, depth: number, bound: number): boolean {
  const { order, columns, relaxation, options, chosen } = visit;
  if (depth === order.length) {
    options.visit(picksOfChosen(visit));
    return true;
  }
  const least = relaxation.least[order[depth]!]!;
  for (const column of columns[depth]!) {
    const plain = bound + relaxation.reduced[column]! - least;
    if (plain > options.limit()) {
      if (visit.isSorted) break;
      continue;
    }
    visit.rest -= 1;
    if (visit.rest < 0) return false;
    chosen.push(column);
    const next = plain + pay(visit, column, 1);
    const isOpen = next <= options.limit() && options.isHopeless?.(chosen, order) !== true;
    const isComplete = !isOpen || descend(visit, depth + 1, next);
    pay(visit, column, -1);
    chosen.pop();
    if (!isComplete) return false;
  }
  return true;
}

function picksOfChosen({ core, order, chosen }: Visit): number[] {
  const picks = order.map(() => 0);
  for (const [depth, group] of order.entries()) picks[group] = chosen[depth]! - core.offset[group]!;
  return picks;
}

/** Slack newly owed by a column; direction -1 takes it back. */
function pay({ core, domain, relaxation, paid }: Visit, column: number, direction: 1 | -1): number {
  let sum = 0;
  for (let at = core.linkStart[column]!; at < core.linkStart[column + 1]!; at += 1) {
    const part = core.linkPart[core.linkOf[at]!]!;
    if (domain.use[part] !== -1 || relaxation.slack[part]! <= 0) continue;
    if (direction === 1 && paid[part] === 0) sum += relaxation.slack[part]!;
    paid[part]! += direction;
  }
  return sum;
}
