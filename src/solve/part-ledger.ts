import type { Relaxation } from "./bound.ts";
import type { Core } from "./core.ts";
import { type CountedPart, type CountedTask, solveCounted, solveEven } from "./counted-part.ts";
import type { Domain } from "./domain.ts";

/** What a part comes to at the multipliers of a relaxation once some groups have picked. */
interface PartState {
  /** What using it costs beside the multipliers of its links that are still possible; Infinity: it cannot be used. */
  slack: number;
  /** Groups that have picked it. */
  picked: number;
  /** Paid for whatever is picked. */
  readonly isPaid: boolean;
  /** Absent for parts charged once at most. */
  readonly counted: CountedState | undefined;
}

interface CountedState {
  readonly part: CountedPart;
  readonly task: CountedTask;
  /** Slack beside the subproblem. */
  readonly shared: number;
  /** By link: whether the subproblem's answer uses it. */
  chosen: Uint8Array;
}

/** How a part stood before a link of it was decided. */
interface Undo {
  readonly state: PartState;
  readonly slack: number;
  readonly picked: number;
  readonly at: number;
  readonly linkState: number;
  readonly chosen: Uint8Array | undefined;
}

/**
 * The parts of a relaxation under partial picks: each pick forces the links of its column and rules the other links of
 * its group out. A subproblem is solved again only where its answer does not fit. With every group picked, the bound is
 * the cost of the answer, with rows and caps at their multipliers.
 */
export interface PartLedger {
  readonly core: Core;
  readonly weights: ArrayLike<number>;
  /** By group: links that a column left has and whose part comes to anything. */
  readonly links: readonly Int32Array[];
  readonly states: readonly (PartState | undefined)[];
  /** By link: its position among the links of its part. */
  readonly places: Int32Array;
  /** By link: belongs to the column being entered. */
  readonly marks: Uint8Array;
  readonly trail: Undo[];
  /** Lengths of the trail before each column. */
  readonly borders: number[];
}

/** No group has picked. Expects a relaxation of this very domain. */
export function partLedger(core: Core, domain: Domain, relaxation: Relaxation): PartLedger {
  const places = new Int32Array(core.linkCount);
  for (const links of core.partLinks) for (let at = 0; at < links.length; at += 1) places[links[at]!] = at;
  const states = core.counted.map((_, part) => newState(core, domain, relaxation, part));
  const marks = new Uint8Array(core.linkCount);
  const { weights } = relaxation;
  const isOpen = (link: number): boolean => domain.linkCount[link]! > 0 && states[core.linkPart[link]!] !== undefined;
  const links = core.groupLinks.map((own) => own.filter(isOpen));
  return { core, weights, links, states, places, marks, trail: [], borders: [] };
}

function newState(core: Core, domain: Domain, relaxation: Relaxation, part: number): PartState | undefined {
  const slack = relaxation.slack[part]!;
  const use = domain.use[part]!;
  if (use === 0 || slack === Infinity || core.partLinks[part]!.length === 0) return undefined;
  const counted = core.counted[part];
  const task = relaxation.tasks[part];
  const state = { slack, picked: 0, isPaid: use === 1 };
  if (counted === undefined || task === undefined) return { ...state, counted: undefined };
  const { reward, moduleCost, least, most } = task;
  const own: CountedTask = { reward: reward.slice(), state: task.state.slice(), moduleCost, least, most };
  const { value, chosen } = answerOf(counted, own);
  return { ...state, counted: { part: counted, task: own, shared: slack - value, chosen } };
}

function answerOf(part: CountedPart, task: CountedTask): { readonly value: number; readonly chosen: Uint8Array } {
  if (part.evenUnits === 0) return solveCounted(part, task);
  const chosen = new Uint8Array(task.reward.length);
  return { value: solveEven(part, task, chosen), chosen };
}

/** Enters a column; returns by how much parts raise the bound. Infinity: no answer has these picks. Hot. */
export function enter(ledger: PartLedger, column: number): number {
  const { core, weights, states, places, marks, trail, borders } = ledger;
  borders.push(trail.length);
  const [start, end] = [core.linkStart[column]!, core.linkStart[column + 1]!];
  for (let at = start; at < end; at += 1) marks[core.linkOf[at]!] = 1;
  let rise = 0;
  const links = ledger.links[core.groupOf[column]!]!;
  for (let l = 0; l < links.length; l += 1) {
    const link = links[l]!;
    const state = states[core.linkPart[link]!];
    if (state === undefined) continue;
    const before = worthOf(state);
    decideLink(state, { at: places[link]!, weight: weights[link]!, isPicked: marks[link] === 1 }, trail);
    rise += worthOf(state) - before;
  }
  for (let at = start; at < end; at += 1) marks[core.linkOf[at]!] = 0;
  return rise;
}

/** Takes the last column back. Hot. */
export function leave({ trail, borders }: PartLedger): void {
  const border = borders.pop() ?? 0;
  while (trail.length > border) {
    const { state, slack, picked, at, linkState, chosen } = trail.pop()!;
    state.slack = slack;
    state.picked = picked;
    if (state.counted === undefined || chosen === undefined) continue;
    state.counted.task.state[at] = linkState;
    state.counted.chosen = chosen;
  }
}

/** What a part adds to the bound. */
function worthOf({ slack, picked, isPaid }: PartState): number {
  if (slack === Infinity) return picked > 0 ? Infinity : 0;
  return picked > 0 || isPaid ? slack : Math.min(0, slack);
}

interface Link {
  readonly at: number;
  readonly weight: number;
  readonly isPicked: boolean;
}

function decideLink(state: PartState, { at, weight, isPicked }: Link, trail: Undo[]): void {
  const { slack, picked, counted } = state;
  trail.push({ state, slack, picked, at, linkState: counted?.task.state[at] ?? 0, chosen: counted?.chosen });
  if (isPicked) state.picked += 1;
  if (counted === undefined) {
    if (!isPicked) state.slack += weight;
    return;
  }
  counted.task.state[at] = isPicked ? 2 : 0;
  if ((counted.chosen[at] === 1) === isPicked) return;
  const { value, chosen } = answerOf(counted.part, counted.task);
  counted.chosen = chosen;
  state.slack = counted.shared + value;
}
