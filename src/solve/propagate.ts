import type { Condition } from "../model/selection.ts";
import type { Core } from "./core.ts";
import { type CoreRow, noteRange, roomOf } from "./core-row.ts";
import { countLinks, type Domain, keepColumns, openConditions, sizeOf } from "./domain.ts";
import { applyUnits } from "./unit-range.ts";

/**
 * Removes what the decisions so far exclude, until nothing changes: columns of parts never used, caps that are full,
 * limits on units, rows no choice of the others can save.
 *
 * @returns false when a group or row has nothing left: there is no answer in this domain
 */
export function propagate(core: Core, domain: Domain): boolean {
  for (;;) {
    const before = sizeOf(domain);
    countLinks(core, domain);
    if (!applyCaps(core, domain)) return false;
    dropUnusable(core, domain);
    if (!applyUnits(core, domain)) return false;
    if (!applyRows(core, domain)) return false;
    if (domain.alive.some(({ length }) => length === 0)) return false;
    if (sizeOf(domain) === before) break;
  }
  countLinks(core, domain);
  return true;
}

function applyCaps(core: Core, { use }: Domain): boolean {
  for (const { members, max } of core.caps) {
    let used = 0;
    for (const part of members) used += use[part] === 1 ? 1 : 0;
    if (used > max) return false;
    if (used < max) continue;
    for (const part of members) if (use[part] === -1) use[part] = 0;
  }
  return true;
}

function dropUnusable(core: Core, domain: Domain): void {
  const { use, linkCount } = domain;
  for (let g = 0; g < core.groupCount; g += 1) {
    const hasBanned = core.groupLinks[g]!.some((link) => linkCount[link]! > 0 && use[core.linkPart[link]!] === 0);
    if (hasBanned) keepColumns(domain, g, (column) => !hasBannedPart(core, use, column));
  }
}

function hasBannedPart(core: Core, use: Int8Array, column: number): boolean {
  for (let at = core.linkStart[column]!; at < core.linkStart[column + 1]!; at += 1) {
    if (use[core.linkPart[core.linkOf[at]!]!] === 0) return true;
  }
  return false;
}

function applyRows(core: Core, domain: Domain): boolean {
  for (const row of core.rows) {
    if (row.envelope >= 0) continue;
    const open = row.when.length === 0 ? row.when : openConditions(core, domain, row.when);
    if (open.length === 0 && !applyRow(core, domain, row)) return false;
    if (open.length === 1) applyCondition(core, domain, row, open[0]!);
  }
  return true;
}

/** Removes the columns that break an active row even when all others are at their smallest. */
function applyRow(core: Core, domain: Domain, row: CoreRow): boolean {
  const { factors, ranges } = row;
  let sum = leastConstant(core, domain, row);
  for (let g = 0; g < core.groupCount; g += 1) {
    noteRange(row, g, domain.alive[g]!, core.offset[g]!);
    sum += ranges.least[g]!;
  }
  const room = roomOf(row) - sum;
  if (room < 0) return false;
  if (room >= row.reach) return true;
  for (let g = 0; g < core.groupCount; g += 1) {
    const list = factors[g];
    const most = room + ranges.least[g]!;
    if (list === undefined || ranges.most[g]! <= most) continue;
    const first = core.offset[g]!;
    keepColumns(domain, g, (column) => list[column - first]! <= most);
  }
  return true;
}

/** When a conditional row cannot hold, its one undecided condition must fail. */
function applyCondition(core: Core, domain: Domain, row: CoreRow, condition: Condition[number]): void {
  let sum = leastConstant(core, domain, row);
  for (const [g, list] of row.factors.entries()) {
    sum += leastFactor(core, domain, g, list, g === condition.group ? condition.columns : undefined);
  }
  if (sum <= roomOf(row)) return;
  const first = core.offset[condition.group]!;
  keepColumns(domain, condition.group, (column) => !condition.columns.has(column - first));
}

function leastFactor(
  core: Core,
  domain: Domain,
  group: number,
  list: Float64Array | undefined,
  within?: ReadonlySet<number>,
): number {
  if (list === undefined) return 0;
  const first = core.offset[group]!;
  let least = Infinity;
  for (const column of domain.alive[group]!) {
    if (within !== undefined && !within.has(column - first)) continue;
    least = Math.min(least, list[column - first]!);
  }
  return least;
}

function leastConstant(core: Core, domain: Domain, row: CoreRow): number {
  const constant = row.used.reduce((sum, { factor }) => sum + Math.min(0, factor), row.constant);
  return row.modules.reduce((sum, { part, pool, factor }) => {
    return factor > 0 ? sum : sum + factor * mostUses(core, domain, part, pool);
  }, constant);
}

function mostUses(core: Core, domain: Domain, part: number, pool: number): number {
  let uses = 0;
  for (const link of core.partLinks[part]!) {
    if (domain.linkCount[link] === 0) continue;
    uses += core.model.groups[core.linkGroup[link]!]!.pools.filter((one) => one === pool).length;
  }
  return uses;
}
