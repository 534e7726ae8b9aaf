import type { Core } from "./core.ts";
import { chargeOf } from "./cost.ts";

/** Picks under improvement, with the counts and sums that make trying a column cheap. */
export interface Assignment {
  readonly core: Core;
  /** By group: picked column, -1 for none. */
  readonly pick: Int32Array;
  /** By part: uses over all groups. */
  readonly useCount: Int32Array;
  /** By part and pool (part · pools + pool): uses; counted parts only. */
  readonly poolUses: Float64Array;
  /** By cap: distinct members used. */
  readonly capUse: Int32Array;
  /** By row: value of the expression without modules. */
  readonly rowSum: Float64Array;
  /** By part: treated as paid for already (1), never to be used (-1). */
  readonly mode: Int8Array;
  /** By link: scratch for what its part adds. */
  readonly delta: Float64Array;
  /** By local column of a group: scratch for what it adds, and for what its envelope comes to. */
  readonly price: Float64Array;
  readonly term: Float64Array;
  /** By envelope: scratch for what it comes to at least. */
  readonly envelopes: Float64Array;
}

/** No group has picked yet. */
export function emptyAssignment(core: Core): Assignment {
  const widest = core.model.groups.reduce((width, { columns }) => Math.max(width, columns.length), 0);
  return {
    core,
    pick: new Int32Array(core.groupCount).fill(-1),
    useCount: new Int32Array(core.partCount),
    poolUses: new Float64Array(core.partCount * core.model.pools.length),
    capUse: new Int32Array(core.caps.length),
    rowSum: Float64Array.from(core.rows, ({ constant }) => constant),
    mode: new Int8Array(core.partCount),
    delta: new Float64Array(core.linkCount),
    price: new Float64Array(widest),
    term: new Float64Array(widest),
    envelopes: new Float64Array(core.model.envelopes.length),
  };
}

/** Puts a group that has not picked on a column. */
export function applyColumn(assignment: Assignment, column: number): void {
  const { core, pick, rowSum } = assignment;
  const group = core.groupOf[column]!;
  const local = column - core.offset[group]!;
  applyParts(assignment, column, 1);
  pick[group] = column;
  for (let row = 0; row < rowSum.length; row += 1) {
    const factors = core.rows[row]!.factors[group];
    if (factors !== undefined) rowSum[row]! += factors[local]!;
  }
}

/** Counts the parts of a group's column (direction 1) or no longer (-1). */
export function applyParts(assignment: Assignment, column: number, direction: 1 | -1): void {
  const { core } = assignment;
  const group = core.groupOf[column]!;
  for (let at = core.linkStart[column]!; at < core.linkStart[column + 1]!; at += 1) {
    applyPart(assignment, core.linkPart[core.linkOf[at]!]!, group, direction);
  }
}

/** Puts a group on another column, as far as rows go. */
export function moveInRows({ core, pick, rowSum }: Assignment, before: number, after: number): void {
  const group = core.groupOf[after]!;
  const first = core.offset[group]!;
  pick[group] = after;
  for (let row = 0; row < rowSum.length; row += 1) {
    const factors = core.rows[row]!.factors[group];
    if (factors !== undefined) rowSum[row]! += factors[after - first]! - factors[before - first]!;
  }
}

function applyPart(
  { core, useCount, poolUses, capUse }: Assignment,
  part: number,
  group: number,
  direction: 1 | -1,
): void {
  const wasUsed = useCount[part]! > 0;
  useCount[part]! += direction;
  if (core.counted[part] !== undefined) {
    for (const pool of core.model.groups[group]!.pools) poolUses[part * core.model.pools.length + pool]! += direction;
  }
  if (wasUsed === useCount[part]! > 0) return;
  for (const cap of core.capsOf[part]!) capUse[cap]! += direction;
}

/** What using a part in the group adds, given what the other groups use. */
export function partDelta(assignment: Assignment, part: number, group: number): number {
  const { core, useCount, capUse, mode } = assignment;
  if (mode[part] === -1) return core.penalty * 4;
  const isNew = useCount[part] === 0;
  let sum = 0;
  if (isNew && mode[part] === 0) {
    for (const cap of core.capsOf[part]!) sum += capUse[cap]! >= core.caps[cap]!.max ? core.penalty : 0;
  }
  if (core.counted[part] !== undefined) return sum + countedDelta(assignment, part, group);
  return isNew && mode[part] === 0 ? sum + core.fixed[part]! : sum;
}

/** Hot: nothing is made. */
function countedDelta({ core, poolUses }: Assignment, part: number, group: number): number {
  const { pools, parts, groups } = core.model;
  const one = parts[part]!;
  const first = part * pools.length;
  let [before, after] = [0, 0];
  const ownPools = groups[group]!.pools;
  for (let pool = 0; pool < pools.length; pool += 1) {
    const uses = poolUses[first + pool]!;
    let more = 0;
    for (let k = 0; k < ownPools.length; k += 1) if (ownPools[k] === pool) more += 1;
    before += pools[pool]!.quantity * Math.ceil(uses / one.channels);
    after += pools[pool]!.quantity * Math.ceil((uses + more) / one.channels);
  }
  return chargeOf(one, after) - chargeOf(one, before);
}
