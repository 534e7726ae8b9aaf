import { type Ascent, ascend } from "./ascent.ts";
import type { Relaxation } from "./bound.ts";
import type { Core } from "./core.ts";
import { type Court, limitOf } from "./court.ts";
import { copyDomain, type Domain, hasLink, keepColumns } from "./domain.ts";
import { firstChoices } from "./first-choices.ts";
import { columnBound } from "./fixing.ts";
import type { Decision } from "./outcome.ts";
import { isOut } from "./raise.ts";
import { unitPairs } from "./unit-pairs.ts";

/** Share of use below which (or above one minus which) the relaxation has made up its mind. */
const DECIDED = 0.03;

/** Parts and links tried on both sides before one is chosen, and the length of each try. */
const PART_TRIALS = 3;
const LINK_TRIALS = 3;
const UNIT_TRIALS = 3;
const TRIAL_ITERATIONS = 12;

/** How a domain is to be split. */
export interface Split {
  /** The most promising first. */
  readonly decisions: readonly Decision[];
  /** Pairs whose second side the bound shuts out: where there are some, they are all to be taken before anything else. */
  readonly settled: readonly Pair[];
  /** They are choices of a group to decide first, to be looked at side by side. */
  readonly areChoices: boolean;
}

/**
 * Decisions that split a domain. As long as no answer is known, groups to decide first come before anything else: what
 * depends on them can hardly be met before. So does the only one of them that is undecided: nothing raises the bound as
 * much. Where there are several, each later is a pair like others, its best choice against the rest: choices of nearly the
 * same cost would otherwise have everything below them proved again and again.
 *
 * @param relaxation - at the multipliers of the ascent; written to
 */
export function splitOf(court: Court, domain: Domain, ascent: Ascent, relaxation: Relaxation): Split {
  const { core } = court;
  const choices = choicesLeft(core, domain, relaxation).filter(({ length }) => length > 1);
  if (choices.length === 1 || (choices.length > 1 && limitOf(court) === Infinity))
    return { decisions: longest(choices), settled: [], areChoices: true };
  const pairs = [
    ...unitPairs(core, domain, ascent).slice(0, UNIT_TRIALS),
    ...choicePairs(choices),
    ...partPairs(core, domain, ascent).slice(0, PART_TRIALS),
    ...linkPairs(core, domain, ascent).slice(0, LINK_TRIALS),
  ];
  const { best, settled } = tried({ court, domain, ascent, room: relaxation }, pairs);
  return { decisions: best ?? splitColumns(core, domain, relaxation), settled, areChoices: false };
}

/** Two decisions that exclude each other and leave nothing out. */
type Pair = readonly [Decision, Decision];

/** What decisions are tried on. */
interface Ground {
  readonly court: Court;
  readonly domain: Domain;
  readonly ascent: Ascent;
  /** Written to. */
  readonly room: Relaxation;
}

/** Tries each pair for a few steps: the one whose weaker side raises the bound most wins. */
function tried(
  ground: Ground,
  pairs: readonly Pair[],
): { readonly best: Pair | undefined; readonly settled: readonly Pair[] } {
  const { court, ascent } = ground;
  let best: Pair | undefined;
  let most = -Infinity;
  const settled: Pair[] = [];
  for (const pair of pairs) {
    const [one, other] = [trialOf(ground, pair[0]), trialOf(ground, pair[1])];
    const sorted: Pair = one <= other ? pair : [pair[1], pair[0]];
    // With both sides out, the pair closes everything at once.
    if (isOut(Math.min(one, other), court)) return { best: sorted, settled: [] };
    if (isOut(Math.max(one, other), court)) settled.push(sorted);
    const [a, b] = [gainOf(court, ascent, one), gainOf(court, ascent, other)];
    const score = Math.min(a, b) + 0.1 * Math.min(Math.max(a, b), 10 * Math.min(a, b) + 1);
    if (score > most) {
      most = score;
      best = sorted;
    }
  }
  return { best, settled };
}

/** The bound a few steps after a decision. */
function trialOf({ court, domain, ascent, room }: Ground, decision: Decision): number {
  const limit = limitOf(court);
  return ascend(court.core, decide(court.core, domain, decision), ascent.weights, {
    room,
    iterations: TRIAL_ITERATIONS,
    limit: () => limit,
    keepLimit: () => Infinity,
    isStopped: () => false,
  }).bound;
}

/** How much a trial raised the bound; at most the way to the limit. */
function gainOf(court: Court, { bound }: Ascent, raised: number): number {
  return Math.min(raised, limitOf(court), bound + Math.max(1, Math.abs(bound))) - bound;
}

/** The domain after a decision; the one before is left alone. */
export function decide(core: Core, before: Domain, decision: Decision): Domain {
  const domain = copyDomain(before);
  if (decision.kind === "column") {
    const wanted = new Set(decision.columns);
    const first = core.offset[decision.group]!;
    keepColumns(domain, decision.group, (column) => wanted.has(column - first));
    return domain;
  }
  if (decision.kind === "part") {
    domain.use[decision.part] = decision.isUsed ? 1 : 0;
    return domain;
  }
  if (decision.kind === "units") {
    const { part, units, isUsed } = decision;
    limitUnits(domain, part, { border: Math.ceil(units / (core.counted[part]?.unit ?? 1)), isUsed });
    return domain;
  }
  const link = core.groupLinks[decision.group]!.find((one) => core.linkPart[one] === decision.part)!;
  keepColumns(domain, decision.group, (column) => hasLink(core, column, link) === decision.isUsed);
  return domain;
}

