import { scaledAxis, valueAxis } from "./axes.ts";
import type { ChartOption, Heading, Series } from "./chart-option.ts";
import { framed, nothingToShow, room } from "./frame.ts";
import { LEGEND_WIDTH, legendRight } from "./legends.ts";
import { type Guide, guides, strokes } from "./marks.ts";
import { GREY, INK, lookOf, SOFT_INK } from "./palette.ts";
import { counted, numberText, plainText } from "./plain-text.ts";
import { rangeOf } from "./ticks.ts";

/** How much of each limit is used over the gear ratio. */
export interface RatioData extends Heading {
  readonly curves: readonly RatioCurve[];
  /** Ranges of ratios in which every limit holds. */
  readonly windows: readonly { readonly from: number; readonly to: number }[];
  /** Ratios that can be bought. */
  readonly catalogue: readonly number[];
  readonly inertiaMatched?: number;
  readonly leastHeat?: number;
  readonly logarithmic?: boolean;
  /** Curves that reach this much of their limit inside or next to a window are coloured; 0.7 if absent. */
  readonly near?: number;
}

interface RatioCurve {
  /** The limit: `peak torque`. */
  readonly name: string;
  /** By ascending ratio; utilisation 1 is all that is allowed; null: not known. */
  readonly points: readonly { readonly ratio: number; readonly utilisation: number | null }[];
}

/** Highest utilisation shown: beyond it a curve leaves the picture. */
const TOP = 1.6;
const MOST_COLOURED = 8;

/** Curves of utilisation with the allowed line at 1, the windows shaded and the ratios that can be bought as ticks. */
export function ratioCurvesOption(data: RatioData): ChartOption {
  const range = rangeOf(data.curves.flatMap(({ points }) => points.map(({ ratio }) => ratio)));
  if (range === undefined) return nothingToShow(data);
  const coloured = nearCurves(data, range);
  const others = data.curves.filter((curve) => !coloured.includes(curve));
  const names = coloured.map(({ name }) => plainText(name));
  const scale = { ...spread(range), logarithmic: data.logarithmic === true && range.low > 0 };
  const bought = data.catalogue.filter((ratio) => ratio >= range.low && ratio <= range.high);
  const legend = [
    ...names,
    ...(others.length === 0 ? [] : [OTHERS]),
    ...(data.windows.length === 0 ? [] : [WINDOW]),
    ...(bought.length === 0 ? [] : [{ name: BOUGHT, icon: TICK }]),
  ];
  return framed(data, summaryOf(data, names), {
    grid: { ...room(0, LEGEND_WIDTH), top: 96 },
    legend: legendRight(legend),
    xAxis: scaledAxis("gear ratio", scale),
    yAxis: { ...valueAxis("share of the limit used"), min: 0, max: TOP, interval: 0.2 },
    series: [
      windowShade(data.windows, scale),
      ...others.map((curve) => line(curve, { name: OTHERS, color: GREY, width: 1.2, dash: "solid" })),
      ...coloured.map((curve, k) => line(curve, { name: names[k] ?? "", ...lookOf(k), width: 2.2 })),
      guides("y", [{ at: 1, label: "allowed" }], { color: INK, dash: [1, 0] }),
      strokes(
        bought.map((ratio) => [[ratio, 0] as const, [ratio, 0.06] as const]),
        { color: INK, width: 2, name: BOUGHT },
      ),
      guides("x", marks(data), { color: SOFT_INK }),
    ],
  });
}

const OTHERS = "other limits";
const WINDOW = "every limit holds";
const TICK = "path://M9 0L11 0L11 10L9 10ZM0 0L0 0M20 0L20 0";
const BOUGHT = "ratio in a catalogue";
const SHADE = "#d9efe6";

/** Room at the ends where all curves are at one ratio. */
function spread({ low, high }: { readonly low: number; readonly high: number }): { min: number; max: number } {
  return high > low ? { min: low, max: high } : { min: low * 0.8, max: low * 1.25 };
}

/** Curves that matter: the highest where a ratio may be chosen, of all ratios where there is no window. */
function nearCurves({ curves, windows, near = 0.7 }: RatioData, range: { low: number; high: number }): RatioCurve[] {
  const places = windows.length > 0 ? windows : [{ from: range.low, to: range.high }];
  const height = ({ points }: RatioCurve): number =>
    Math.max(
      0,
      ...points.flatMap(({ ratio, utilisation }, k) => {
        const [before, after] = [points[k - 1]?.ratio ?? ratio, points[k + 1]?.ratio ?? ratio];
        return places.some(({ from, to }) => after >= from && before <= to) ? [utilisation ?? 0] : [];
      }),
    );
  return curves
    .map((curve) => ({ curve, height: height(curve) }))
    .filter((each) => each.height >= near)
    .toSorted((a, b) => b.height - a.height)
    .slice(0, MOST_COLOURED)
    .map(({ curve }) => curve);
}

interface CurveLook {
  readonly name: string;
  readonly color: string;
  readonly width: number;
  readonly dash: "solid" | number[];
}

function line({ points }: RatioCurve, { name, color, width, dash }: CurveLook): Series {
  return {
    type: "line",
    name,
    symbol: "none",
    clip: true,
    lineStyle: { color, width, type: dash },
    // Without opacity for the sake of the legend, which else shows a point on the line.
    itemStyle: { color, opacity: 0 },
    data: points.map(({ ratio, utilisation }) => [ratio, utilisation]),
  };
}

function windowShade(windows: RatioData["windows"], { min, max }: { min: number; max: number }): Series {
  return {
    type: "scatter",
    name: WINDOW,
    symbol: "rect",
    itemStyle: { color: SHADE, opacity: 1 },
    data: [],
    silent: true,
    markArea: {
      silent: true,
      itemStyle: { color: SHADE, opacity: 1 },
      label: { show: false },
      data: windows.map(({ from, to }): [{ coord: number[] }, { coord: number[] }] => [
        { coord: [Math.max(min, from), 0] },
        { coord: [Math.min(max, to), TOP] },
      ]),
    },
  };
}

/** The two ratios often lie close together: their labels point away from each other. */
function marks({ inertiaMatched, leastHeat }: RatioData): Guide[] {
  const [matchedSide, heatSide] =
    (inertiaMatched ?? 0) < (leastHeat ?? 0) ? (["left", "right"] as const) : (["right", "left"] as const);
  const matched =
    inertiaMatched === undefined ? [] : [{ at: inertiaMatched, label: "inertia matched", side: matchedSide }];
  const cool = leastHeat === undefined ? [] : [{ at: leastHeat, label: "least heat", side: heatSide }];
  return [...matched, ...cool];
}

function summaryOf({ curves, windows, catalogue }: RatioData, names: readonly string[]): string {
  const ranges = windows.map(({ from, to }) => `${numberText(from)} to ${numberText(to)}`).join(", ");
  return `${counted(curves.length, "limit")} over the gear ratio; all hold ${ranges === "" ? "nowhere" : `from ${ranges}`}; ${counted(catalogue.length, "ratio")} can be bought. Near their limit: ${names.join(", ") || "none"}.`;
}
