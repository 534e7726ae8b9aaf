import { activeRows, newRelaxation, type Relaxation, relax, type Weights, weightsOf } from "./bound.ts";
import type { Core } from "./core.ts";
import { type Domain, sizeOf } from "./domain.ts";
import { fixByCost } from "./fixing.ts";
import { type Glimpse, isTrue, nextGlimpse } from "./glimpse.ts";
import { leastPrices } from "./least-prices.ts";
import { propagate } from "./propagate.ts";
import { extended, newStride, type Stride, takeStride } from "./stride.ts";

/** How far one ascent goes. */
export interface AscentOptions {
  readonly iterations: number;
  /** The ascent ends once the bound exceeds it; also the target of the steps where finite. */
  readonly limit: () => number;
  /** Target of the steps where there is no limit: what is known to be reached. */
  readonly aim?: number | undefined;
  /** Columns whose bound exceeds it are deleted; at least the limit. */
  readonly keepLimit: () => number;
  /** Looks at the relaxation every now and then: a chance to find answers among the columns given. May add rows to the core. */
  readonly visit?: (relaxation: Relaxation, among: Domain) => void;
  readonly isStopped: () => boolean;
  /** Room for its relaxations; default: its own. */
  readonly room?: Relaxation;
}

/** The best bound found over a domain, which fixing has shrunk meanwhile. */
export interface Ascent {
  /** Infinity: the domain holds nothing at or below the limit. */
  bound: number;
  weights: Weights;
  /** Running averages: by part and by link that some column left has how much of it the relaxation uses, 0 to 1. */
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
  stride: Stride;
  agility: number;
  sinceBetter: number;
  /** Bound at the last fixing. */
  fixedAt: number;
  /** Turn from which on answers are looked for again. */
  nextVisit: number;
  /** What is looked at until the next look at everything; undefined: everything, because it is little. */
  glimpse: Glimpse | undefined;
}

/** Share of the gap the bound must gain before fixing is worth another look. */
const FIX_GAIN = 0.15;

const VISIT_EVERY = 24;

/** Turns without a better bound after which steps are shortened. */
const PATIENCE = 16;

/** Length of the first steps as a share of the way to the target, from nowhere and from good multipliers; and of the last. */
const FIRST_AGILITY = { cold: 0.4, warm: 0.1 };
const LEAST_AGILITY = 2e-3;

/**
 * Raises the bound by a deflected subgradient method, deleting columns on the way.
 *
 * @remarks Deflection and halved steps are common practice, no source; any nonnegative multipliers give a valid bound.
 */
export function ascend(core: Core, domain: Domain, start: Weights | undefined, options: AscentOptions): Ascent {
  const walk = newWalk(core, domain, start, options);
  const { ascent } = walk;
  if (!propagate(core, domain)) ascent.bound = Infinity;
  walk.relaxation.isActive = activeRows(core, domain);
  for (let turn = 0; turn < options.iterations && ascent.bound < Infinity; turn += 1) {
    if (options.isStopped() || !(isDue(walk, turn) ? takeTurn(walk, turn) : takeGlimpse(walk))) break;
  }
  if (ascent.bound < Infinity) finish(walk);
  return ascent;
}

function newWalk(core: Core, domain: Domain, start: Weights | undefined, options: AscentOptions): Walk {
  // Every use of a counted part pays the lowest price it can have: no part then gains by being used.
  const weights = weightsOf(core, start ?? leastPrices(core));
  const ascent: Ascent = {
    bound: -Infinity,
    weights,
    partShare: new Float64Array(core.partCount),
    linkShare: new Float64Array(core.linkCount),
    steps: [],
  };
  return {
    core,
    domain,
    options,
    relaxation: options.room ?? newRelaxation(core),
    ascent,
    weights: weights.slice(),
    stride: newStride(core),
    agility: start === undefined ? FIRST_AGILITY.cold : FIRST_AGILITY.warm,
    sinceBetter: 0,
    fixedAt: -Infinity,
    nextVisit: 0,
    glimpse: undefined,
  };
}

/** Whether everything is to be looked at: bounds are made of nothing less. */
function isDue({ glimpse }: Walk, turn: number): boolean {
  return glimpse === undefined || turn >= glimpse.until;
}

