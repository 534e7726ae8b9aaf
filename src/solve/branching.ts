import type { Ascent } from "./ascent.ts";
import type { Relaxation } from "./bound.ts";
import type { Core } from "./core.ts";
import { copyDomain, type Domain, hasLink, keepColumns } from "./domain.ts";
import { columnBound } from "./fixing.ts";
import type { Decision } from "./outcome.ts";

/** Share of use below which (or above one minus which) the relaxation has made up its mind. */
const DECIDED = 0.03;

/** Decisions that split a domain, the most promising first. */
export function splitOf(core: Core, domain: Domain, ascent: Ascent, relaxation: Relaxation): readonly Decision[] {
  return (
    splitFirst(core, domain, relaxation) ??
    splitPart(core, domain, ascent) ??
    splitLink(core, domain, ascent) ??
    splitColumns(core, domain, relaxation)
  );
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
  const link = core.groupLinks[decision.group]!.find((one) => core.linkPart[one] === decision.part)!;
  keepColumns(domain, decision.group, (column) => hasLink(core, column, link) === decision.isUsed);
  return domain;
}

/** Groups to decide first: the one with most columns left, column by column in order of their bounds. */
function splitFirst(core: Core, domain: Domain, relaxation: Relaxation): Decision[] | undefined {
  let group = -1;
  for (const [g, { decideFirst }] of core.model.groups.entries()) {
    const left = domain.alive[g]!.length;
    if (decideFirst && left > 1 && (group === -1 || left > domain.alive[group]!.length)) group = g;
  }
  if (group === -1) return undefined;
  const first = core.offset[group]!;
  const bounds = new Map(Array.from(domain.alive[group]!, (one) => [one, columnBound(core, domain, relaxation, one)]));
  return Array.from(domain.alive[group]!)
    .toSorted((a, b) => bounds.get(a)! - bounds.get(b)! || a - b)
    .map((column) => ({ kind: "column", group, columns: [column - first] }));
}

/** The part the relaxation is least sure about, weighed by what it costs. */
function splitPart(core: Core, domain: Domain, { partShare }: Ascent): Decision[] | undefined {
  let part = -1;
  let most = 0;
  for (let one = 0; one < core.partCount; one += 1) {
    if (domain.use[one] !== -1) continue;
    const doubt = doubtOf(partShare[one]!);
    const weight = doubt * (core.fixed[one]! + (core.capsOf[one]!.length > 0 ? 1 : 0)) * usersLeft(core, domain, one);
    if (doubt > DECIDED && weight > most) {
      most = weight;
      part = one;
    }
  }
  if (part === -1) return undefined;
  const isUsed = partShare[part]! >= 0.5;
  return [
    { kind: "part", part, isUsed },
    { kind: "part", part, isUsed: !isUsed },
  ];
}

function doubtOf(share: number): number {
  return Math.min(share, 1 - share);
}

function usersLeft(core: Core, domain: Domain, part: number): number {
  let users = 0;
  for (const link of core.partLinks[part]!) users += domain.linkCount[link]! > 0 ? 1 : 0;
  return users;
}

/** The link the relaxation is least sure about, provided it splits the group's columns. */
function splitLink(core: Core, domain: Domain, { linkShare }: Ascent): Decision[] | undefined {
  let link = -1;
  for (let one = 0; one < core.linkCount; one += 1) {
    const left = domain.linkCount[one]!;
    const isSplit = left > 0 && left < domain.alive[core.linkGroup[one]!]!.length;
    if (!isSplit || doubtOf(linkShare[one]!) <= DECIDED) continue;
    if (link === -1 || doubtOf(linkShare[one]!) > doubtOf(linkShare[link]!)) link = one;
  }
  if (link === -1) return undefined;
  const [group, part] = [core.linkGroup[link]!, core.linkPart[link]!];
  const isUsed = linkShare[link]! >= 0.5;
  return [
    { kind: "link", group, part, isUsed },
    { kind: "link", group, part, isUsed: !isUsed },
  ];
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
