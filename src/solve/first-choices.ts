import type { Core } from "./core.ts";
import type { Domain } from "./domain.ts";

/**
 * Columns left in a group to decide first, those together that cost the same and hold the same parts: they differ in
 * rows only (a supply that burns energy in one way or another), so that deciding between them first proves everything
 * below them twice.
 */
export function firstChoices(core: Core, domain: Domain, group: number): readonly (readonly number[])[] {
  const columns = domain.alive[group]!;
  if (columns.length <= 1) return [Array.from(columns)];
  const own = core.model.groups[group]!.columns;
  const classes = new Map<string, number[]>();
  for (const column of columns) {
    const { parts } = own[column - core.offset[group]!]!;
    const key = `${core.cost[column]} ${parts.join(" ")}`;
    const alike = classes.get(key);
    if (alike === undefined) classes.set(key, [column]);
    else alike.push(column);
  }
  return [...classes.values()];
}

/** Groups to decide first that are still to be decided, as far as they are decided first. */
export function undecidedFirst(core: Core, domain: Domain): number {
  return core.model.groups.reduce(
    (sum, { decideFirst }, g) => (decideFirst && firstChoices(core, domain, g).length > 1 ? sum + 1 : sum),
    0,
  );
}
