import type { Core } from "./core.ts";
import { type CountedPart, type CountedTask, solveCounted, solveEven } from "./counted-part.ts";
import { ANY_UNITS, type Domain, openConditions } from "./domain.ts";
import { type ClassRoom, newRooms } from "./unit-classes.ts";

/**
 * Multipliers of the relaxed rows in one vector: links, caps, rows. Row entries are in money: the multiplier proper
 * is entry / scale of the row.
 */
export type Weights = Float64Array;

/** Length of the multiplier vector as the core stands now. */
function weightCount(core: Core): number {
  return core.linkCount + core.caps.length + core.rows.length;
}

/** All multipliers zero, or those given, with zeros for rows added since. */
export function weightsOf(core: Core, before?: Weights): Weights {
  const weights = new Float64Array(weightCount(core));
  if (before !== undefined) weights.set(before);
  return weights;
}

/** The relaxation at given multipliers: its value and everything fixing, branching and repair want to know. */
export interface Relaxation {
  /** Lower bound on the cost of every answer in the domain, short of rounding noise. */
  value: number;
  /** Reduced cost by column; only columns left are kept up to date. */
  readonly reduced: Float64Array;
  /** Least reduced cost by group. */
  readonly least: Float64Array;
  /** Column of least reduced cost by group. */
  readonly pick: Int32Array;
  /** By part: what using it at all costs, charge + cap multipliers - multipliers of its links. */
  readonly slack: Float64Array;
  /** By link some column left has: whether the part's own subproblem uses it. */
  readonly linkUse: Uint8Array;
  /** By part: whether the part's own subproblem pays for it. */
  readonly partUse: Uint8Array;
  /** By counted part: modules by pool of the part. */
  readonly modules: Float64Array[];
  /** By counted part: room for what its subproblem is asked; undefined for the others. */
  readonly tasks: readonly (Task | undefined)[];
  /** By row: whether its condition certainly holds in the domain. */
  isActive: Uint8Array;
  /** By row: its multiplier proper; 0 where it is not active. And the rows in which it is not 0. */
  lambda: Float64Array;
  readonly pressing: number[];
  /** By link, at least: the multipliers it stands for. */
  weights: Weights;
}

/** What a counted part's subproblem is asked, with room for the links it chooses. */
interface Task extends CountedTask {
  readonly even: Uint8Array;
  readonly rooms: readonly ClassRoom[];
  least: number;
  most: number;
}

/** Room for one relaxation, to be used again and again. */
export function newRelaxation(core: Core): Relaxation {
  return {
    value: -Infinity,
    reduced: new Float64Array(core.columnCount),
    least: new Float64Array(core.groupCount),
    pick: new Int32Array(core.groupCount),
    slack: new Float64Array(core.partCount),
    linkUse: new Uint8Array(core.linkCount),
    partUse: new Uint8Array(core.partCount),
    modules: core.counted.map((part) => new Float64Array(part?.pools.length ?? 0)),
    tasks: core.counted.map((part, at) => part && newTask(part, core.partLinks[at]!.length)),
    isActive: new Uint8Array(core.rows.length),
    lambda: new Float64Array(core.rows.length),
    pressing: [],
    weights: weightsOf(core),
  };
}

function newTask(part: CountedPart, links: number): Task {
  return {
    reward: new Float64Array(links),
    state: new Uint8Array(links),
    moduleCost: new Float64Array(part.pools.length),
    even: new Uint8Array(links),
    rooms: newRooms(part),
    least: 0,
    most: ANY_UNITS,
  };
}

/** By row: 1 where every condition holds whatever is picked from the columns left. */
export function activeRows(core: Core, domain: Domain): Uint8Array {
  return Uint8Array.from(core.rows, ({ when }) =>
    when.length === 0 || openConditions(core, domain, when).length === 0 ? 1 : 0,
  );
}

/**
 * Evaluates the Lagrangian relaxation over the domain:
 *
 * L = Σ_g min_k rc + Σ_p min(charge of p - its multipliers) - μ·cap + Σ λ·(constant - max)
 *
 * with rc = c + Σ w[g, p] + Σ λ·factor. Valid for any w, μ, λ ≥ 0 (w of counted parts: of any sign), with the λ of
 * one envelope summing to its cost at most. Expects `isActive` to be up to date. Multipliers of exact caps are set to
 * their best values given the others.
 */
