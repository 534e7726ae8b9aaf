import { columnNames, placeAxis, scaledAxis } from "./axes.ts";
import type { ChartOption, Heading, Series } from "./chart-option.ts";
import { framed, nothingToShow, room } from "./frame.ts";
import { labelledPoints, type Place, strokes } from "./marks.ts";
import { BLUE, CROSS, SOFT_INK, VERMILLION } from "./palette.ts";
import { counted, numberText, shortened } from "./plain-text.ts";
import { rangeOf, widened } from "./ticks.ts";

/** Least cost for each number of distinct parts. */
export interface FrontierData extends Heading {
  /** With its unit: `cost [EUR]`. */
  readonly cost: string;
  /** What is counted: `distinct motors`. */
  readonly counted: string;
  /** In ascending order of count. */
  readonly points: readonly FrontierPoint[];
}

interface FrontierPoint {
  readonly count: number;
  /** null: no order has so few. */
  readonly cost: number | null;
  /** Where the search was stopped: no order is cheaper than this. */
  readonly bound?: number;
  /** What changes from the point before: `M60 instead of M80 on the lift`. */
  readonly change?: string;
}

/** Room above and below the points, as a share of their range: labels stand above, crosses below. */
const MARGIN = 0.18;

interface Solved extends FrontierPoint {
  readonly cost: number;
}

/** Cost as a falling staircase over the count; counts without an order are crossed out. */
export function frontierStepsOption(data: FrontierData): ChartOption {
  const { points } = data;
  if (points.length === 0) return nothingToShow(data);
  const solved = points.flatMap(({ cost, ...rest }) => (cost === null ? [] : [{ ...rest, cost }]));
  const { min, max } = costScale(solved);
  const place = new Map(points.map(({ count }, index) => [count, index]));
  const at = (count: number): number => place.get(count) ?? 0;
  const names = points.map(({ count }) => String(count));
  return framed(data, summaryOf(data, solved.length), {
    grid: room(0, 60),
    xAxis: [columnNames(names, data.counted), placeAxis(points.length)],
    yAxis: scaledAxis(data.cost, { min, max }),
    series: seriesOf(points, solved, { at, min, max }),
  });
}

interface Places {
  /** Where a count lies on the axis. */
  readonly at: (count: number) => number;
  readonly min: number;
  readonly max: number;
}

function seriesOf(points: readonly FrontierPoint[], solved: readonly Solved[], { at, min, max }: Places): Series[] {
  // A step wide, at most; four lines of letters some 7 px wide.
  const lineWidth = Math.max(70, Math.min(130, 540 / points.length - 10));
  const letters = Math.floor((4 * lineWidth) / 7);
  return [
    staircase(solved.map(({ count, cost }) => [at(count), cost])),
    strokes(
      solved.flatMap((point) => gap(point, at(point.count))),
      { color: VERMILLION, xAxis: 1 },
    ),
    labelledPoints(
      solved.map(({ count, cost, change }) => ({
        x: at(count),
        y: cost,
        label: change === undefined ? "" : shortened(change, letters),
      })),
      {
        position: "right",
        lift: "above",
        lineWidth,
        color: BLUE,
        size: 10,
        xAxis: 1,
        crowded: "shift",
      },
    ),
    labelledPoints(
      solved.map(({ count, cost }) => ({ x: at(count), y: cost, label: numberText(cost) })),
      { position: "left", lift: "below", size: 0.01, xAxis: 1, textColor: SOFT_INK },
    ),
    labelledPoints(
      points
        .filter(({ cost }) => cost === null)
        .map(({ count }) => ({ x: at(count), y: min + 0.04 * (max - min), label: "no order" })),
      { position: "top", color: VERMILLION, symbol: CROSS, size: 12, xAxis: 1 },
    ),
  ];
}

function costScale(solved: readonly { readonly cost: number; readonly bound?: number }[]): {
  min: number;
  max: number;
} {
  const range = rangeOf(solved.flatMap(({ cost, bound = cost }) => [cost, bound])) ?? { low: 0, high: 1 };
  return widened(range, [MARGIN, MARGIN]);
}

function staircase(places: readonly Place[]): Series {
  return {
    type: "line",
    xAxisIndex: 1,
    step: "end",
    symbol: "none",
    lineStyle: { color: BLUE, width: 2 },
    data: places.map(([x, y]) => [x, y]),
  };
}

/** From a cost that is not proved down to what is proved. */
function gap({ cost, bound }: { readonly cost: number; readonly bound?: number }, x: number): Place[][] {
  if (bound === undefined || bound >= cost) return [];
  const end: Place[] = [
    [x - 0.06, bound],
    [x + 0.06, bound],
  ];
  const stem: Place[] = [
    [x, bound],
    [x, cost],
  ];
  return [stem, end];
}

function summaryOf({ points, counted: what, cost }: FrontierData, solvedCount: number): string {
  const first = points.find((point) => point.cost !== null);
  const last = points.findLast((point) => point.cost !== null);
  const ends =
    first?.cost == null || last?.cost == null
      ? "no order at any of them"
      : `${numberText(first.cost)} at ${first.count}, ${numberText(last.cost)} at ${last.count}`;
  return `${cost} over ${what}, ${counted(points.length, "count")}, ${solvedCount} with an order: ${ends}.`;
}
