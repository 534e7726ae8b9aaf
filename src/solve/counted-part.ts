import type { ModelPart, SelectionModel } from "../model/selection.ts";
import { chargeOf } from "./cost.ts";
import { type ClassRoom, solveByClasses, type UnitClass, unitClasses } from "./unit-classes.ts";

/** Largest table of one part; beyond it a simpler, still valid bound takes over. */
const LARGEST_TABLE = 5000;

/** A part whose charge depends on the count: price steps, or several channels per module. */
export interface CountedPart {
  readonly channels: number;
  /** Pools some link uses: index in the model and units per module. */
  readonly pools: readonly { readonly pool: number; readonly units: number }[];
  /** By link, in the order of the part's links: uses in each of `pools`. */
  readonly uses: readonly Int32Array[];
  /** What one step of units stands for: all counts are multiples of it. */
  readonly unit: number;
  /** charge by total units [model's money] */
  readonly charge: Float64Array;
  readonly fixed: number;
  /** Lowest price of any step: what a unit costs at least. */
  readonly leastPrice: number;
  readonly isExact: boolean;
  /** Units every link comes to where all come to the same and single modules count; 0: the tables are needed. */
  readonly evenUnits: number;
  /** Links by the units they come to, where single modules count and there are few kinds; empty: the tables are needed. */
  readonly classes: readonly UnitClass[];
}

/** Lays out the counts of one part over its links. Units are divided by their common divisor. */
export function countedPart(
  model: SelectionModel,
  part: ModelPart,
  links: Int32Array,
  linkGroup: Int32Array,
): CountedPart {
  const entries = Array.from(links, (link) => model.groups[linkGroup[link]!]!.pools);
  const counts = part.channels === 1 ? bySum(model, entries) : byPool(model, entries);
  const { pools, uses, step } = counts;
  const { channels, fixed } = part;
  const most = mostUnits(counts, channels);
  const isExact = most <= LARGEST_TABLE && !uses.some(isSpread);
  const charge = Float64Array.from({ length: isExact ? most + 1 : 1 }, (_, units) => chargeOf(part, units * step));
  const evenUnits = isExact && channels === 1 ? evenUnitsOf(counts) : 0;
  const classes = isExact && channels === 1 ? unitClasses(uses.map((one) => one[0] ?? 0)) : [];
  return {
    channels,
    pools,
    uses,
    unit: step,
    charge,
    fixed,
    leastPrice: leastPriceOf(part) * step,
    isExact,
    evenUnits,
    classes,
  };
}

/** Units where every link uses the part. */
function mostUnits({ pools, uses }: Counts, channels: number): number {
  return pools.reduce((sum, { units }, at) => {
    const count = uses.reduce((most, one) => most + one[at]!, 0);
    return sum + units * Math.ceil(count / channels);
  }, 0);
}

/** Whether a link uses the part in more than one pool. */
function isSpread(uses: Int32Array): boolean {
  return uses.filter((count) => count > 0).length > 1;
}

/** Units of every link where all come to the same in one pool; else 0. */
function evenUnitsOf({ pools, uses }: Counts): number {
  const even = uses[0]?.[0] ?? 0;
  return pools.length === 1 && uses.every((one) => one[0] === even) ? even : 0;
}

function leastPriceOf({ steps }: ModelPart): number {
  return steps.reduce((least, { price }) => Math.min(least, price), steps[0]?.price ?? 0);
}

type Counts = Pick<CountedPart, "pools" | "uses"> & { readonly step: number };

/** One channel per unit: only the sum of units matters, so all pools are one. */
function bySum(model: SelectionModel, entries: readonly (readonly number[])[]): Counts {
  const units = entries.map((pools) => pools.reduce((sum, pool) => sum + model.pools[pool]!.quantity, 0));
  const step = units.reduce(commonDivisor, 0) || 1;
  return { pools: [{ pool: -1, units: 1 }], uses: units.map((one) => Int32Array.of(one / step)), step };
}

function byPool(model: SelectionModel, entries: readonly (readonly number[])[]): Counts {
  const used = [...new Set(entries.flat())].toSorted((a, b) => a - b);
  const step = used.map((pool) => model.pools[pool]!.quantity).reduce(commonDivisor, 0) || 1;
  return {
    pools: used.map((pool) => ({ pool, units: model.pools[pool]!.quantity / step })),
    uses: entries.map((pools) => Int32Array.from(used, (pool) => pools.filter((one) => one === pool).length)),
    step,
  };
}

function commonDivisor(a: number, b: number): number {
  return b === 0 ? a : commonDivisor(b, a % b);
}

