import type { Envelope, ModelPart, SelectionModel, SharedRow } from "../model/selection.ts";
import { type CoreRow, coreRow, envelopeCoreRow } from "./core-row.ts";
import { type CountedPart, countedPart } from "./counted-part.ts";
import { dearnessOf } from "./least-prices.ts";

/**
 * A selection model laid out for fast loops: structures of arrays over columns, and one link for each pair of group
 * and part that the relaxation prices. Rows may be appended while solving; everything else stays as it is.
 */
export interface Core {
  /** The model with the rows added so far. */
  model: SelectionModel;
  readonly groupCount: number;
  readonly columnCount: number;
  readonly partCount: number;
  readonly linkCount: number;
  /** By group, one more at the end: index of its first column. */
  readonly offset: Int32Array;
  readonly groupOf: Int32Array;
  /** Column costs with linear prices folded in. */
  readonly cost: Float64Array;
  /** Links of column j: linkOf[linkStart[j]] … linkOf[linkStart[j + 1] - 1]. */
  readonly linkStart: Int32Array;
  readonly linkOf: Int32Array;
  readonly linkGroup: Int32Array;
  readonly linkPart: Int32Array;
  /** Links by part. */
  readonly partLinks: readonly Int32Array[];
  /** Links by group. */
  readonly groupLinks: readonly Int32Array[];
  readonly fixed: Float64Array;
  /** By link: how dear a use of its part is, beside the mean. */
  readonly dearness: Float64Array;
  /** What breaking a row by its own scale, or a cap by one part, is charged where answers are sought: more than it can save. */
  readonly penalty: number;
  /** By part; undefined for parts charged once at most. */
  readonly counted: readonly (CountedPart | undefined)[];
  /** Caps that can bind; the multiplier of an exact one (no part in two of these) is solved for, not searched. */
  readonly caps: readonly {
    readonly id: string;
    readonly members: Int32Array;
    readonly max: number;
    readonly isExact: boolean;
  }[];
  readonly capsOf: readonly (readonly number[])[];
  /** Shared rows and envelope rows alike. */
  readonly rows: CoreRow[];
  /** By part: rows that count its use, with their factors. */
  readonly usedRows: readonly { readonly row: number; readonly factor: number }[][];
}

/** Lays a model out; parts that cost nothing and count nowhere get no links. */
export function coreOf(model: SelectionModel): Core {
  const { offset, groupOf } = columnLayout(model);
  const caps = model.caps.filter(({ members, max }) => members.length > max);
  const priced = model.parts.map(pricedByUnit);
  const capsOf = model.parts.map((_, part) =>
    caps.flatMap(({ members }, cap) => (members.includes(part) ? [cap] : [])),
  );
  const isLinked = model.parts.map((part, at) => part.fixed > 0 || capsOf[at]!.length > 0 || priced[at] === undefined);
  const links = linkColumns(model, isLinked);
  const cost = foldedCosts(model, priced);
  const fixed = Float64Array.from(model.parts, (part) => part.fixed);
  const counted = model.parts.map((part, at) =>
    priced[at] === undefined ? countedPart(model, part, links.partLinks[at]!, links.linkGroup) : undefined,
  );
  const core: Core = {
    model,
    groupCount: model.groups.length,
    columnCount: groupOf.length,
    partCount: model.parts.length,
    offset,
    groupOf,
    cost,
    ...links,
    fixed,
    dearness: dearnessOf({ ...links, counted, fixed }),
    penalty: 4 * (largest(cost) + largest(fixed) + 1),
    counted,
    caps: exactCaps(caps),
    capsOf,
    rows: [],
    usedRows: model.parts.map(() => []),
  };
  for (const row of model.rows) appendRow(core, coreRow(model, row, -1));
  for (const [e, { id, rows }] of model.envelopes.entries()) {
    for (const row of rows) appendRow(core, envelopeCoreRow(model, e, id, row));
  }
  return core;
}

function largest(list: Float64Array): number {
  return list.reduce((most, one) => Math.max(most, Math.abs(one)), 0);
}

