import type { Factor as AnalysisFactor, Level as AnalysisLevel, Run } from "../analysis/factor.ts";
import { preciseSum } from "../analysis/precise-sum.ts";
import { codedValue, type Factor, type Level } from "../plan/factor.ts";
import type { ResponseValue, StudyRow } from "./rows.ts";

/** The points of a study as the analysis takes them: numbers coded, names as they are. */
export interface CodedRuns {
  readonly factors: readonly AnalysisFactor[];
  readonly runs: readonly Run[];
}

/** A factor with numbers is analysed from −1 to 1, so that log scales and units leave the analysis alone. */
export function codedRuns(
  factors: readonly Factor[],
  rows: readonly StudyRow[],
  points: readonly (readonly number[])[],
): CodedRuns {
  const runs = byPoint(rows).map(([first], point) =>
    factors.map((factor, index) => codedLevel(factor, first?.levels[index], points[point]?.[index] ?? 0)),
  );
  return { factors: factors.map((factor) => analysed(factor)), runs };
}

function codedLevel(factor: Factor, level: Level | undefined, at: number): AnalysisLevel {
  if (level === undefined) return at;
  return isNamed(factor) ? level.label : codedValue(factor, at, level);
}

/** Categories, whose levels have no numbers to be analysed by. */
function isNamed({ scale }: Factor): boolean {
  return scale.kind === "listed" && scale.isCategorical;
}

function analysed(factor: Factor): AnalysisFactor {
  const { id, scale } = factor;
  if (scale.kind === "range") return { id, kind: "continuous", low: -1, high: 1 };
  if (scale.isCategorical) return { id, kind: "categorical", levels: scale.levels.map(({ label }) => label) };
  return { id, kind: "listed", levels: scale.levels.map((level, index) => codedValue(factor, index, level)) };
}

/** The numeric response of each point, the mean over its noise runs; null where any of them gave none. */
export function pointMeans(rows: readonly StudyRow[], response: number): readonly (number | null)[] {
  return byPoint(rows).map((of) => {
    const values = of.map((row) => row.responses[response] ?? null).filter((value) => typeof value === "number");
    return values.length === of.length ? preciseSum(values) / values.length : null;
  });
}

/** Rows by the point they belong to, in the order of the points. */
function byPoint(rows: readonly StudyRow[]): readonly (readonly StudyRow[])[] {
  const points: StudyRow[][] = [];
  for (const row of rows) (points[row.point] ??= []).push(row);
  return points;
}

/** A response is a choice where any run gives a name. */
export function isChoice(values: readonly ResponseValue[]): boolean {
  return values.some((value) => typeof value === "string");
}
