import type { Core } from "./core.ts";
import { type CoreRow, noteRange, roomOf } from "./core-row.ts";
import type { Domain } from "./domain.ts";

/**
 * Caps and rows under partial picks: a bound that prices them lets picks by that break them, and what follows such picks is
 * looked at in vain.
 *
 * A cap is broken once the picks, with what is paid for in any case, use more members than it allows; a row once the picks,
 * with the least of what the other groups have left, exceed it. Both stay broken whatever follows.
 */
export interface HardLimits {
  readonly core: Core;
  /** Rows that picks can break, with the least factor by group of what is left. */
  readonly rows: readonly { readonly factors: CoreRow["factors"]; readonly least: Float64Array }[];
  /** By depth and row: what the picks so far leave. */
  readonly room: Float64Array;
  /** By part: picks that use it, with one for being paid for in any case. */
  readonly uses: Int32Array;
  /** By cap: members used. */
  readonly capUse: Int32Array;
}

/** No group has picked. Rows whose conditions are open, and those that hold something else than columns, are left out. */
export function hardLimits(core: Core, domain: Domain, isActive: Uint8Array): HardLimits {
  const rows: { factors: CoreRow["factors"]; least: Float64Array }[] = [];
  const rooms: number[] = [];
  for (const [index, row] of core.rows.entries()) {
    const isPlain = row.envelope < 0 && row.used.length === 0 && row.modules.length === 0;
    if (!isPlain || isActive[index] !== 1) continue;
    const { low, high } = reachOf(core, domain, row);
    if (high <= roomOf(row)) continue;
    rows.push({ factors: row.factors, least: row.ranges.least.slice() });
    rooms.push(roomOf(row) - low);
  }
  const room = new Float64Array((core.groupCount + 1) * rows.length);
  room.set(rooms);
  const uses = Int32Array.from(domain.use, (use) => (use === 1 ? 1 : 0));
  const capUse = Int32Array.from(core.caps, ({ members }) => members.reduce((sum, part) => sum + uses[part]!, 0));
  return { core, rows, room, uses, capUse };
}

/** Least and greatest value of a row over what is left. */
function reachOf(core: Core, domain: Domain, row: CoreRow): { readonly low: number; readonly high: number } {
  let [low, high] = [row.constant, row.constant];
  for (let g = 0; g < core.groupCount; g += 1) {
    noteRange(row, g, domain.alive[g]!, core.offset[g]!);
    low += row.ranges.least[g]!;
    high += row.ranges.most[g]!;
  }
  return { low, high };
}

/**
 * Picks a column. Hot.
 *
 * @param depth - groups that have picked before
 * @returns false where a limit is broken; `leaveLimits` is due all the same
 */
export function enterLimits(limits: HardLimits, column: number, depth: number): boolean {
  return isWithinCaps(limits, column) && isWithinRows(limits, column, depth);
}

function isWithinCaps({ core, uses, capUse }: HardLimits, column: number): boolean {
  let isWithin = true;
  for (let at = core.linkStart[column]!; at < core.linkStart[column + 1]!; at += 1) {
    const part = core.linkPart[core.linkOf[at]!]!;
    uses[part]! += 1;
    if (uses[part] !== 1) continue;
    for (const cap of core.capsOf[part]!) {
      capUse[cap]! += 1;
      if (capUse[cap]! > core.caps[cap]!.max) isWithin = false;
    }
  }
  return isWithin;
}

function isWithinRows({ core, rows, room }: HardLimits, column: number, depth: number): boolean {
  const group = core.groupOf[column]!;
  const local = column - core.offset[group]!;
  let isWithin = true;
  for (let r = 0; r < rows.length; r += 1) {
    const { factors, least } = rows[r]!;
    const factor = factors[group]?.[local] ?? 0;
    const rest = room[depth * rows.length + r]! - (factor - least[group]!);
    room[(depth + 1) * rows.length + r] = rest;
    if (rest < 0) isWithin = false;
  }
  return isWithin;
}

/** Takes a column back. Hot. */
export function leaveLimits({ core, uses, capUse }: HardLimits, column: number): void {
  for (let at = core.linkStart[column]!; at < core.linkStart[column + 1]!; at += 1) {
    const part = core.linkPart[core.linkOf[at]!]!;
    uses[part]! -= 1;
    if (uses[part] === 0) for (const cap of core.capsOf[part]!) capUse[cap]! -= 1;
  }
}
