import type { Condition } from "../model/selection.ts";
import type { Core } from "./core.ts";

/** No limit on the units of a part. */
export const ANY_UNITS = 0x7fff_ffff;

/** What is left to choose from in a part of the search. Shrinks in place; copy before branching. */
export interface Domain {
  /** By group: columns left, ascending. */
  readonly alive: Int32Array[];
  /** By part: -1 undecided, 0 never used, 1 paid for. */
  readonly use: Int8Array;
  /** By link: columns left that have it. */
  readonly linkCount: Int32Array;
  /** Links that some column left has, ascending. Replaced when links are counted, never written to. */
  links: Int32Array;
  /** By group: the list of columns of which links were counted last. */
  readonly counted: (Int32Array | undefined)[];
  /** By counted part: fewest and most units of it that are bought, in steps of its `unit`. */
  readonly leastUnits: Int32Array;
  readonly mostUnits: Int32Array;
}

/** Everything is open. */
export function fullDomain(core: Core): Domain {
  const alive = Array.from({ length: core.groupCount }, (_, g) => {
    const [first, end] = [core.offset[g]!, core.offset[g + 1]!];
    return Int32Array.from({ length: end - first }, (_unused, k) => first + k);
  });
  return {
    alive,
    use: new Int8Array(core.partCount).fill(-1),
    linkCount: new Int32Array(core.linkCount),
    links: new Int32Array(),
    counted: alive.map(() => undefined),
    leastUnits: new Int32Array(core.partCount),
    mostUnits: new Int32Array(core.partCount).fill(ANY_UNITS),
  };
}

/** An independent copy. Lists of columns are shared, because they are replaced, never written to. */
export function copyDomain({ alive, use, linkCount, links, counted, leastUnits, mostUnits }: Domain): Domain {
  return {
    alive: [...alive],
    use: use.slice(),
    linkCount: linkCount.slice(),
    links,
    counted: [...counted],
    leastUnits: leastUnits.slice(),
    mostUnits: mostUnits.slice(),
  };
}

/** Keeps the columns of one group that pass. */
export function keepColumns(domain: Domain, group: number, keep: (column: number) => boolean): void {
  const before = domain.alive[group]!;
  const kept = before.filter(keep);
  if (kept.length < before.length) domain.alive[group] = kept;
}

/** Number of columns left over all groups. */
export function sizeOf({ alive }: Domain): number {
  return alive.reduce((sum, { length }) => sum + length, 0);
}

/** Number of columns left in groups that still have a choice. */
export function openSize({ alive }: Domain): number {
  return alive.reduce((sum, { length }) => (length > 1 ? sum + length : sum), 0);
}

/** Whether column j has the link. Hot: a handful of links per column. */
export function hasLink(core: Core, column: number, link: number): boolean {
  for (let at = core.linkStart[column]!; at < core.linkStart[column + 1]!; at += 1) {
    if (core.linkOf[at] === link) return true;
  }
  return false;
}

/**
 * Counts columns by link where a group has another list of them than last time; a part that every column of a group has is
 * paid for. Hot.
 */
export function countLinks(core: Core, domain: Domain): void {
  const { alive, counted } = domain;
  let isSame = true;
  for (let g = 0; g < alive.length; g += 1) {
    if (counted[g] === alive[g]) continue;
    isSame = false;
    counted[g] = alive[g];
    countIn(core, domain, g);
  }
  if (!isSame) domain.links = Int32Array.from(liveLinks(domain));
}

function countIn(core: Core, { alive, linkCount, use }: Domain, group: number): void {
  const columns = alive[group]!;
  const links = core.groupLinks[group]!;
  for (let l = 0; l < links.length; l += 1) linkCount[links[l]!] = 0;
  for (let k = 0; k < columns.length; k += 1) {
    const column = columns[k]!;
    const end = core.linkStart[column + 1]!;
    for (let at = core.linkStart[column]!; at < end; at += 1) linkCount[core.linkOf[at]!]! += 1;
  }
  if (columns.length === 0) return;
  for (let l = 0; l < links.length; l += 1) {
    const part = core.linkPart[links[l]!]!;
    if (linkCount[links[l]!] === columns.length && use[part] === -1) use[part] = 1;
  }
}

function liveLinks({ linkCount }: Domain): number[] {
  const links: number[] = [];
  for (let link = 0; link < linkCount.length; link += 1) if (linkCount[link]! > 0) links.push(link);
  return links;
}

/** Conditions some column left could still fail. */
export function openConditions(core: Core, domain: Domain, when: Condition): Condition {
  return when.filter(({ group, columns }) => {
    const first = core.offset[group]!;
    return domain.alive[group]!.some((column) => !columns.has(column - first));
  });
}
