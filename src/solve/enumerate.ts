import type { Relaxation } from "./bound.ts";
import type { Core } from "./core.ts";
import type { Domain } from "./domain.ts";
import { enterLimits, type HardLimits, hardLimits, leaveLimits } from "./hard-limits.ts";
import { enter, leave, type PartLedger, partLedger } from "./part-ledger.ts";

/** How a depth-first enumeration is bounded and what it does with what it finds. */
export interface Enumeration {
  /** Answers above it are not wanted; may fall while enumerating. */
  readonly limit: () => number;
  /** Most partial answers looked at. */
  readonly budget: number;
  /** Asked after each complete answer; true: no more of them, as if the budget ran out. */
  readonly isStopped?: () => boolean;
  /** Called with each complete answer (local column indices) whose bound does not exceed the limit. */
  readonly visit: (picks: readonly number[]) => void;
  /** Optional second reason to give up a branch: true when nothing below these columns (in `order`) is wanted. */
  readonly isHopeless?: (columns: readonly number[], order: readonly number[]) => boolean;
  /** Optional order of the columns within a group. Default: reduced cost. */
  readonly compare?: (a: number, b: number) => number;
}

interface Visit {
  readonly core: Core;
  readonly relaxation: Relaxation;
  readonly options: Enumeration;
  readonly order: readonly number[];
  /** By depth: columns in the order they are tried. */
  readonly columns: readonly Int32Array[];
  readonly chosen: number[];
  readonly ledger: PartLedger;
  readonly limits: HardLimits;
  readonly isSorted: boolean;
  rest: number;
}

/**
 * Walks through every answer of a domain that the bound does not exclude.
 *
 * The bound of a partial answer is the relaxation at the same multipliers with its picks decided: Σ rc of the picks + Σ
 * least rc of the other groups + what parts come to where the picks force them and rule them out. Caps and rows that its
 * picks break whatever follows end it, too.
 *
 * @returns true when all were seen, false when the budget ran out or it was stopped
 */
export function enumerate(core: Core, domain: Domain, relaxation: Relaxation, options: Enumeration): boolean {
  const order = Array.from({ length: core.groupCount }, (_, g) => g);
  const byReduced = (a: number, b: number): number => relaxation.reduced[a]! - relaxation.reduced[b]! || a - b;
  if (options.compare === undefined) order.sort((a, b) => domain.alive[a]!.length - domain.alive[b]!.length || a - b);
  const columns = order.map((g) => domain.alive[g]!.toSorted(options.compare ?? byReduced));
  const visit: Visit = {
    core,
    relaxation,
    options,
    order,
    columns,
    chosen: [],
    ledger: partLedger(core, domain, relaxation),
    limits: hardLimits(core, domain, relaxation.isActive),
    isSorted: options.compare === undefined,
    rest: options.budget,
  };
  return descend(visit, 0, relaxation.value);
}

function descend(visit: Visit, depth: number, bound: number): boolean {
  const { order, columns, relaxation, options } = visit;
  if (depth === order.length) return reported(visit);
  const least = relaxation.least[order[depth]!]!;
  for (const column of columns[depth]!) {
    const plain = bound + relaxation.reduced[column]! - least;
    if (plain > options.limit()) {
      if (visit.isSorted) break;
      continue;
    }
    visit.rest -= 1;
    if (visit.rest < 0) return false;
    const isComplete = !enterLimits(visit.limits, column, depth) || descendFrom(visit, column, plain);
    leaveLimits(visit.limits, column);
    if (!isComplete) return false;
  }
  return true;
}

/** Whether everything below the next pick was seen. */
function descendFrom(visit: Visit, column: number, plain: number): boolean {
  const { order, options, chosen, ledger } = visit;
  chosen.push(column);
  const bound = plain + enter(ledger, column);
  const isOpen = bound <= options.limit() && options.isHopeless?.(chosen, order) !== true;
  const isComplete = !isOpen || descend(visit, chosen.length, bound);
  leave(ledger);
  chosen.pop();
  return isComplete;
}

/** Tells of a complete answer; false: no more of them are wanted. */
function reported(visit: Visit): boolean {
  const { visit: tell, isStopped } = visit.options;
  tell(picksOfChosen(visit));
  return isStopped?.() !== true;
}

function picksOfChosen({ core, order, chosen }: Visit): number[] {
  const picks = order.map(() => 0);
  for (const [depth, group] of order.entries()) picks[group] = chosen[depth]! - core.offset[group]!;
  return picks;
}
