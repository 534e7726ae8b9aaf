import { activeRows, newRelaxation, type Relaxation, relax, type Weights, weightsOf } from "./bound.ts";
import type { Core } from "./core.ts";
import { type Domain, sizeOf } from "./domain.ts";
import { fixByCost } from "./fixing.ts";
import { propagate } from "./propagate.ts";

/** How far one ascent goes. */
export interface AscentOptions {
  readonly iterations: number;
  /** The ascent ends once the bound exceeds it; also the target of the steps where finite. */
  readonly limit: () => number;
  /** Columns whose bound exceeds it are deleted; at least the limit. */
  readonly keepLimit: () => number;
  /** Looks at the relaxation every now and then: a chance to find answers. May add rows to the core. */
  readonly visit?: (relaxation: Relaxation) => void;
  readonly isStopped: () => boolean;
}

/** The best bound found over a domain, which fixing has shrunk meanwhile. */
export interface Ascent {
  /** Infinity: the domain holds nothing at or below the limit. */
  bound: number;
  weights: Weights;
  /** Running averages: by part and by link how much of it the relaxation uses, 0 to 1. */
  readonly partShare: Float64Array;
  readonly linkShare: Float64Array;
  /** Multipliers at which columns were deleted, in order: the proof can be replayed from them. */
  readonly steps: Weights[];
}

interface Walk {
  readonly core: Core;
  readonly domain: Domain;
  readonly options: AscentOptions;
  readonly relaxation: Relaxation;
  readonly ascent: Ascent;
  weights: Weights;
  direction: Float64Array;
  /** By multiplier: how far it moves beside the others. */
  reach: Float64Array;
  agility: number;
  sinceBetter: number;
  /** Bound at the last fixing. */
  fixedAt: number;
}

/** Share of the gap the bound must gain before fixing is worth another look. */
const FIX_GAIN = 0.15;

const VISIT_EVERY = 25;

/** Length of the first steps, as a share of the way to the target; and how much of the last direction goes into the next. */
const FIRST_AGILITY = 0.4;
const MOMENTUM = 0.75;

/** Least reach of a multiplier beside the mean. */
const LEAST_REACH = 0.02;

/**
 * Raises the bound by a deflected subgradient method, deleting columns on the way.
 *
 * @remarks Deflection and halved steps are common practice, no source; any nonnegative multipliers give a valid bound.
 */
export function ascend(core: Core, domain: Domain, start: Weights | undefined, options: AscentOptions): Ascent {
  const weights = start === undefined ? leastPriceWeights(core) : weightsOf(core, start);
  const ascent: Ascent = {
    bound: -Infinity,
    weights,
    partShare: new Float64Array(core.partCount),
    linkShare: new Float64Array(core.linkCount),
    steps: [],
  };
  const walk: Walk = {
    core,
    domain,
    options,
    relaxation: newRelaxation(core),
    ascent,
    weights: weights.slice(),
    direction: new Float64Array(weights.length),
    reach: reachOf(core),
    agility: FIRST_AGILITY,
    sinceBetter: 0,
    fixedAt: -Infinity,
  };
  if (!propagate(core, domain)) ascent.bound = Infinity;
  walk.relaxation.isActive = activeRows(core, domain);
  for (let turn = 0; turn < options.iterations && ascent.bound < Infinity; turn += 1) {
    if (options.isStopped() || !takeTurn(walk, turn)) break;
  }
  if (ascent.bound < Infinity) finish(walk);
  return ascent;
}

/**
 * The root of what a use of the link's part costs, beside the mean: prices of dear parts have further to go. Caps and rows
 * are scaled already. Measured: orders whose machines differ in quantity converge in a fraction of the steps.
 */
