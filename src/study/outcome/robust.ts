import { type Robustness, robustnessTable } from "../analysis/robustness.ts";
import type { AxisPick, OrderPick } from "../runs/held.ts";
import type { RunRecord } from "../runs/run.ts";

/** How the picks of a point stand up to the noise, the surest first. */
export interface PointRobustness {
  /** Counted from 1. */
  readonly point: number;
  readonly picks: readonly PickRobustness[];
}

/** A pick as it was found in some of the point's runs, held in all of them. */
export interface PickRobustness extends Robustness {
  /** Runs whose own lowest order it is. */
  readonly lowestIn: number;
  /** Runs of the noise that were stopped before it was known whether it holds; they count as if it did not. */
  readonly open: number;
  readonly axes: readonly AxisPick[];
  readonly others: readonly string[];
}

/** A pick of a point with what became of it in each run of the noise. */
export interface HeldPick {
  readonly point: number;
  readonly pick: OrderPick;
  readonly lowestIn: number;
  readonly records: readonly RunRecord[];
}

/** Robustness of every pick of every point; totals of the order stand for cost. */
export function robustPoints(held: readonly HeldPick[]): readonly PointRobustness[] {
  const points = [...new Set(held.map(({ point }) => point))];
  return points.map((point) => {
    const own = held.filter((one) => one.point === point);
    const rows = robustnessTable(own.map(noiseRuns), "lower");
    const picks = rows.map((row, index) => ({
      ...row,
      lowestIn: own[index]?.lowestIn ?? 0,
      open: own[index]?.records.filter(({ status }) => status === "unknown").length ?? 0,
      axes: own[index]?.pick.axes ?? [],
      others: own[index]?.pick.others ?? [],
    }));
    return { point: point + 1, picks: picks.toSorted((a, b) => b.feasible - a.feasible || meanOf(a) - meanOf(b)) };
  });
}

function noiseRuns(
  { records }: HeldPick,
  index: number,
): { readonly id: string; readonly response: readonly (number | null)[] } {
  return { id: `pick ${index + 1}`, response: records.map(({ result }) => result?.objective?.total ?? null) };
}

function meanOf({ mean }: Robustness): number {
  return typeof mean === "number" ? mean : Number.POSITIVE_INFINITY;
}
