import { type Weights, weightsOf } from "./bound.ts";
import type { Core } from "./core.ts";
import { limitEnvelopes } from "./envelopes.ts";
import { leastPrices } from "./least-prices.ts";

/** Multipliers of the relaxed rows by name: what a bound is proved with. Zeros are left out. */
export interface Multipliers {
  /** By group id and part id: price of using the part in the group. */
  readonly links: Readonly<Record<string, Readonly<Record<string, number>>>>;
  /** By cap id: price of one more distinct part. */
  readonly caps: Readonly<Record<string, number>>;
  /** By row id (`envelope/row` for rows of envelopes): price per unit of the row. */
  readonly rows: Readonly<Record<string, number>>;
}

/** Writes a multiplier vector by names. */
export function multipliersOf(core: Core, weights: Weights): Multipliers {
  const { groups, parts } = core.model;
  const links: Record<string, Record<string, number>> = {};
  for (let link = 0; link < core.linkCount; link += 1) {
    if (weights[link] === 0 && core.counted[core.linkPart[link]!] === undefined) continue;
    const group = groups[core.linkGroup[link]!]!.id;
    const own = links[group] ?? {};
    links[group] = own;
    own[parts[core.linkPart[link]!]!.id] = weights[link]!;
  }
  const caps: Record<string, number> = {};
  for (const [index, { id }] of core.caps.entries()) {
    if (weights[core.linkCount + index] !== 0) caps[id] = weights[core.linkCount + index]!;
  }
  const rows: Record<string, number> = {};
  for (const [index, { key, scale }] of core.rows.entries()) {
    const weight = weights[core.linkCount + core.caps.length + index] ?? 0;
    if (weight !== 0) rows[key] = weight / scale;
  }
  return { links, caps, rows };
}

/** Reads multipliers into a vector; names the model lacks are passed over, links without one pay the least price, invalid signs become 0. */
export function weightsFrom(core: Core, { links, caps, rows }: Multipliers): Weights {
  const { groups, parts } = core.model;
  const weights = weightsOf(core, leastPrices(core));
  for (let link = 0; link < core.linkCount; link += 1) {
    const part = core.linkPart[link]!;
    const value = links[groups[core.linkGroup[link]!]!.id]?.[parts[part]!.id] ?? weights[link]!;
    weights[link] = core.counted[part] === undefined ? Math.max(0, value) : value;
  }
  for (const [index, { id }] of core.caps.entries()) weights[core.linkCount + index] = Math.max(0, caps[id] ?? 0);
  for (const [index, { key, scale }] of core.rows.entries()) {
    weights[core.linkCount + core.caps.length + index] = Math.max(0, rows[key] ?? 0) * scale;
  }
  limitEnvelopes(core, weights);
  return weights;
}

/**
 * The first multiplier with which nothing can be proved, by name: of the wrong sign, or no number. What rounding does with
 * large ones, the bound makes up for.
 */
export function wrongMultiplier(core: Core, { links, caps, rows }: Multipliers): string | undefined {
  const { groups, parts } = core.model;
  for (let link = 0; link < core.linkCount; link += 1) {
    const [group, part] = [groups[core.linkGroup[link]!]!.id, core.linkPart[link]!];
    const { id } = parts[part]!;
    if (isWrong(links[group]?.[id] ?? 0, core.counted[part] !== undefined)) return `${group}: ${id}`;
  }
  const cap = core.caps.find(({ id }) => isWrong(caps[id] ?? 0, false));
  return cap?.id ?? core.rows.find(({ key }) => isWrong(rows[key] ?? 0, false))?.key;
}

function isWrong(value: number, isFree: boolean): boolean {
  return !Number.isFinite(value) || (value < 0 && !isFree);
}