function reachOf(core: Core): Float64Array {
  const counted = leastPriceWeights(core);
  const price = (link: number): number => {
    const part = core.linkPart[link]!;
    return core.counted[part] === undefined ? core.fixed[part]! : counted[link]!;
  };
  let sum = 0;
  for (let link = 0; link < core.linkCount; link += 1) sum += price(link);
  const mean = sum / Math.max(1, core.linkCount);
  return weightsOf(core).map((_, at) =>
    at < core.linkCount && mean > 0 ? Math.sqrt(Math.max(LEAST_REACH, price(at) / mean)) : 1,
  );
}

/** Every use of a counted part pays the lowest price it can have: no part then gains by being used. */
export function leastPriceWeights(core: Core): Weights {
  const weights = weightsOf(core);
  for (const [part, counted] of core.counted.entries()) {
    if (counted === undefined) continue;
    for (const [at, link] of core.partLinks[part]!.entries()) {
      const units = counted.pools.reduce((sum, pool, p) => sum + pool.units * counted.uses[at]![p]!, 0);
      weights[link] = (units * counted.leastPrice) / counted.channels;
    }
  }
  return weights;
}

/** One evaluation and one step; false: nothing more to gain. */
function takeTurn(walk: Walk, turn: number): boolean {
  const { core, domain, ascent, options, relaxation } = walk;
  const value = relax(core, domain, walk.weights, relaxation);
  noteShares(walk);
  if (value > ascent.bound + 1e-9 * Math.abs(value)) {
    ascent.bound = value;
    ascent.weights = walk.weights.slice();
    walk.sinceBetter = 0;
    if (value > options.limit()) return false;
    if (isWorthFixing(walk) && !fix(walk)) return false;
  } else {
    walk.sinceBetter += 1;
    if (walk.sinceBetter % 16 === 0) shorten(walk);
  }
  if (turn % VISIT_EVERY === 0 && options.visit !== undefined) visit(walk, options.visit);
  return ascent.bound < Infinity && walk.agility > 2e-3 && step(walk);
}

/** Shorter steps, from the best point so far. */
function shorten(walk: Walk): void {
  walk.agility /= 2;
  walk.weights.set(walk.ascent.weights);
  walk.direction.fill(0);
}

function visit(walk: Walk, look: (relaxation: Relaxation) => void): void {
  const { core } = walk;
  const before = core.rows.length;
  look(walk.relaxation);
  if (core.rows.length === before) return;
  walk.weights = weightsOf(core, walk.weights);
  walk.direction = weightsOf(core, walk.direction);
  walk.reach = reachOf(core);
  walk.ascent.weights = weightsOf(core, walk.ascent.weights);
  walk.relaxation.isActive = activeRows(core, walk.domain);
}

function isWorthFixing({ ascent, options, fixedAt }: Walk): boolean {
  const limit = options.limit();
  return limit < Infinity && (fixedAt === -Infinity || ascent.bound - fixedAt > FIX_GAIN * (limit - fixedAt));
}

/** Deletes at the multipliers just evaluated; false: nothing is left. */
function fix(walk: Walk): boolean {
  const { core, domain, ascent, options, relaxation } = walk;
  walk.fixedAt = ascent.bound;
  const before = sizeOf(domain);
  const used = domain.use.reduce((sum, use) => sum + (use === -1 ? 0 : 1), 0);
  fixByCost(core, domain, relaxation, options.keepLimit());
  const isChanged = sizeOf(domain) < before || domain.use.reduce((sum, use) => sum + (use === -1 ? 0 : 1), 0) > used;
  if (!isChanged) return true;
  ascent.steps.push(ascent.weights);
  if (!propagate(core, domain)) {
    ascent.bound = Infinity;
    return false;
  }
  relaxation.isActive = activeRows(core, domain);
  return true;
}

/** Fixes once more at the best multipliers, over the domain as it is now. */
function finish(walk: Walk): void {
  const { core, domain, ascent, options, relaxation } = walk;
  for (let round = 0; round < 3; round += 1) {
    relaxation.isActive = activeRows(core, domain);
    const value = relax(core, domain, ascent.weights, relaxation);
    ascent.bound = Math.max(ascent.bound, value);
    if (ascent.bound > options.limit()) return;
    const before = sizeOf(domain);
    if (!fix(walk) || sizeOf(domain) === before) return;
  }
}

