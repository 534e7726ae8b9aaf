import { type Association, associationOf, type PickShare, pickShares } from "../analysis/choice.ts";
import { type FlipMap, flipMap, type PickGrid } from "../analysis/flip-map.ts";
import { levelsAt } from "../analysis/level-means.ts";
import type { CodedRuns } from "./coded-runs.ts";

/** What the runs say of a choice, such as the motor of an axis. */
export interface ChoiceAnalysis {
  readonly shares: readonly PickShare[];
  /** How the choice hangs on each factor. */
  readonly associations: readonly (Association & { readonly factor: string })[];
  /** Where the design is a grid of two factors; null otherwise. */
  readonly map: (PickGrid & FlipMap & { readonly row: string; readonly column: string }) | null;
}

/** Everything the runs say of a choice; null: the run has no answer. */
export function choiceAnalysis({ factors, runs }: CodedRuns, picks: readonly (string | null)[]): ChoiceAnalysis {
  return {
    shares: pickShares(picks),
    associations: factors.map(({ id }, place) => ({ factor: id, ...associationOf({ runs, picks }, place) })),
    map: mapOf({ factors, runs }, picks),
  };
}

/** A grid has two factors that change, and a run at each pair of their levels. */
function mapOf({ factors, runs }: CodedRuns, picks: readonly (string | null)[]): ChoiceAnalysis["map"] {
  const changing = factors.map((_, place) => place).filter((place) => levelsAt(runs, place).length > 1);
  const [column, row, ...others] = changing;
  if (row === undefined || column === undefined || others.length > 0) return null;
  const [rows, columns] = [levelsAt(runs, row), levelsAt(runs, column)];
  const at = rows.map((y) => columns.map((x) => runs.findIndex((run) => run[row] === y && run[column] === x)));
  if (at.flat().some((index) => index < 0)) return null;
  const grid = { rows, columns, picks: at.map((line) => line.map((index) => picks[index] ?? null)) };
  return { ...grid, ...flipMap(grid), row: factors[row]?.id ?? "", column: factors[column]?.id ?? "" };
}
