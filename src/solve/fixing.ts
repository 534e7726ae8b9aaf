import { nthLeast } from "../maths/nth-least.ts";
import type { Relaxation } from "./bound.ts";
import type { Core } from "./core.ts";
import { copyDomain, countLinks, type Domain, keepColumns } from "./domain.ts";

/**
 * Reduced-cost fixing: deletes every column whose own lower bound exceeds the limit,
 *
 * L + (rc - least rc of the group) + Σ max(0, slack) over its undecided parts > limit,
 *
 * and marks parts as paid for without which the bound exceeds it. Exact: no answer at or below the limit is lost.
 *
 * @returns number of columns deleted
 */
export function fixByCost(core: Core, domain: Domain, relaxation: Relaxation, limit: number): number {
  if (limit === Infinity) return 0;
  const room = limit - relaxation.value;
  let deleted = 0;
  for (let g = 0; g < core.groupCount; g += 1) {
    const before = domain.alive[g]!.length;
    const most = room + relaxation.least[g]!;
    keepColumns(domain, g, (column) => columnBound(core, domain, relaxation, column) <= most);
    deleted += before - domain.alive[g]!.length;
  }
  for (let part = 0; part < core.partCount; part += 1) {
    if (domain.use[part] === -1 && relaxation.slack[part]! < 0 && -relaxation.slack[part]! > room) domain.use[part] = 1;
  }
  return deleted;
}

/** Reduced cost of a column with the slack of the undecided parts it would bring in. Hot. */
export function columnBound(core: Core, domain: Domain, { reduced, slack }: Relaxation, column: number): number {
  let sum = reduced[column]!;
  const end = core.linkStart[column + 1]!;
  for (let at = core.linkStart[column]!; at < end; at += 1) {
    const part = core.linkPart[core.linkOf[at]!]!;
    if (domain.use[part] === -1 && slack[part]! > 0) sum += slack[part]!;
  }
  return sum;
}

/** Most columns of a group that a search for answers looks at. */
const NARROW = 50;

/** The domain with the most promising columns of each group only, by their own bounds: for searches that prove nothing. */
export function narrowed(core: Core, domain: Domain, relaxation: Relaxation): Domain {
  const alive = promisingColumns(core, domain, relaxation);
  const narrow = { ...copyDomain(domain), alive };
  countLinks(core, narrow);
  return narrow;
}

/** How many columns that leaves at least. */
export function promisingSize({ alive }: Domain): number {
  return alive.reduce((sum, { length }) => sum + Math.min(length, NARROW), 0);
}

/** By group: the most promising columns; more than `NARROW` where there are equals. */
export function promisingColumns(core: Core, domain: Domain, relaxation: Relaxation): Int32Array[] {
  return domain.alive.map((columns) => promising(core, domain, relaxation, columns));
}

function promising(core: Core, domain: Domain, relaxation: Relaxation, columns: Int32Array): Int32Array {
  if (columns.length <= NARROW) return columns;
  const bounds = new Float64Array(columns.length);
  for (let at = 0; at < columns.length; at += 1) bounds[at] = columnBound(core, domain, relaxation, columns[at]!);
  const most = nthLeast(bounds.slice(), NARROW - 1);
  return columns.filter((_, at) => bounds[at]! <= most);
}