function noteShares({ core, domain, relaxation, ascent }: Walk): void {
  const { partShare, linkShare } = ascent;
  for (let part = 0; part < core.partCount; part += 1) {
    partShare[part] = 0.95 * partShare[part]! + 0.05 * relaxation.partUse[part]!;
  }
  for (let link = 0; link < core.linkCount; link += 1) linkShare[link]! *= 0.95;
  for (let g = 0; g < domain.alive.length; g += 1) {
    const column = relaxation.pick[g]!;
    for (let at = core.linkStart[column]!; at < core.linkStart[column + 1]!; at += 1)
      linkShare[core.linkOf[at]!]! += 0.05;
  }
}

/** weights + step · direction, projected to where multipliers are valid; false at a point that cannot be left. */
function step(walk: Walk): boolean {
  const { core, weights, direction, reach } = walk;
  const gradient = subgradient(walk);
  let norm = 0;
  for (let at = 0; at < weights.length; at += 1) {
    direction[at] = (1 - MOMENTUM) * gradient[at]! + MOMENTUM * direction[at]!;
    if (weights[at] === 0 && direction[at]! < 0 && !isFree(core, at)) direction[at] = 0;
    norm += reach[at]! * direction[at]! * direction[at]!;
  }
  if (norm < 1e-14) return false;
  const length = (walk.agility * (targetOf(walk) - walk.relaxation.value)) / norm;
  for (let at = 0; at < weights.length; at += 1) {
    const next = weights[at]! + length * reach[at]! * direction[at]!;
    weights[at] = next < 0 && !isFree(core, at) ? 0 : next;
  }
  limitEnvelopes(core, weights);
  return true;
}

function isFree(core: Core, at: number): boolean {
  return at < core.linkCount && core.counted[core.linkPart[at]!] !== undefined;
}

/** Just above the limit where one is known, otherwise 8 % above the best bound. */
function targetOf({ ascent, options, relaxation }: Walk): number {
  const best = Math.max(ascent.bound, relaxation.value);
  const ahead = best + 0.08 * Math.max(Math.abs(best), 1e-6);
  const limit = options.limit();
  return limit < Infinity ? Math.max(limit + 0.02 * (limit - best), best + 1e-5 * Math.abs(best)) : ahead;
}

/** How much each relaxed row is broken by the relaxation's own choice. */
function subgradient({ core, domain, relaxation }: Walk): Float64Array {
  const { linkCount, caps, rows } = core;
  const gradient = new Float64Array(linkCount + caps.length + rows.length);
  for (let link = 0; link < linkCount; link += 1) {
    if (domain.linkCount[link]! > 0) gradient[link] = -relaxation.linkUse[link]!;
  }
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
    if (relaxation.isActive[index] === 1) gradient[linkCount + caps.length + index] = excess(core, relaxation, index);
  }
  return gradient;
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

/** Scales the multipliers of each envelope down until they sum to its cost at most. */
export function limitEnvelopes(core: Core, weights: Weights): void {
  const { envelopes } = core.model;
  if (envelopes.length === 0) return;
  const first = core.linkCount + core.caps.length;
  const sums = new Float64Array(envelopes.length);
  for (const [index, { envelope, scale }] of core.rows.entries()) {
    if (envelope >= 0) sums[envelope]! += weights[first + index]! / scale;
  }
  for (const [index, { envelope }] of core.rows.entries()) {
    // Shrunk by a little more than needed, so that rounding cannot lift the sum above the cost.
    if (envelope >= 0 && sums[envelope]! > envelopes[envelope]!.cost) {
      weights[first + index]! *= (envelopes[envelope]!.cost / sums[envelope]!) * (1 - 1e-12);
    }
  }
}