/** What one part's subproblem is asked. Arrays are by the part's links, in order. */
export interface CountedTask {
  /** Multiplier of each link. */
  readonly reward: Float64Array;
  /** 0: no column left, 1: free, 2: used in any case. */
  readonly state: Uint8Array;
  /** By pool of the part: charged per module: multipliers of rows. */
  readonly moduleCost: Float64Array;
  /** Fewest and most units, in steps of the part's `unit`; a part without tables passes them over. */
  readonly least: number;
  readonly most: number;
}

/** Least charge minus rewards, the links that reach it, and the modules by pool. */
export interface CountedAnswer {
  /** Over sets of at least one link; Infinity where there is none. */
  readonly value: number;
  readonly chosen: Uint8Array;
  readonly modules: Float64Array;
}

/** min over nonempty sets S of links whose units are allowed: charge(units of S) + Σ moduleCost · modules - Σ reward over S. */
export function solveCounted(part: CountedPart, task: CountedTask, rooms?: readonly ClassRoom[]): CountedAnswer {
  if (!part.isExact) return solveLoosely(part, task);
  return part.classes.length > 0 ? solveByClasses(part, task, rooms) : solveExactly(part, task);
}

/**
 * The same where every link comes to the same units: the links of greatest reward, forced ones first. Hot: no tables.
 *
 * @param chosen - by link, written to
 */
export function solveEven(
  part: CountedPart,
  { reward, state, least, most }: Omit<CountedTask, "moduleCost">,
  chosen: Uint8Array,
): number {
  const fewest = Math.max(1, least) / part.evenUnits;
  const fullest = most / part.evenUnits;
  let taken = takeForced(state, chosen);
  let sum = rewardOf(reward, chosen);
  let value = taken >= fewest && taken <= fullest ? part.charge[taken * part.evenUnits]! - sum : Infinity;
  for (let next = greatest(reward, state, chosen); next >= 0; next = greatest(reward, state, chosen)) {
    taken += 1;
    if (taken > fullest) break;
    sum += reward[next]!;
    chosen[next] = 2;
    if (taken < fewest) continue;
    const candidate = part.charge[taken * part.evenUnits]! - sum;
    if (candidate >= value) continue;
    value = candidate;
    settle(chosen, 1);
  }
  settle(chosen, 0);
  return value;
}

/** Chooses the forced links and no other; returns how many. Hot. */
function takeForced(state: Uint8Array, chosen: Uint8Array): number {
  let taken = 0;
  for (let at = 0; at < state.length; at += 1) {
    const isForced = state[at] === 2 ? 1 : 0;
    chosen[at] = isForced;
    taken += isForced;
  }
  return taken;
}

/** Reward of the links chosen for good. Hot. */
function rewardOf(reward: Float64Array, chosen: Uint8Array): number {
  let sum = 0;
  for (let at = 0; at < reward.length; at += 1) if (chosen[at] === 1) sum += reward[at]!;
  return sum;
}

/** Links chosen on trial (2) are chosen (1) or not (0). Hot. */
function settle(chosen: Uint8Array, as: 0 | 1): void {
  for (let at = 0; at < chosen.length; at += 1) if (chosen[at] === 2) chosen[at] = as;
}

function greatest(reward: Float64Array, state: Uint8Array, chosen: Uint8Array): number {
  let best = -1;
  for (let at = 0; at < reward.length; at += 1) {
    if (state[at] === 1 && chosen[at] === 0 && (best < 0 || reward[at]! > reward[best]!)) best = at;
  }
  return best;
}

/** Best reward by module count of one pool, with what is needed to trace it back. */
interface PoolTable {
  readonly best: Float64Array;
  /** By module count: the use count that reaches it. */
  readonly uses: Int32Array;
  readonly links: readonly number[];
  /** At i · size + u: whether link i is taken on the best way to u uses. */
  readonly taken: Uint8Array;
  /** Use counts: 0 to size − 1. */
  readonly size: number;
}

function solveExactly(part: CountedPart, task: CountedTask): CountedAnswer {
  const tables = part.pools.map((_, pool) => poolTable(part, task, pool));
  const { totals, modulesAt } = convolve(part, tables);
  let best = 0;
  let value = Infinity;
  const end = Math.min(totals.length - 1, task.most);
  for (let units = Math.max(1, task.least); units <= end; units += 1) {
    const candidate = part.charge[units]! - totals[units]!;
    if (candidate < value) {
      value = candidate;
      best = units;
    }
  }
  return { value, ...traceBack(part, tables, modulesAt, best) };
}