export function relax(core: Core, domain: Domain, weights: Weights, into: Relaxation): number {
  let value = 0;
  let size = 0;
  noteRows(core, weights, into);
  for (let group = 0; group < core.groupCount; group += 1) {
    reduceGroup(core, domain, weights, { into, group });
    value += into.least[group]!;
    size += Math.abs(into.least[group]!);
  }
  noteSlacks(core, domain, weights, into);
  for (const [index, cap] of core.caps.entries()) {
    if (cap.isExact)
      weights[core.linkCount + index] = bestCapWeight(domain, into, cap, weights[core.linkCount + index]!);
  }
  for (let part = 0; part < core.partCount; part += 1) {
    const charge = takePart(core, domain, into, part);
    value += charge;
    size += Math.abs(charge);
  }
  noteLinkUse(core, domain, into);
  for (const [index, { max }] of core.caps.entries()) {
    value -= weights[core.linkCount + index]! * max;
    size += weights[core.linkCount + index]! * max;
  }
  for (const index of into.pressing) {
    const row = core.rows[index]!;
    const lambda = into.lambda[index]!;
    value += lambda * (row.constant - row.max);
    size += lambda * (Math.abs(row.constant) + Math.abs(row.max));
  }
  into.value = value - 1e-13 * size;
  into.weights = weights;
  return into.value;
}

function noteRows(core: Core, weights: Weights, into: Relaxation): void {
  const { isActive, pressing } = into;
  const count = core.rows.length;
  if (into.lambda.length < count) into.lambda = new Float64Array(count);
  const first = core.linkCount + core.caps.length;
  pressing.length = 0;
  for (let index = 0; index < count; index += 1) {
    const lambda = isActive[index] === 1 ? weights[first + index]! / core.rows[index]!.scale : 0;
    into.lambda[index] = lambda;
    if (lambda > 0) pressing.push(index);
  }
}

interface GroupAt {
  readonly into: Relaxation;
  readonly group: number;
}

/** Hot: reduced costs of one group; see bench of the solver. */
function reduceGroup(core: Core, domain: Domain, weights: Weights, { into, group }: GroupAt): void {
  const { cost, linkStart, linkOf } = core;
  const { reduced } = into;
  const columns = domain.alive[group]!;
  for (let at = 0; at < columns.length; at += 1) {
    const column = columns[at]!;
    let sum = cost[column]!;
    const end = linkStart[column + 1]!;
    for (let link = linkStart[column]!; link < end; link += 1) sum += weights[linkOf[link]!]!;
    reduced[column] = sum;
  }
  const { pressing, lambda } = into;
  for (let at = 0; at < pressing.length; at += 1) {
    const factors = core.rows[pressing[at]!]!.factors[group];
    if (factors !== undefined)
      addRowTo(reduced, columns, lambda[pressing[at]!]!, { factors, first: core.offset[group]! });
  }
  takeLeast(into, group, columns);
}

function addRowTo(
  reduced: Float64Array,
  columns: Int32Array,
  lambda: number,
  { factors, first }: { factors: Float64Array; first: number },
): void {
  for (let at = 0; at < columns.length; at += 1) reduced[columns[at]!]! += lambda * factors[columns[at]! - first]!;
}

function takeLeast({ reduced, least, pick }: Relaxation, group: number, columns: Int32Array): void {
  let best = Infinity;
  let bestColumn = -1;
  for (let at = 0; at < columns.length; at += 1) {
    if (reduced[columns[at]!]! < best) {
      best = reduced[columns[at]!]!;
      bestColumn = columns[at]!;
    }
  }
  least[group] = best;
  pick[group] = bestColumn;
}

interface PartAt {
  readonly into: Relaxation;
  readonly part: number;
}

/** Writes what using each part at all costs at the multipliers of its links and of inexact caps. Hot. */
function noteSlacks(core: Core, domain: Domain, weights: Weights, into: Relaxation): void {
  const { slack } = into;
  for (let part = 0; part < core.partCount; part += 1) {
    const shared = capWeights(core, weights, part) + usedWeights(core, into, part);
    slack[part] =
      core.counted[part] === undefined
        ? core.fixed[part]! + shared
        : shared + countedSlack(core, domain, weights, { into, part });
  }
  const { links } = domain;
  for (let at = 0; at < links.length; at += 1) {
    const part = core.linkPart[links[at]!]!;
    if (core.counted[part] === undefined) slack[part]! -= weights[links[at]!]!;
  }
}