/** Adds a row to the core and its model. */
export function addRow(core: Core, row: SharedRow): void {
  core.model = { ...core.model, rows: [...core.model.rows, row] };
  appendRow(core, coreRow(core.model, row, -1));
}

function appendRow(core: Core, row: CoreRow): void {
  for (const { part, factor } of row.used) core.usedRows[part]!.push({ row: core.rows.length, factor });
  core.rows.push(row);
}

/** Adds a row to an envelope. */
export function addEnvelopeRow(core: Core, envelope: number, row: Envelope["rows"][number]): void {
  const envelopes = core.model.envelopes.map((one, at) =>
    at === envelope ? { ...one, rows: [...one.rows, row] } : one,
  );
  core.model = { ...core.model, envelopes };
  appendRow(core, envelopeCoreRow(core.model, envelope, core.model.envelopes[envelope]!.id, row));
}

function exactCaps(caps: SelectionModel["caps"]): Core["caps"] {
  const taken = new Set<number>();
  return caps.map(({ id, members, max }) => {
    const isExact = members.every((part) => !taken.has(part));
    if (isExact) for (const part of members) taken.add(part);
    return { id, members: Int32Array.from(members), max, isExact };
  });
}

/** Price per unit where it does not depend on the count; undefined where steps or modules make it count. */
function pricedByUnit(part: ModelPart): number | undefined {
  if (part.channels > 1) return undefined;
  const price = part.steps[0]?.price ?? 0;
  return part.steps.every((step) => step.price === price) ? price : undefined;
}

function columnLayout(model: SelectionModel): { offset: Int32Array; groupOf: Int32Array } {
  const offset = new Int32Array(model.groups.length + 1);
  for (const [g, { columns }] of model.groups.entries()) offset[g + 1] = offset[g]! + columns.length;
  const groupOf = new Int32Array(offset[model.groups.length]!);
  for (let g = 0; g < model.groups.length; g += 1) groupOf.fill(g, offset[g], offset[g + 1]);
  return { offset, groupOf };
}

function foldedCosts(model: SelectionModel, priced: readonly (number | undefined)[]): Float64Array {
  return new Float64Array(
    model.groups.flatMap(({ columns, pools }) => {
      const units = pools.reduce((sum, pool) => sum + model.pools[pool]!.quantity, 0);
      return columns.map(({ cost, parts }) => parts.reduce((sum, part) => sum + units * (priced[part] ?? 0), cost));
    }),
  );
}

type Links = Pick<Core, "linkCount" | "linkStart" | "linkOf" | "linkGroup" | "linkPart" | "partLinks" | "groupLinks">;

function linkColumns(model: SelectionModel, isLinked: readonly boolean[]): Links {
  /** By part: its link in the group at hand, -1 for none so far. */
  const known = new Int32Array(model.parts.length);
  const linkGroup: number[] = [];
  const linkPart: number[] = [];
  const linkOf: number[] = [];
  const linkStart = [0];
  const partLinks: number[][] = model.parts.map(() => []);
  const groupLinks: number[][] = model.groups.map(() => []);
  for (const [g, { columns, pools }] of model.groups.entries()) {
    known.fill(-1);
    for (const { parts } of columns) {
      for (const part of parts) {
        if (pools.length === 0 || !isLinked[part]) continue;
        const link = known[part] === -1 ? linkGroup.length : known[part]!;
        if (known[part] === -1) {
          known[part] = link;
          linkGroup.push(g);
          linkPart.push(part);
          partLinks[part]!.push(link);
          groupLinks[g]!.push(link);
        }
        linkOf.push(link);
      }
      linkStart.push(linkOf.length);
    }
  }
  return {
    linkCount: linkGroup.length,
    linkStart: new Int32Array(linkStart),
    linkOf: new Int32Array(linkOf),
    linkGroup: new Int32Array(linkGroup),
    linkPart: new Int32Array(linkPart),
    partLinks: partLinks.map((list) => new Int32Array(list)),
    groupLinks: groupLinks.map((list) => new Int32Array(list)),
  };
}
