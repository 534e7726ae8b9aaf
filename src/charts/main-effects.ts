import type { ChartOption, Heading } from "./chart-option.ts";
import { framed, nameAxis, nothingToShow, valueAxis } from "./frame.ts";
import { BLUE, SOFT_INK } from "./palette.ts";
import { counted, numberText, plainText } from "./plain-text.ts";
import { rangeOf, roundTicks } from "./ticks.ts";

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
  const panels = factors.map((factor, index) => panel(factor, { index, count: factors.length, scale, data }));
  const spread = (factor: FactorMeans): number => {
    const own = rangeOf(factor.levels.map(({ mean }) => mean));
    return own === undefined ? 0 : own.high - own.low;
  };
  const [steepest] = factors.toSorted((a, b) => spread(b) - spread(a));
  const summary = `${data.response} by level of ${counted(factors.length, "factor")}; it changes most with ${plainText(steepest?.name ?? "")}, by ${numberText(steepest === undefined ? 0 : spread(steepest))}.`;
  return framed(data, summary, {
    grid: panels.map(({ grid }) => grid),
    xAxis: panels.map(({ xAxis }) => xAxis),
    yAxis: panels.map(({ yAxis }) => yAxis),
    series: panels.map(({ series }) => series),
  });
}

interface Scale {
  readonly min: number;
  readonly max: number;
  readonly middle: number;
}

/** Ends a little beyond the values; of a single value, a little around it. */
function sharedScale({ low, high }: { low: number; high: number }): Scale {
  const margin = high > low ? 0.06 * (high - low) : Math.abs(high) * 0.05 || 1;
  return { min: low - margin, max: high + margin, middle: (low + high) / 2 };
}

interface Setting {
  readonly index: number;
  readonly count: number;
  readonly scale: Scale;
  readonly data: MainEffectsData;
}

function panel({ name, levels }: FactorMeans, { index, count, scale, data }: Setting) {
  const columns = Math.min(MOST_COLUMNS, count);
  const rows = Math.ceil(count / columns);
  const [column, row] = [index % columns, Math.floor(index / columns)];
  const [left, right, top, bottom] = [10, 97, 17, 98];
  const [width, height] = [(right - left) / columns, (bottom - top) / rows];
  const ticks = { customValues: roundTicks(scale.min, scale.max) };
  const yAxis = valueAxis(column === 0 ? data.response : "");
  const xAxis = nameAxis(
    levels.map((level) => level.name),
    name,
  );
  return {
    grid: {
      left: `${left + column * width + 0.6}%`,
      width: `${width - 1.2}%`,
      top: `${top + row * height}%`,
      height: `${height - (rows > 1 ? 16 : 14)}%`,
      outerBoundsMode: "none" as const,
    },
    xAxis: {
      ...xAxis,
      gridIndex: index,
      nameGap: 26,
      nameTruncate: { maxWidth: (width / 100) * 760, ellipsis: "…" },
      axisLabel: { ...xAxis.axisLabel, width: ((width / 100) * 760) / levels.length },
    },
    yAxis: {
      ...yAxis,
      ...(column === 0 ? {} : { name: "" }),
      gridIndex: index,
      min: scale.min,
      max: scale.max,
      axisLabel: { ...yAxis.axisLabel, ...ticks, show: column === 0 },
      axisTick: { ...yAxis.axisTick, ...ticks, show: column === 0 },
      splitLine: { show: false },
    },
    series: {
      type: "line" as const,
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
    },
  };
}