/** A part that is charged once is used by all its links or by none. Hot. */
function noteLinkUse(core: Core, { links }: Domain, { linkUse, partUse }: Relaxation): void {
  for (let at = 0; at < links.length; at += 1) {
    const part = core.linkPart[links[at]!]!;
    if (core.counted[part] === undefined) linkUse[links[at]!] = partUse[part]!;
  }
}

/**
 * The best multiplier of a cap given all others: what the first part that no longer fits would have saved. Adds it
 * to the slack of the members.
 */
function bestCapWeight(domain: Domain, { slack }: Relaxation, cap: Core["caps"][number], before: number): number {
  let room = cap.max;
  const wanted: number[] = [];
  for (const part of cap.members) {
    if (domain.use[part] === 1) room -= 1;
    if (domain.use[part] === -1 && slack[part]! - before < 0) wanted.push(slack[part]! - before);
  }
  // Where more is paid for than fits, any multiplier holds: that of a full cap is taken.
  room = Math.max(0, room);
  const weight = wanted.length > room ? -wanted.toSorted((a, b) => a - b)[room]! : 0;
  for (const part of cap.members) slack[part]! += weight - before;
  return weight;
}

/** min(0, slack), or the slack itself where the part is paid for in any case. */
function takePart(core: Core, domain: Domain, into: Relaxation, part: number): number {
  const links = core.partLinks[part]!;
  const decided = domain.use[part]!;
  const slack = into.slack[part]!;
  const isUsed = decided === 1 ? links.length > 0 && slack < Infinity : decided === -1 && slack < 0;
  into.partUse[part] = isUsed ? 1 : 0;
  if (core.counted[part] !== undefined && !isUsed) leaveOut(core, into, part);
  return isUsed ? slack : 0;
}

function leaveOut(core: Core, into: Relaxation, part: number): void {
  for (const link of core.partLinks[part]!) into.linkUse[link] = 0;
  into.modules[part]!.fill(0);
}

function capWeights(core: Core, weights: Weights, part: number): number {
  let sum = 0;
  for (const cap of core.capsOf[part]!) sum += weights[core.linkCount + cap]!;
  return sum;
}

/** What rows charge for the part's use. */
function usedWeights(core: Core, into: Relaxation, part: number): number {
  const rows = core.usedRows[part]!;
  let sum = 0;
  for (let at = 0; at < rows.length; at += 1) {
    const { row, factor } = rows[at]!;
    sum += into.lambda[row]! * factor;
  }
  return sum;
}

function countedSlack(core: Core, domain: Domain, weights: Weights, { into, part }: PartAt): number {
  const counted = core.counted[part]!;
  const links = core.partLinks[part]!;
  const task = into.tasks[part]!;
  task.least = domain.leastUnits[part]!;
  task.most = domain.mostUnits[part]!;
  let isDead = true;
  for (let at = 0; at < links.length; at += 1) {
    task.reward[at] = weights[links[at]!]!;
    const state = linkState(core, domain, links[at]!);
    task.state[at] = state;
    if (state !== 0) isDead = false;
  }
  if (isDead) {
    leaveOut(core, into, part);
    return Infinity;
  }
  if (counted.evenUnits > 0) {
    const least = solveEven(counted, task, task.even);
    for (let at = 0; at < links.length; at += 1) into.linkUse[links[at]!] = task.even[at]!;
    return least;
  }
  noteModuleCosts(core, { into, part });
  const { value, chosen, modules } = solveCounted(counted, task, task.rooms);
  for (let at = 0; at < links.length; at += 1) into.linkUse[links[at]!] = chosen[at]!;
  into.modules[part]!.set(modules);
  return value;
}

function linkState(core: Core, domain: Domain, link: number): number {
  const count = domain.linkCount[link]!;
  if (count === 0) return 0;
  return count === domain.alive[core.linkGroup[link]!]!.length ? 2 : 1;
}

function noteModuleCosts(core: Core, { into, part }: PartAt): void {
  const { pools } = core.counted[part]!;
  const costs = into.tasks[part]!.moduleCost.fill(0);
  for (const index of into.pressing) {
    for (const term of core.rows[index]!.modules) {
      if (term.part !== part) continue;
      const at = pools.findIndex(({ pool }) => pool === term.pool);
      if (at >= 0) costs[at]! += into.lambda[index]! * term.factor;
    }
  }
}