/** One look at everything and one step; false: nothing more to gain. */
function takeTurn(walk: Walk, turn: number): boolean {
  const { core, domain, ascent, options, relaxation, glimpse } = walk;
  if (glimpse !== undefined) walk.weights.set(glimpse.weights);
  walk.glimpse = undefined;
  const value = relax(core, domain, walk.weights, relaxation);
  noteShares(walk);
  if (value <= ascent.bound + 1e-9 * Math.abs(value)) noteNoBetter(walk);
  else if (!noteBetter(walk, value)) return false;
  // Steps that were shortened just now begin at the best point again.
  const from = walk.sinceBetter % PATIENCE === 0 ? ascent.bound : value;
  walk.glimpse = nextGlimpse(walk, { turn, value: from }, isTrue(glimpse, value) ? glimpse : undefined);
  if (turn >= walk.nextVisit && options.visit !== undefined) visit(walk, turn, options.visit);
  return ascent.bound < Infinity && walk.agility > LEAST_AGILITY && step(walk);
}

/** Takes a better bound, and what it deletes; false: nothing at or below the limit is left. */
function noteBetter(walk: Walk, value: number): boolean {
  const { ascent, options } = walk;
  ascent.bound = value;
  ascent.weights.set(walk.weights);
  walk.sinceBetter = 0;
  return value <= options.limit() && (!isWorthFixing(walk) || fix(walk));
}

/** One look at the most promising columns and one step; false: nothing more to gain. */
function takeGlimpse(walk: Walk): boolean {
  const { core, relaxation, glimpse } = walk;
  if (glimpse === undefined) return false;
  const value = relax(core, glimpse.domain, walk.weights, relaxation);
  noteShares(walk);
  if (value > glimpse.value + 1e-9 * Math.abs(value)) {
    glimpse.value = value;
    glimpse.weights.set(walk.weights);
  } else noteNoBetter(walk);
  return walk.agility > LEAST_AGILITY && step(walk);
}

function noteNoBetter(walk: Walk): void {
  walk.sinceBetter += 1;
  if (walk.sinceBetter % PATIENCE === 0) shorten(walk);
}

/** Shorter steps, from the best point so far. */
function shorten(walk: Walk): void {
  walk.agility /= 2;
  const { ascent, glimpse } = walk;
  walk.weights.set(glimpse !== undefined && glimpse.value > ascent.bound ? glimpse.weights : ascent.weights);
  walk.stride.direction.fill(0);
}

function visit(walk: Walk, turn: number, look: NonNullable<AscentOptions["visit"]>): void {
  const { core } = walk;
  walk.nextVisit = turn + VISIT_EVERY;
  const before = core.rows.length;
  look(walk.relaxation, walk.glimpse?.domain ?? walk.domain);
  if (core.rows.length === before) return;
  walk.weights = weightsOf(core, walk.weights);
  walk.stride = extended(core, walk.stride);
  walk.ascent.weights = weightsOf(core, walk.ascent.weights);
  walk.glimpse = undefined;
  walk.relaxation.isActive = activeRows(core, walk.domain);
}

function isWorthFixing({ ascent, options, fixedAt }: Walk): boolean {
  const limit = Math.min(options.limit(), options.aim ?? Infinity);
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
  ascent.steps.push(ascent.weights.slice());
  if (!propagate(core, domain)) {
    ascent.bound = Infinity;
    return false;
  }
  relaxation.isActive = activeRows(core, domain);
  return true;
}

/** Fixes once more at the best multipliers, over the domain as it is now. */
function finish(walk: Walk): void {
  const { core, domain, ascent, options, relaxation, glimpse } = walk;
  if (glimpse !== undefined && relax(core, domain, glimpse.weights, relaxation) > ascent.bound)
    ascent.weights.set(glimpse.weights);
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
  const { links } = domain;
  for (let at = 0; at < links.length; at += 1) linkShare[links[at]!]! *= 0.95;
  for (let g = 0; g < domain.alive.length; g += 1) {
    const column = relaxation.pick[g]!;
    for (let at = core.linkStart[column]!; at < core.linkStart[column + 1]!; at += 1)
      linkShare[core.linkOf[at]!]! += 0.05;
  }
}

/** A step towards the target; false at a point that cannot be left. */
function step(walk: Walk): boolean {
  return takeStride(walk.stride, walk, walk.agility * (targetOf(walk) - walk.relaxation.value));
}

/** Just above what is known to be reached, otherwise 8 % above the best bound. */
function targetOf({ ascent, options, relaxation }: Walk): number {
  const best = Math.max(ascent.bound, relaxation.value);
  const ahead = best + 0.08 * Math.max(Math.abs(best), 1e-6);
  const known = Math.min(options.limit(), options.aim ?? Infinity);
  return known < Infinity ? Math.max(known + 0.02 * (known - best), best + 1e-5 * Math.abs(best)) : ahead;
}
