import type { Condition, Expression, Picks, SelectionModel } from "../model/selection.ts";

/** A smaller model and the way back from its picks. */
export interface Restriction {
  readonly model: SelectionModel;
  readonly restore: (picks: Picks) => Picks;
}

/** The model with only the named columns (ascending local indices) of each group; rows that can no longer apply fall away. */
export function restrict(model: SelectionModel, kept: readonly (readonly number[])[]): Restriction {
  const position = kept.map((columns) => new Map(columns.map((column, at) => [column, at])));
  const groups = model.groups.map((group, g) => ({
    ...group,
    columns: kept[g]!.map((column) => group.columns[column]!),
  }));
  const conditionOf = (when: Condition): Condition =>
    when.map(({ group, columns }) => ({
      group,
      columns: new Set([...columns].flatMap((column) => position[group]!.get(column) ?? [])),
    }));
  const expressionOf = (expression: Expression): Expression => ({
    ...expression,
    factors: new Map(
      [...expression.factors].map(([g, list]) => [g, Float64Array.from(kept[g]!, (column) => list[column]!)]),
    ),
  });
  const narrow = <T extends { readonly expression: Expression; readonly when: Condition }>(row: T): T[] => {
    const when = conditionOf(row.when);
    return when.some(({ columns }) => columns.size === 0)
      ? []
      : [{ ...row, expression: expressionOf(row.expression), when }];
  };
  const rows = model.rows.flatMap(narrow);
  const envelopes = model.envelopes.map((envelope) => ({ ...envelope, rows: envelope.rows.flatMap(narrow) }));
  return {
    model: { ...model, groups, rows, envelopes },
    restore: (picks) => picks.map((pick, g) => kept[g]![pick]!),
  };
}
