import type { Condition, Envelope, Expression, SelectionModel, SharedRow } from "../model/selection.ts";
import { ROW_TOLERANCE } from "./cost.ts";

/** Σ factors + modules + used + constant ≤ max, or a row of an envelope (then max is 0 and breaking it costs money). */
export interface CoreRow {
  readonly key: string;
  /** By group, local column index; undefined: zero for the whole group. */
  readonly factors: readonly (Float64Array | undefined)[];
  /** By group: least and greatest factor of its columns. */
  readonly least: Float64Array;
  readonly most: Float64Array;
  /** Most by which one group's pick changes what the row comes to. */
  readonly reach: number;
  readonly modules: readonly { readonly part: number; readonly pool: number; readonly factor: number }[];
  readonly used: readonly { readonly part: number; readonly factor: number }[];
  readonly constant: number;
  readonly max: number;
  readonly when: Condition;
  /** The condition once more, each group once, as marks by local column index. */
  readonly marks: readonly { readonly group: number; readonly within: Uint8Array }[];
  /** Index of the envelope; -1 for a shared row. */
  readonly envelope: number;
  /** No answer breaks it: only bounds look at it. */
  readonly isImplied: boolean;
  /** What was last asked of each group. */
  readonly ranges: RangeMemo;
  /** Size of the row: its multiplier's step is measured in money per scale. */
  readonly scale: number;
}

/** Least and greatest factor of the columns left, by group, with the list of columns they belong to. */
interface RangeMemo {
  readonly of: (Int32Array | undefined)[];
  readonly least: Float64Array;
  readonly most: Float64Array;
}

/**
 * Looks at the factors of the columns left in a group, unless they are those of last time: lists of columns are replaced,
 * never written to. Afterwards `ranges` holds their least and greatest. Hot.
 *
 * @param first - first column of the group
 */
export function noteRange({ factors, ranges }: CoreRow, group: number, columns: Int32Array, first: number): void {
  const list = factors[group];
  if (list === undefined || ranges.of[group] === columns) return;
  let least = Infinity;
  let most = -Infinity;
  for (let at = 0; at < columns.length; at += 1) {
    const factor = list[columns[at]! - first]!;
    if (factor < least) least = factor;
    if (factor > most) most = factor;
  }
  ranges.of[group] = columns;
  ranges.least[group] = least;
  ranges.most[group] = most;
}

/** What a row may come to, with room for rounding noise of sums: nothing is cut off that the exact check would accept. */
export function roomOf({ max, constant, scale }: CoreRow): number {
  return max + 4 * ROW_TOLERANCE * Math.max(1, Math.abs(max), Math.abs(constant), scale);
}

/** A row of an envelope as a row of the core. */
export function envelopeCoreRow(
  model: SelectionModel,
  envelope: number,
  id: string,
  row: Envelope["rows"][number],
): CoreRow {
  return coreRow(model, { id: `${id}/${row.id}`, expression: row.expression, max: 0, when: row.when }, envelope);
}

/** A row as a row of the core; the envelope it belongs to, or -1. */
export function coreRow(model: SelectionModel, row: Omit<SharedRow, "origin">, envelope: number): CoreRow {
  const factors = foldedFactors(model, row.expression);
  const [least, most] = extremesOf(factors);
  const modules = row.expression.modules.filter(({ part }) => model.parts[part]!.channels > 1);
  const { constant, used = [] } = row.expression;
  const { max, when, isImplied = false } = row;
  return {
    key: row.id,
    factors,
    least,
    most,
    reach: most.reduce((reach, one, g) => Math.max(reach, one - least[g]!), 0),
    modules,
    used,
    constant,
    max,
    when,
    marks: marksOf(model, when),
    envelope,
    isImplied,
    ranges: {
      of: model.groups.map(() => undefined),
      least: new Float64Array(model.groups.length),
      most: new Float64Array(model.groups.length),
    },
    scale: scaleOf(model, factors, [...modules, ...used]),
  };
}

/** By group: least and greatest factor; 0 where it has none. */
function extremesOf(factors: CoreRow["factors"]): readonly [least: Float64Array, most: Float64Array] {
  const [least, most] = [new Float64Array(factors.length), new Float64Array(factors.length)];
  for (const [g, list] of factors.entries()) {
    if (list === undefined || list.length === 0) continue;
    let [low, high] = [Infinity, -Infinity];
    for (const factor of list) {
      if (factor < low) low = factor;
      if (factor > high) high = factor;
    }
    least[g] = low;
    most[g] = high;
  }
  return [least, most];
}

function marksOf(model: SelectionModel, when: Condition): CoreRow["marks"] {
  return [...new Set(when.map(({ group }) => group))].map((group) => {
    const sets = when.flatMap((one) => (one.group === group ? [one.columns] : []));
    const { columns } = model.groups[group]!;
    return { group, within: Uint8Array.from(columns, (_, k) => (sets.every((set) => set.has(k)) ? 1 : 0)) };
  });
}

/** A quarter of a row's mean spread over the groups it concerns: measured to make the ascent fastest. Supplies are left out. */
function scaleOf(
  model: SelectionModel,
  factors: CoreRow["factors"],
  terms: readonly { readonly factor: number }[],
): number {
  const spreads = factors.flatMap((list, g) =>
    list === undefined || model.groups[g]!.decideFirst ? [] : [spreadOf(list)],
  );
  for (const { factor } of terms) spreads.push(Math.abs(factor));
  const used = spreads.filter((spread) => spread > 0);
  return used.length === 0 ? 1 : (0.25 * used.reduce((sum, spread) => sum + spread, 0)) / used.length;
}

function spreadOf(list: Float64Array | undefined): number {
  if (list === undefined) return 0;
  let most = 0;
  for (const value of list) most = Math.max(most, Math.abs(value));
  return most;
}

/** Module terms of single-channel parts count plain uses: they go into the columns. */
function foldedFactors(model: SelectionModel, { factors, modules }: Expression): (Float64Array | undefined)[] {
  const folded = model.groups.map((_, g) => factors.get(g));
  for (const { part, pool, factor } of modules) {
    if (model.parts[part]!.channels > 1) continue;
    for (const [g, { columns, pools }] of model.groups.entries()) {
      const entries = pools.filter((one) => one === pool).length;
      if (entries === 0) continue;
      const list = Float64Array.from(folded[g] ?? new Float64Array(columns.length));
      columns.forEach(({ parts }, k) => (list[k]! += parts.includes(part) ? factor * entries : 0));
      folded[g] = list;
    }
  }
  return folded;
}
