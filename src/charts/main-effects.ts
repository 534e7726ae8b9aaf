import { nameAxis, valueAxis } from "./axes.ts";
import type { ChartOption, Heading, Series } from "./chart-option.ts";
import { framed, nothingToShow } from "./frame.ts";
import { BLUE, INK, SOFT_INK } from "./palette.ts";
import { counted, numberText, plainText } from "./plain-text.ts";
import { rangeOf, roundTicks, widened } from "./ticks.ts";

/** Mean response at every level of every factor. */
export interface MainEffectsData extends Heading {
  /** The response, with its unit: `mean cost [EUR]`. */
  readonly response: string;
  readonly factors: readonly FactorMeans[];
}

interface FactorMeans {
  readonly name: string;
  /** In the order of the levels. */
  readonly levels: readonly { readonly name: string; readonly mean: number }[];
}

/** Panels side by side. */
const MOST_COLUMNS = 5;

/** Small pictures side by side, one for each factor, all on the same scale: a steep line is a factor that matters. */
export function mainEffectsOption(data: MainEffectsData): ChartOption {
  const factors = data.factors.filter(({ levels }) => levels.length > 0);
  const range = rangeOf(factors.flatMap(({ levels }) => levels.map(({ mean }) => mean)));
  if (range === undefined) return nothingToShow(data);
  const scale = sharedScale(range);
  const panels = factors.map((factor, index) => panel(factor, { index, count: factors.length, scale }));
  const [steepest] = factors.toSorted((a, b) => spreadOf(b) - spreadOf(a));
  const summary = `${data.response} by level of ${counted(factors.length, "factor")}; it changes most with ${plainText(steepest?.name ?? "")}, by ${numberText(steepest === undefined ? 0 : spreadOf(steepest))}.`;
  const chart = framed(data, summary, {
    grid: panels.map(({ grid }) => grid),
    xAxis: panels.map(({ xAxis }) => xAxis),
    yAxis: panels.map(({ yAxis }) => yAxis),
    series: panels.map(({ series }) => series),
  });
  const nameOfAll = {
    fontFamily: "sans-serif",
    fontSize: 13,
    fontWeight: "normal" as const,
    color: INK,
    width: 680,
    overflow: "truncate" as const,
  };
  return {
    ...chart,
    title: [chart.title[0], { text: plainText(data.response), left: 16, top: 62, textStyle: nameOfAll }],
  };
}

interface Scale {
  readonly min: number;
  readonly max: number;
  readonly middle: number;
}

/** Ends a little beyond the values. */
function sharedScale(range: { readonly low: number; readonly high: number }): Scale {
  return { ...widened(range, [0.06, 0.06]), middle: (range.low + range.high) / 2 };
}

interface Setting {
  readonly index: number;
  readonly count: number;
  readonly scale: Scale;
}

function spreadOf({ levels }: FactorMeans): number {
  const range = rangeOf(levels.map(({ mean }) => mean));
  return range === undefined ? 0 : range.high - range.low;
}

function panel(factor: FactorMeans, setting: Setting) {
  const box = boxOf(setting);
  return {
    grid: box.grid,
    xAxis: levelAxis(factor, setting.index, box.width),
    yAxis: meanAxis(setting, box.isFirst),
    series: means(factor, setting),
  };
}

/** Edges of all panels together, in per cent of the picture; below a panel stand its levels and its name. */
const EDGES = { left: 9, right: 97, top: 20, bottom: 98.5 };
const NAMES = 11.5;
const GAP = 1.2;

/** Width at which labels are cut [px]: that of the picture for which the charts are made. */
const PICTURE = 760;

function boxOf({ index, count }: Setting) {
  const columns = Math.min(MOST_COLUMNS, count);
  const [column, row] = [index % columns, Math.floor(index / columns)];
  const width = (EDGES.right - EDGES.left) / columns;
  const height = (EDGES.bottom - EDGES.top) / Math.ceil(count / columns);
  const grid = {
    left: `${EDGES.left + column * width + GAP / 2}%`,
    width: `${width - GAP}%`,
    top: `${EDGES.top + row * height}%`,
    height: `${height - NAMES}%`,
    outerBoundsMode: "none" as const,
  };
  return { grid, width: (width / 100) * PICTURE, isFirst: column === 0 };
}

function levelAxis({ name, levels }: FactorMeans, index: number, width: number) {
  const axis = nameAxis(
    levels.map((level) => level.name),
    name,
  );
  return {
    ...axis,
    gridIndex: index,
    nameGap: 26,
    nameTruncate: { maxWidth: width, ellipsis: "…" },
    axisLabel: { ...axis.axisLabel, width: width / levels.length },
  };
}

/** The same scale for all; its figures stand beside the first panel of a row. */
function meanAxis({ index, count, scale: { min, max } }: Setting, isFirst: boolean) {
  const { name: _, ...axis } = valueAxis("");
  const ticks = { customValues: roundTicks(min, max, count > MOST_COLUMNS ? 4 : 8), show: isFirst };
  return {
    ...axis,
    gridIndex: index,
    min,
    max,
    axisLabel: { ...axis.axisLabel, ...ticks },
    axisTick: { ...axis.axisTick, ...ticks },
    splitLine: { show: false },
  };
}

/** The line of a factor, and a dotted one at the middle of the scale to compare it with. */
function means({ levels }: FactorMeans, { index, scale }: Setting): Series {
  return {
    type: "line",
    xAxisIndex: index,
    yAxisIndex: index,
    symbol: "circle",
    symbolSize: 8,
    lineStyle: { color: BLUE, width: 2 },
    itemStyle: { color: BLUE },
    data: levels.map(({ mean }) => (Number.isFinite(mean) ? mean : null)),
    markLine: {
      silent: true,
      symbol: "none",
      label: { show: false },
      lineStyle: { color: SOFT_INK, type: [2, 3], width: 1 },
      data: [{ yAxis: scale.middle }],
    },
  };
}
