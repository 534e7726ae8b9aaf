import { activeRows, newRelaxation, type Relaxation, relax, type Weights, weightsOf } from "./bound.ts";
import type { Core } from "./core.ts";
import { costOf, isFeasible, usesOf } from "./cost.ts";
import { copyDomain, type Domain, keepColumns, sizeOf } from "./domain.ts";
import { enumerate } from "./enumerate.ts";
import { fixByCost } from "./fixing.ts";
import { propagate } from "./propagate.ts";

/** How far to look. */
export interface SeeingThrough {
  readonly limit: number;
  /** Most parts that the domain is split into. */
  readonly most: number;
}

/** Partial answers looked at in a part before it is split: bounds that know what was chosen soon save more. */
const AT_ONCE = 100;

interface Seeing {
  readonly core: Core;
  readonly weights: Weights;
  readonly limit: number;
  readonly found: number[][];
  /** Parts that may still be looked at. */
  rest: number;
}

/**
 * Every answer of a domain at or below the limit, at given multipliers: what the bound excludes goes, what is left is walked
 * through or, where that is too much, split by the columns of a group.
 *
 * @returns undefined where it takes more parts
 */
export function answersWithin(
  core: Core,
  domain: Domain,
  weights: Weights,
  { limit, most }: SeeingThrough,
): number[][] | undefined {
  const seeing: Seeing = { core, weights: weightsOf(core, weights), limit, found: [], rest: most };
  return isSeenThrough(seeing, copyDomain(domain)) ? seeing.found : undefined;
}

/** Shrinks the domain. */
function isSeenThrough(seeing: Seeing, domain: Domain): boolean {
  const { core } = seeing;
  const relaxation = newRelaxation(core);
  if (isShut(seeing, domain, relaxation)) return true;
  seeing.rest -= 1;
  const before = seeing.found.length;
  if (isWalked(seeing, domain, relaxation)) return true;
  seeing.found.length = before;
  const group = groupToSplit(domain, relaxation);
  if (group === undefined || seeing.rest < 0) return false;
  return Array.from(domain.alive[group]!).every((column) => {
    const part = copyDomain(domain);
    keepColumns(part, group, (one) => one === column);
    return isSeenThrough(seeing, part);
  });
}

/** Deletes what the bound excludes until it excludes no more; true: nothing is left. */
function isShut({ core, weights, limit }: Seeing, domain: Domain, relaxation: Relaxation): boolean {
  for (let before = Infinity; sizeOf(domain) < before; ) {
    if (!propagate(core, domain)) return true;
    before = sizeOf(domain);
    relaxation.isActive = activeRows(core, domain);
    if (relax(core, domain, weights, relaxation) > limit) return true;
    fixByCost(core, domain, relaxation, limit);
  }
  return false;
}

function isWalked(seeing: Seeing, domain: Domain, relaxation: Relaxation): boolean {
  const { core, limit, found } = seeing;
  const visit = (picks: readonly number[]): void => {
    const uses = usesOf(core.model, picks);
    if (isFeasible(core.model, picks, uses) && costOf(core.model, picks, uses) <= limit) found.push([...picks]);
  };
  return enumerate(core, domain, relaxation, { limit: () => limit, budget: AT_ONCE, visit });
}

/** The group in which a choice raises the bound most at its weakest. */
function groupToSplit({ alive }: Domain, { reduced }: Relaxation): number | undefined {
  let group: number | undefined;
  let most = -1;
  alive.forEach((columns, g) => {
    if (columns.length < 2) return;
    const [least, second] = Array.from(columns, (column) => reduced[column]!).toSorted((a, b) => a - b);
    if (second! - least! <= most) return;
    most = second! - least!;
    group = g;
  });
  return group;
}
