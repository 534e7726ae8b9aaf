import { scaledAxis } from "./axes.ts";
import type { ChartOption, Heading, Series } from "./chart-option.ts";
import { framed, nothingToShow, room } from "./frame.ts";
import { legendBelow } from "./legends.ts";
import { labelledPoints, type Place, strokes } from "./marks.ts";
import { BLUE, CROSS, SOFT_INK, VERMILLION } from "./palette.ts";
import { counted, numberText, plainText, shortened } from "./plain-text.ts";
import { rangeOf, widened } from "./ticks.ts";

/** Least cost for each number of distinct parts. */
export interface FrontierData extends Heading {
  /** With its unit: `cost [EUR]`. */
  readonly cost: string;
  /** What is counted: `distinct motors`. */
  readonly counted: string;
  /** In ascending order of count. */
  readonly points: readonly FrontierPoint[];
  /** What the line of costs is called, and that of the parts of them, where there is one. */
  readonly lines?: { readonly cost: string; readonly part: string };
}

/** The cheapest order within a count. */
export interface FrontierPoint {
  readonly count: number;
  /** null: no order has so few. */
  readonly cost: number | null;
  /** Where the search was stopped: no order is cheaper than this. */
  readonly bound?: number;
  /** The part of the cost that the second line shows: `cost without the charge for variety`. */
  readonly part?: number;
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
  const { points, lines } = data;
  const counts = rangeOf(points.map(({ count }) => count));
  if (counts === undefined) return nothingToShow(data);
  const solved = points.flatMap(({ cost, ...rest }) => (cost === null ? [] : [{ ...rest, cost }]));
  const scale = costScale(solved);
  return framed(data, summaryOf(data, solved.length), {
    grid: room(lines === undefined ? 0 : 30, 60),
    ...(lines === undefined ? {} : { legend: legendBelow([lines.cost, lines.part]) }),
    xAxis: countAxis(data, counts),
    yAxis: scaledAxis(data.cost, scale),
    series: [
      ...seriesOf(data, solved, { ...scale, steps: counts.high - counts.low + 1 }),
      ...(lines === undefined ? [] : partSeries(lines.part, solved)),
    ],
  });
}

/** True to scale, with a tick at every count that is asked for. */
function countAxis({ counted: name, points }: FrontierData, { low, high }: { low: number; high: number }) {
  const axis = scaledAxis(name, { min: low - 0.5, max: high + 0.5 });
  const ticks = { customValues: points.map(({ count }) => count) };
  return {
    ...axis,
    axisLabel: { ...axis.axisLabel, ...ticks, hideOverlap: true },
    axisTick: { ...axis.axisTick, ...ticks },
  };
}

interface Room {
  readonly min: number;
  readonly max: number;
  /** Counts from the lowest to the highest. */
  readonly steps: number;
}

function seriesOf({ points, lines }: FrontierData, solved: readonly Solved[], { min, max, steps }: Room): Series[] {
  // A step wide, at most; four lines of letters some 7 px wide, not all of them full.
  const lineWidth = Math.max(70, Math.min(160, 600 / steps - 10));
  const letters = Math.floor((3.2 * lineWidth) / 7);
  return [
    staircase(
      solved.map(({ count, cost }) => [count, cost]),
      { ...(lines === undefined ? {} : { name: lines.cost }), color: BLUE, width: 2, dash: "solid" },
    ),
    strokes(solved.flatMap(gap), { color: VERMILLION }),
    labelledPoints(
      solved.map(({ count, cost, change }) => ({
        x: count,
        y: cost,
        label: change === undefined ? "" : shortened(change, letters),
      })),
      {
        position: "right",
        lift: "above",
        lineWidth,
        color: BLUE,
        size: 10,
        crowded: "shift",
      },
    ),
    labelledPoints(
      solved.map(({ count, cost }) => ({ x: count, y: cost, label: numberText(cost) })),
      { position: "left", lift: "below", size: 0.01, textColor: SOFT_INK },
    ),
    labelledPoints(
      points
        .filter(({ cost }) => cost === null)
        .map(({ count }) => ({ x: count, y: min + 0.04 * (max - min), label: "no order" })),
      { position: "top", color: VERMILLION, symbol: CROSS, size: 12 },
    ),
  ];
}

function costScale(solved: readonly Solved[]): { min: number; max: number } {
  const range = rangeOf(solved.flatMap(({ cost, bound = cost, part = cost }) => [cost, bound, part])) ?? {
    low: 0,
    high: 1,
  };
  return widened(range, [MARGIN, MARGIN]);
}

interface StairLook {
  readonly name?: string;
  readonly color: string;
  readonly width: number;
  readonly dash: "solid" | number[];
}

function staircase(places: readonly Place[], { name, color, width, dash }: StairLook): Series {
  return {
    type: "line",
    ...(name === undefined ? {} : { name: plainText(name) }),
    step: "end",
    symbol: "none",
    lineStyle: { color, width, type: dash },
    // Without opacity for the sake of the legend, which else shows a point on the line.
    itemStyle: { color, opacity: 0 },
    data: places.map(([x, y]) => [x, y]),
  };
}

/** The second line, thinner, dashed and behind the first, with its figures. */
function partSeries(name: string, solved: readonly Solved[]): Series[] {
  const known = solved.flatMap(({ count, part }) => (part === undefined ? [] : [{ x: count, y: part }]));
  return [
    {
      ...staircase(
        known.map(({ x, y }) => [x, y]),
        { name, color: SOFT_INK, width: 1.5, dash: [6, 4] },
      ),
      z: 1,
    },
    labelledPoints(
      known.map((place) => ({ ...place, label: numberText(place.y) })),
      { position: "left", lift: "below", size: 5, color: SOFT_INK, textColor: SOFT_INK },
    ),
  ];
}

/** From a cost that is not proved down to what is proved. */
function gap({ count: x, cost, bound }: Solved): Place[][] {
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
