import type { Relaxation } from "./bound.ts";
import type { Core } from "./core.ts";
import type { Domain } from "./domain.ts";

/**
 * How much each relaxed row is broken by the relaxation's own choice. Hot.
 *
 * @param gradient - by multiplier, written to; not where no column left has the link
 */
export function subgradient(core: Core, domain: Domain, relaxation: Relaxation, gradient: Float64Array): void {
  const { linkCount, caps, rows } = core;
  const { links } = domain;
  for (let at = 0; at < links.length; at += 1) gradient[links[at]!] = -relaxation.linkUse[links[at]!]!;
  for (let g = 0; g < core.groupCount; g += 1) {
    const column = relaxation.pick[g]!;
    for (let at = core.linkStart[column]!; at < core.linkStart[column + 1]!; at += 1) gradient[core.linkOf[at]!]! += 1;
  }
  for (const [index, { members, max, isExact }] of caps.entries()) {
    if (isExact) continue;
    let used = 0;
    for (const part of members) used += relaxation.partUse[part]!;
    gradient[linkCount + index] = used - max;
  }
  for (let index = 0; index < rows.length; index += 1) {
    const isActive = relaxation.isActive[index] === 1;
    gradient[linkCount + caps.length + index] = isActive ? excess(core, relaxation, index) : 0;
  }
}

function excess(core: Core, relaxation: Relaxation, index: number): number {
  const row = core.rows[index]!;
  let sum = row.constant - row.max;
  for (let g = 0; g < core.groupCount; g += 1) {
    const factors = row.factors[g];
    if (factors !== undefined) sum += factors[relaxation.pick[g]! - core.offset[g]!]!;
  }
  for (const { part, pool, factor } of row.modules) {
    const at = core.counted[part]!.pools.findIndex((one) => one.pool === pool);
    if (at >= 0) sum += factor * relaxation.modules[part]![at]!;
  }
  for (const { part, factor } of row.used) sum += factor * relaxation.partUse[part]!;
  return sum / row.scale;
}
