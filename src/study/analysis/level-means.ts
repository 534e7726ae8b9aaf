import type { Level, Run } from "./factor.ts";
import { preciseSum } from "./precise-sum.ts";
import type { Figure } from "./remark.ts";

/** Runs of a level, and the mean of those that gave a value. */
export interface LevelMean {
  readonly level: Level;
  readonly runs: number;
  readonly lost: number;
  readonly mean: Figure;
}

/** Means of two factors' levels together. */
export interface InteractionTable {
  readonly rows: readonly Level[];
  readonly columns: readonly Level[];
  readonly cells: readonly (readonly Omit<LevelMean, "level">[])[];
}

/** Runs with their responses; null: the run gave no value. */
export interface Responded {
  readonly runs: readonly Run[];
  readonly response: readonly (number | null)[];
}

/** Mean response at each level of the factor at a place, levels rising. Plain means: in unbalanced runs other factors show through. */
export function levelMeans({ runs, response }: Responded, place: number): LevelMean[] {
  return levelsAt(runs, place).map((level) => ({
    level,
    ...meanWhere({ runs, response }, (run) => run[place] === level),
  }));
}

/** Mean response at each pair of levels of the factors at two places. */
export function interactionTable({ runs, response }: Responded, row: number, column: number): InteractionTable {
  const [rows, columns] = [levelsAt(runs, row), levelsAt(runs, column)];
  return {
    rows,
    columns,
    cells: rows.map((a) =>
      columns.map((b) => meanWhere({ runs, response }, (run) => run[row] === a && run[column] === b)),
    ),
  };
}

/** Levels that occur: numbers rising, then texts in the order of the runs. */
export function levelsAt(runs: readonly Run[], place: number): Level[] {
  const levels = [...new Set(runs.flatMap((run) => run[place] ?? []))];
  const numbers = levels.filter((level) => typeof level === "number").toSorted((a, b) => a - b);
  return [...numbers, ...levels.filter((level) => typeof level === "string")];
}

function meanWhere({ runs, response }: Responded, holds: (run: Run) => boolean): Omit<LevelMean, "level"> {
  const here = response.filter((_, k) => holds(runs[k] ?? []));
  const values = here.filter((value) => value !== null);
  return {
    runs: here.length,
    lost: here.length - values.length,
    mean: values.length > 0 ? preciseSum(values) / values.length : { absent: "no-runs" },
  };
}