function limitUnits(
  { leastUnits, mostUnits, use }: Domain,
  part: number,
  { border, isUsed }: { border: number; isUsed: boolean },
): void {
  if (isUsed) {
    leastUnits[part] = Math.max(leastUnits[part]!, border);
    use[part] = 1;
  } else mostUnits[part] = Math.min(mostUnits[part]!, border - 1);
}

/** The longest list. */
function longest(choices: readonly Choice[][]): Choice[] {
  return choices.reduce((most, own) => (own.length > most.length ? own : most));
}

/** Groups to decide first: the best choice against the rest. */
function choicePairs(choices: readonly Choice[][]): Pair[] {
  return choices.flatMap(([best, ...rest]): Pair[] => {
    if (best === undefined) return [];
    const columns = rest.flatMap((choice) => choice.columns).toSorted((a, b) => a - b);
    return [[best, { kind: "column", group: best.group, columns }]];
  });
}

type Choice = Extract<Decision, { kind: "column" }>;

/** The choices left of each group to decide first, in order of their bounds. */
function choicesLeft(core: Core, domain: Domain, relaxation: Relaxation): Choice[][] {
  const boundOf = (columns: readonly number[]): number =>
    columns.reduce((least, column) => Math.min(least, columnBound(core, domain, relaxation, column)), Infinity);
  return core.model.groups.flatMap(({ decideFirst }, group) => {
    if (!decideFirst) return [];
    const first = core.offset[group]!;
    const choices = firstChoices(core, domain, group)
      .map((columns) => ({ columns, bound: boundOf(columns) }))
      .toSorted((a, b) => a.bound - b.bound || a.columns[0]! - b.columns[0]!);
    return [
      choices.map(({ columns }): Choice => ({ kind: "column", group, columns: columns.map((one) => one - first) })),
    ];
  });
}

/** Undecided parts, the ones first that the relaxation is least sure about, weighed by what they cost. */
function partPairs(core: Core, domain: Domain, { partShare }: Ascent): Pair[] {
  const scored: { part: number; score: number }[] = [];
  for (let part = 0; part < core.partCount; part += 1) {
    if (domain.use[part] !== -1) continue;
    const doubt = doubtOf(partShare[part]!);
    const weight = core.fixed[part]! + (core.capsOf[part]!.length > 0 ? 1 : 0);
    const score = doubt * weight * usersLeft(core, domain, part);
    if (doubt > DECIDED && score > 0) scored.push({ part, score });
  }
  return scored
    .toSorted((a, b) => b.score - a.score || a.part - b.part)
    .map(({ part }) => [
      { kind: "part", part, isUsed: true },
      { kind: "part", part, isUsed: false },
    ]);
}

function doubtOf(share: number): number {
  return Math.min(share, 1 - share);
}

function usersLeft(core: Core, domain: Domain, part: number): number {
  let users = 0;
  for (const link of core.partLinks[part]!) users += domain.linkCount[link]! > 0 ? 1 : 0;
  return users;
}

/** Links that split their group's columns, the ones first that the relaxation is least sure about. */
function linkPairs(core: Core, domain: Domain, { linkShare }: Ascent): Pair[] {
  const links: number[] = [];
  for (let link = 0; link < core.linkCount; link += 1) {
    const left = domain.linkCount[link]!;
    const isSplit = left > 0 && left < domain.alive[core.linkGroup[link]!]!.length;
    if (isSplit && doubtOf(linkShare[link]!) > DECIDED) links.push(link);
  }
  return links
    .toSorted((a, b) => doubtOf(linkShare[b]!) - doubtOf(linkShare[a]!) || a - b)
    .map((link) => {
      const [group, part] = [core.linkGroup[link]!, core.linkPart[link]!];
      return [
        { kind: "link", group, part, isUsed: true },
        { kind: "link", group, part, isUsed: false },
      ];
    });
}

/** The largest group in two halves by bound. */
function splitColumns(core: Core, domain: Domain, relaxation: Relaxation): Decision[] {
  let group = 0;
  for (let g = 1; g < core.groupCount; g += 1) if (domain.alive[g]!.length > domain.alive[group]!.length) group = g;
  const first = core.offset[group]!;
  const bounds = new Map(Array.from(domain.alive[group]!, (one) => [one, columnBound(core, domain, relaxation, one)]));
  const columns = Array.from(domain.alive[group]!).toSorted((a, b) => bounds.get(a)! - bounds.get(b)! || a - b);
  const half = Math.max(1, Math.min(columns.length >> 1, 8));
  return [columns.slice(0, half), columns.slice(half)].map((part) => ({
    kind: "column",
    group,
    columns: part.map((column) => column - first).toSorted((a, b) => a - b),
  }));
}
