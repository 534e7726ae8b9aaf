import type { SelectionModel } from "../model/selection.ts";
import { activeRows, newRelaxation, relax } from "./bound.ts";
import { type Core, coreOf } from "./core.ts";
import { countLinks, type Domain, fullDomain } from "./domain.ts";
import { type Multipliers, weightsFrom } from "./multipliers.ts";

/** What multipliers say of single parts and groups: enough to price columns that the model does not hold. */
export interface Prices {
  /** Lower bound of the model at these multipliers. */
  readonly bound: number;
  /** The same where groups may get columns without a part that all of theirs have: no part is paid for in any case. */
  readonly openBound: number;
  /** Least reduced cost by group. */
  readonly least: ArrayLike<number>;
  /** Multiplier of a part in a group; 0 where the model does not price it. */
  readonly link: (group: number, part: number) => number;
  /** What it costs more, at least, to use a part the relaxation does not pay for; 0 where it does. */
  readonly slack: (part: number) => number;
  /** Multiplier of a row by id; 0 where the model does not hold it. */
  readonly row: (id: string) => number;
}

/**
 * Prices at given multipliers of a model. Any multipliers of the solver's own making give a valid bound.
 *
 * The model may hold few columns of each group, as long as every part number of the others is in one of them: nothing is
 * inferred from its columns that the others could do without.
 */
export function pricesOf(model: SelectionModel, multipliers: Multipliers): Prices {
  const core = coreOf(model);
  const weights = weightsFrom(core, multipliers);
  const domain = openDomain(core, model);
  const relaxation = newRelaxation(core);
  relaxation.isActive = activeRows(core, domain);
  const bound = relax(core, domain, weights, relaxation);
  const open = { ...newRelaxation(core), isActive: relaxation.isActive };
  const openBound = relax(core, unforced(core, domain), weights.slice(), open);
  const links = new Map<number, number>();
  for (let link = 0; link < core.linkCount; link++) {
    links.set((core.linkGroup[link] ?? 0) * core.partCount + (core.linkPart[link] ?? 0), weights[link] ?? 0);
  }
  const rows = new Map<string, number>();
  const first = core.linkCount + core.caps.length;
  for (const [index, { key, scale }] of core.rows.entries()) {
    if (relaxation.isActive[index] === 1) rows.set(key, (weights[first + index] ?? 0) / scale);
  }
  return {
    bound,
    openBound,
    least: relaxation.least,
    link: (group, part) => links.get(group * core.partCount + part) ?? 0,
    slack: (part) => (domain.use[part] === -1 ? Math.max(0, relaxation.slack[part] ?? 0) : 0),
    row: (id) => rows.get(id) ?? 0,
  };
}

/** No part that must be used: neither at all, nor by a group whose columns all have it. */
function unforced(core: Core, domain: Domain): Domain {
  const { alive, use, linkCount } = domain;
  const isForced = (count: number, link: number): boolean => count === alive[core.linkGroup[link] ?? 0]?.length;
  return {
    ...domain,
    use: use.map((decided) => (decided === 1 ? -1 : decided)),
    linkCount: linkCount.map((count, link) => (isForced(count, link) ? count + 1 : count)),
  };
}

/** Every column left; paid for: parts that all columns of a group have, but not makers, whose parts columns can swap. */
function openDomain(core: Core, { parts }: SelectionModel): Domain {
  const domain = fullDomain(core);
  countLinks(core, domain);
  for (const [part, { origin }] of parts.entries()) if (origin.kind === "maker") domain.use[part] = -1;
  return domain;
}