/** Knapsack over the links of one pool by uses, then by modules. */
function poolTable(part: CountedPart, task: CountedTask, pool: number): PoolTable {
  const links: number[] = [];
  let most = 0;
  for (const [at, uses] of part.uses.entries()) {
    if (task.state[at] === 0 || uses[pool] === 0) continue;
    links.push(at);
    most += uses[pool]!;
  }
  const size = most + 1;
  const byUses = new Float64Array(size).fill(-Infinity);
  byUses[0] = 0;
  const taken = new Uint8Array(links.length * size);
  for (const [i, at] of links.entries()) {
    const link = { uses: part.uses[at]![pool]!, reward: task.reward[at]!, isForced: task.state[at] === 2 };
    takeLink(byUses, taken.subarray(i * size, (i + 1) * size), link);
  }
  const best = new Float64Array(Math.ceil(most / part.channels) + 1).fill(-Infinity);
  const uses = new Int32Array(best.length);
  for (let count = 0; count <= most; count += 1) {
    const modules = Math.ceil(count / part.channels);
    const reward = byUses[count]! - task.moduleCost[pool]! * modules;
    if (reward > best[modules]!) {
      best[modules] = reward;
      uses[modules] = count;
    }
  }
  return { best, uses, links, taken, size };
}

/** Best rewards with one link more, in place: from the most uses down, so that each is read before it is written. */
function takeLink(
  byUses: Float64Array,
  taken: Uint8Array,
  link: { uses: number; reward: number; isForced: boolean },
): void {
  for (let count = byUses.length - 1; count >= 0; count -= 1) {
    const without = link.isForced ? -Infinity : byUses[count]!;
    const withIt = count >= link.uses ? byUses[count - link.uses]! + link.reward : -Infinity;
    taken[count] = withIt > without ? 1 : 0;
    byUses[count] = Math.max(without, withIt);
  }
}

/** Best total reward by total units over the pools; modulesAt[pool][units] traces the way. */
function convolve(part: CountedPart, tables: readonly PoolTable[]): { totals: Float64Array; modulesAt: Int32Array[] } {
  let totals: Float64Array = new Float64Array(part.charge.length).fill(-Infinity);
  totals[0] = 0;
  let reached = 0;
  const modulesAt = tables.map(({ best }, pool) => {
    const { units } = part.pools[pool]!;
    const next = new Float64Array(totals.length).fill(-Infinity);
    const from = new Int32Array(totals.length);
    for (const [modules, reward] of best.entries()) {
      if (reward === -Infinity) continue;
      const shift = modules * units;
      const end = Math.min(totals.length - 1, shift + reached);
      for (let sum = shift; sum <= end; sum += 1) {
        const candidate = totals[sum - shift]! + reward;
        if (candidate > next[sum]!) {
          next[sum] = candidate;
          from[sum] = modules;
        }
      }
    }
    totals = next;
    reached = Math.min(totals.length - 1, reached + (best.length - 1) * units);
    return from;
  });
  return { totals, modulesAt };
}

function traceBack(
  part: CountedPart,
  tables: readonly PoolTable[],
  modulesAt: readonly Int32Array[],
  units: number,
): Pick<CountedAnswer, "chosen" | "modules"> {
  const chosen = new Uint8Array(part.uses.length);
  const modules = new Float64Array(part.pools.length);
  let rest = units;
  for (let pool = tables.length - 1; pool >= 0; pool -= 1) {
    const { links, taken, uses, size } = tables[pool]!;
    const count = modulesAt[pool]![rest]!;
    modules[pool] = count;
    rest -= count * part.pools[pool]!.units;
    let left = uses[count]!;
    for (let at = links.length - 1; at >= 0; at -= 1) {
      if (taken[at * size + left] === 0) continue;
      chosen[links[at]!] = 1;
      left -= part.uses[links[at]!]![pool]!;
    }
  }
  return { chosen, modules };
}

/** Valid but looser: every unit at the lowest price, modules not rounded up. */
function solveLoosely(part: CountedPart, task: CountedTask): CountedAnswer {
  const chosen = new Uint8Array(part.uses.length);
  const modules = new Float64Array(part.pools.length);
  const nets = part.uses.map((uses, at) => leastCharge(part, task, uses) - task.reward[at]!);
  const open = nets.flatMap((net, at) => (task.state[at] === 0 ? [] : [{ net, at }]));
  if (open.length === 0) return { value: Infinity, chosen, modules };
  const least = open.reduce((best, one) => (one.net < best.net ? one : best));
  let value = part.fixed;
  for (const { net, at } of open) {
    if (net >= 0 && task.state[at] !== 2 && at !== least.at) continue;
    chosen[at] = 1;
    value += net;
    part.uses[at]!.forEach((count, pool) => (modules[pool]! += count / part.channels));
  }
  return { value, chosen, modules };
}

function leastCharge(part: CountedPart, task: CountedTask, uses: Int32Array): number {
  return part.pools.reduce((sum, { units }, pool) => {
    const perModule = task.moduleCost[pool]!;
    const share = units * part.leastPrice + Math.max(0, perModule);
    return sum + uses[pool]! * (share / part.channels + Math.min(0, perModule));
  }, 0);
}
