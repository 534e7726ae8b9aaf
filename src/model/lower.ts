import type { LinearModel, LinearRow, LinearVariable } from "./linear.ts";
import { lowerParts, type PartVariables } from "./lower-parts.ts";
import { lowerEnvelopes, lowerRows } from "./lower-rows.ts";
import type { Picks, SelectionModel } from "./selection.ts";

/** A linear model under construction; variables and rows only ever grow. */
export interface Draft {
  readonly variables: LinearVariable[];
  readonly rows: LinearRow[];
  /** Variable index of the first column of every group. */
  readonly offsets: readonly number[];
}

/** A lowered model and where its parts are found in it. */
export interface Lowered {
  readonly linear: LinearModel;
  readonly parts: readonly PartVariables[];
}

/**
 * The plain linear model of a selection, for engines: a 0/1 variable for each column, part use in strong form,
 * price steps, modules, caps, shared rows and envelopes.
 *
 * @remarks Names are a letter and indices, so that no engine's reserved word can meet them.
 */
export function lower(model: SelectionModel): LinearModel {
  return lowerWith(model, () => false).linear;
}

/**
 * As `lower`, with a use variable also for the parts that `isCounted` names, which the cost alone would not need.
 */
export function lowerWith(model: SelectionModel, isCounted: (part: number) => boolean): Lowered {
  const draft: Draft = { variables: [], rows: [], offsets: offsetsOf(model) };
  lowerColumns(model, draft);
  const parts = lowerParts(model, draft, isCounted);
  lowerCaps(model, draft, parts);
  lowerRows(model, draft, parts);
  lowerEnvelopes(model, draft, parts);
  return { linear: { variables: draft.variables, rows: draft.rows }, parts };
}

/** The picks an engine's values stand for; undefined where a group has not picked exactly one column. */
export function picksOf(model: SelectionModel, values: readonly number[]): Picks | undefined {
  const picks: number[] = [];
  let offset = 0;
  for (const { columns } of model.groups) {
    const picked = columns.flatMap((_, column) => ((values[offset + column] ?? 0) > 0.5 ? [column] : []));
    if (picked.length !== 1) return undefined;
    picks.push(picked[0]!);
    offset += columns.length;
  }
  return picks;
}

function offsetsOf(model: SelectionModel): number[] {
  let next = 0;
  return model.groups.map(({ columns }) => {
    const offset = next;
    next += columns.length;
    return offset;
  });
}

function lowerColumns(model: SelectionModel, draft: Draft): void {
  for (const [g, { columns, origin }] of model.groups.entries()) {
    for (const [k, { cost }] of columns.entries()) {
      draft.variables.push({ name: `x${g}_${k}`, origin, cost, lower: 0, upper: 1, isInteger: true });
    }
    const variables = columns.map((_, k) => draft.offsets[g]! + k);
    draft.rows.push({ name: `pick${g}`, origin, variables, factors: variables.map(() => 1), lower: 1, upper: 1 });
  }
}

function lowerCaps(model: SelectionModel, draft: Draft, parts: readonly PartVariables[]): void {
  for (const [index, { members, max, origin }] of model.caps.entries()) {
    const variables = members.flatMap((part) => parts[part]!.use ?? []);
    if (variables.length <= max) continue;
    const factors = variables.map(() => 1);
    draft.rows.push({ name: `cap${index}`, origin, variables, factors, lower: -Infinity, upper: max });
  }
}
