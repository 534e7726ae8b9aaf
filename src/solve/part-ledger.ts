import type { Relaxation } from "./bound.ts";
import type { Core } from "./core.ts";
import { type CountedPart, type CountedTask, solveCounted, solveEven } from "./counted-part.ts";
import type { Domain } from "./domain.ts";

/** A part charged by its number of units, with its subproblem. */
interface CountedState {
  readonly part: CountedPart;
  readonly task: CountedTask;
  /** Slack beside the subproblem. */
  readonly shared: number;
  /** By link: whether the subproblem's answer uses it. */
  chosen: Uint8Array;
}

/** How a counted part stood before a link of it was decided. */
interface Undo {
  readonly state: CountedState;
  readonly at: number;
  readonly linkState: number;
  readonly chosen: Uint8Array;
}

/** Links decided so far, the last one last, each with the slack that its part had before. */
interface Trail {
  readonly link: Int32Array;
  readonly isPicked: Uint8Array;
  readonly slack: Float64Array;
  readonly counted: Undo[];
  length: number;
}

/**
 * The parts of a relaxation under partial picks: each pick forces the links of its column and rules the other links of
 * its group out. A subproblem is solved again only where its answer does not fit. With every group picked, the bound is
 * the cost of the answer, with rows and caps at their multipliers.
 */
export interface PartLedger {
  readonly core: Core;
  readonly weights: ArrayLike<number>;
  /** By group: links that a column left has and whose part can be used. */
  readonly links: readonly Int32Array[];
  /** By part: what using it costs beside the multipliers of its links that are still possible; Infinity: it cannot be used. */
  readonly slack: Float64Array;
  /** By part: groups that have picked it, with one for being paid for in any case. */
  readonly uses: Int32Array;
  /** By part: undefined for those charged once at most. */
  readonly counted: readonly (CountedState | undefined)[];
  /** By link: its position among the links of its part. */
  readonly places: Int32Array;
  /** By link: belongs to the column being entered. */
  readonly marks: Uint8Array;
  readonly trail: Trail;
  /** Lengths of the trail before each column. */
  readonly borders: number[];
}

/** No group has picked. Expects a relaxation of this very domain. */
export function partLedger(core: Core, domain: Domain, relaxation: Relaxation): PartLedger {
  const places = new Int32Array(core.linkCount);
  for (const links of core.partLinks) for (let at = 0; at < links.length; at += 1) places[links[at]!] = at;
  const { weights } = relaxation;
  const slack = relaxation.slack.slice();
  const canBeUsed = (part: number): boolean => domain.use[part] !== 0 && slack[part]! < Infinity;
  const isOpen = (link: number): boolean => domain.linkCount[link]! > 0 && canBeUsed(core.linkPart[link]!);
  const links = core.groupLinks.map((own) => own.filter(isOpen));
  return {
    core,
    weights,
    links,
    slack,
    uses: Int32Array.from(domain.use, (use) => (use === 1 ? 1 : 0)),
    counted: core.counted.map((counted, part) =>
      counted !== undefined && canBeUsed(part) ? countedState(counted, relaxation, part) : undefined,
    ),
    places,
    marks: new Uint8Array(core.linkCount),
    trail: newTrail(links.reduce((sum, { length }) => sum + length, 0)),
    borders: [],
  };
}

/** @param most - links that can be decided */
function newTrail(most: number): Trail {
  return {
    link: new Int32Array(most),
    isPicked: new Uint8Array(most),
    slack: new Float64Array(most),
    counted: [],
    length: 0,
  };
}

function countedState(counted: CountedPart, { slack, tasks }: Relaxation, part: number): CountedState | undefined {
  const asked = tasks[part];
  if (asked === undefined) return undefined;
  const { reward, state, moduleCost, least, most } = asked;
  const task: CountedTask = { reward: reward.slice(), state: state.slice(), moduleCost, least, most };
  const { value, chosen } = answerOf(counted, task);
  return { part: counted, task, shared: slack[part]! - value, chosen };
}

function answerOf(part: CountedPart, task: CountedTask): { readonly value: number; readonly chosen: Uint8Array } {
  if (part.evenUnits === 0) return solveCounted(part, task);
  const chosen = new Uint8Array(task.reward.length);
  return { value: solveEven(part, task, chosen), chosen };
}

/** Enters a column; returns by how much parts raise the bound. Infinity: no answer has these picks. Hot. */
export function enter(ledger: PartLedger, column: number): number {
  const { core, weights, slack, uses, counted, marks, trail, borders } = ledger;
  borders.push(trail.length);
  const [start, end] = [core.linkStart[column]!, core.linkStart[column + 1]!];
  for (let at = start; at < end; at += 1) marks[core.linkOf[at]!] = 1;
  let rise = 0;
  const links = ledger.links[core.groupOf[column]!]!;
  for (let l = 0; l < links.length; l += 1) {
    const link = links[l]!;
    const isPicked = marks[link] === 1;
    const part = core.linkPart[link]!;
    const state = counted[part];
    if (!isPicked && weights[link] === 0 && state === undefined) continue;
    const before = worthOf(slack[part]!, uses[part]!);
    note(trail, link, isPicked, slack[part]!);
    if (isPicked) uses[part]! += 1;
    if (state !== undefined) slack[part] = decided(ledger, state, link, slack[part]!);
    else if (!isPicked) slack[part]! += weights[link]!;
    rise += worthOf(slack[part]!, uses[part]!) - before;
  }
  for (let at = start; at < end; at += 1) marks[core.linkOf[at]!] = 0;
  return rise;
}

/** Takes the last column back. Hot. */
export function leave({ core, slack, uses, counted, trail, borders }: PartLedger): void {
  const border = borders.pop() ?? 0;
  while (trail.length > border) {
    trail.length -= 1;
    const part = core.linkPart[trail.link[trail.length]!]!;
    slack[part] = trail.slack[trail.length]!;
    if (trail.isPicked[trail.length] === 1) uses[part]! -= 1;
    if (counted[part] !== undefined) takeBack(trail.counted.pop()!);
  }
}

function takeBack({ state, at, linkState, chosen }: Undo): void {
  state.task.state[at] = linkState;
  state.chosen = chosen;
}

function note(trail: Trail, link: number, isPicked: boolean, slack: number): void {
  trail.link[trail.length] = link;
  trail.isPicked[trail.length] = isPicked ? 1 : 0;
  trail.slack[trail.length] = slack;
  trail.length += 1;
}

/** What a part adds to the bound. */
function worthOf(slack: number, uses: number): number {
  if (slack === Infinity) return uses > 0 ? Infinity : 0;
  return uses > 0 ? slack : Math.min(0, slack);
}

/** The slack of a counted part with one more link decided. */
function decided({ places, marks, trail }: PartLedger, state: CountedState, link: number, slack: number): number {
  const { part, task, shared } = state;
  const at = places[link]!;
  trail.counted.push({ state, at, linkState: task.state[at]!, chosen: state.chosen });
  task.state[at] = marks[link] === 1 ? 2 : 0;
  if (state.chosen[at] === marks[link]) return slack;
  const { value, chosen } = answerOf(part, task);
  state.chosen = chosen;
  return shared + value;
}
