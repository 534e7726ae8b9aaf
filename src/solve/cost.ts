import type { Condition, Expression, ModelPart, Picks, SelectionModel, SharedRow } from "../model/selection.ts";

/** How often each part is used in each pool under the picks, at `part · pools + pool`. */
export type Uses = Float64Array;

/** Counts uses: every entry of a group's pools counts one use of each part of its column. Hot. */
export function usesOf({ groups, parts, pools }: SelectionModel, picks: Picks): Uses {
  const uses = new Float64Array(parts.length * pools.length);
  for (let index = 0; index < groups.length; index += 1) {
    const group = groups[index]!;
    for (const part of group.columns[picks[index]!]!.parts) {
      for (const pool of group.pools) uses[part * pools.length + pool]! += 1;
    }
  }
  return uses;
}

/** modules = ceil(uses / channels) [1] */
function modulesFor(part: ModelPart, uses: number): number {
  return Math.ceil(uses / part.channels);
}

/** Units bought of a part (by index), Σ quantity · modules over the pools. Hot. [1] */
function unitsOf({ parts, pools }: SelectionModel, part: number, uses: Uses): number {
  let sum = 0;
  for (let pool = 0; pool < pools.length; pool += 1) {
    const count = uses[part * pools.length + pool]!;
    if (count > 0) sum += pools[pool]!.quantity * modulesFor(parts[part]!, count);
  }
  return sum;
}

/** charge = fixed · [units > 0] + units · price of the highest step ≤ units; a dearer step is used as is. Hot. */
export function chargeOf(part: ModelPart, units: number): number {
  if (units === 0) return 0;
  let price = 0;
  for (const step of part.steps) if (step.from <= units) price = step.price;
  return part.fixed + units * price;
}

/** true where every named group has picked one of the named columns. */
function conditionHolds(when: Condition, picks: Picks): boolean {
  return when.every(({ group, columns }) => columns.has(picks[group]!));
}

/** Value of an expression at the picks, summed group by group in order. */
export function expressionAt(model: SelectionModel, expression: Expression, picks: Picks, uses: Uses): number {
  let sum = expression.constant;
  for (let group = 0; group < picks.length; group += 1) {
    sum += expression.factors.get(group)?.[picks[group]!] ?? 0;
  }
  for (const { part, pool, factor } of expression.modules) {
    sum += factor * modulesFor(model.parts[part]!, uses[part * model.pools.length + pool]!);
  }
  for (const { part, factor } of expression.used ?? []) sum += isUsed(model, part, uses) ? factor : 0;
  return sum;
}

/** Cost of the picks in the model: columns, charges and envelopes, recomputed from nothing but the model. */
export function costOf(model: SelectionModel, picks: Picks, uses: Uses = usesOf(model, picks)): number {
  let sum = 0;
  for (const [index, group] of model.groups.entries()) sum += group.columns[picks[index]!]!.cost;
  for (let part = 0; part < model.parts.length; part += 1) {
    sum += chargeOf(model.parts[part]!, unitsOf(model, part, uses));
  }
  for (const envelope of model.envelopes) {
    let term = 0;
    for (const { expression, when } of envelope.rows) {
      if (conditionHolds(when, picks)) term = Math.max(term, expressionAt(model, expression, picks, uses));
    }
    sum += envelope.cost * term;
  }
  return sum;
}

/** Excess over `max` that counts as rounding noise of the sum, relative to the size of the row. */
export const ROW_TOLERANCE = 1e-9;

/** Whether the value breaks `value ≤ max` by more than rounding noise. */
function isOver(value: number, max: number): boolean {
  return value > max + ROW_TOLERANCE * Math.max(1, Math.abs(max), Math.abs(value));
}

/** What the picks violate: ids of shared rows and caps. */
export function violatedRows(model: SelectionModel, picks: Picks, uses: Uses = usesOf(model, picks)): string[] {
  const rows = model.rows.filter((row) => isViolated(model, row, picks, uses));
  const caps = model.caps.filter(({ members, max }) => usedAmong(model, members, uses) > max);
  return [...rows, ...caps].map(({ id }) => id);
}

/** Whether the picks violate nothing. Hot: caps are looked at first, they are quick. */
export function isFeasible(model: SelectionModel, picks: Picks, uses: Uses = usesOf(model, picks)): boolean {
  return (
    model.caps.every(({ members, max }) => usedAmong(model, members, uses) <= max) &&
    !model.rows.some((row) => isViolated(model, row, picks, uses))
  );
}

/** Whether the picks violate a row. */
export function isViolated(
  model: SelectionModel,
  row: SharedRow,
  picks: Picks,
  uses: Uses = usesOf(model, picks),
): boolean {
  return conditionHolds(row.when, picks) && isOver(expressionAt(model, row.expression, picks, uses), row.max);
}

function usedAmong(model: SelectionModel, members: readonly number[], uses: Uses): number {
  return members.filter((part) => isUsed(model, part, uses)).length;
}

function isUsed({ pools }: SelectionModel, part: number, uses: Uses): boolean {
  return pools.some((_, pool) => uses[part * pools.length + pool]! > 0);
}

/** Number of distinct part numbers used: the first key of the tie rule. */
export function partCountOf(model: SelectionModel, picks: Picks): number {
  const used = new Set<number>();
  for (const [index, group] of model.groups.entries()) {
    for (const part of group.columns[picks[index]!]!.parts) {
      if (model.parts[part]!.isPartNumber && group.pools.length > 0) used.add(part);
    }
  }
  return used.size;
}
