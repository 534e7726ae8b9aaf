import { columnNames, valueAxis } from "./axes.ts";
import type { ChartOption, Heading } from "./chart-option.ts";
import { framed, nothingToShow, room } from "./frame.ts";
import { LEGEND_WIDTH, legendRight } from "./legends.ts";
import { lookOf } from "./palette.ts";
import { plainText } from "./plain-text.ts";

/** Mean response at every pair of levels of two factors. */
export interface InteractionData extends Heading {
  /** The response, with its unit: `mean cost [EUR]`. */
  readonly response: string;
  /** Along the x axis. */
  readonly factor: FactorLevels;
  /** A line for each of its levels. */
  readonly other: FactorLevels;
  /** A row for each level of `other`, in it a mean for each level of `factor`; null: no run there. */
  readonly means: readonly (readonly (number | null)[])[];
}

/** A factor and its levels as they are shown, in their order. */
export interface FactorLevels {
  readonly name: string;
  readonly levels: readonly string[];
}

/** A line of means for each level of one factor over the other: lines that are not parallel interact. */
export function interactionLinesOption(data: InteractionData): ChartOption {
  const { factor, other, means } = data;
  if (!means.some((row) => row.some((mean) => mean !== null))) return nothingToShow(data);
  const names = other.levels.map((level) => `${plainText(other.name)} ${plainText(level)}`);
  const summary = `${data.response} over ${plainText(factor.name)}, a line for each of ${other.levels.length} levels of ${plainText(other.name)}.`;
  return framed(data, summary, {
    grid: room(0, LEGEND_WIDTH),
    legend: legendRight(names),
    xAxis: columnNames(factor.levels, factor.name),
    yAxis: valueAxis(data.response),
    series: names.map((name, index) => line(name, index, means[index] ?? [])),
  });
}

function line(name: string, index: number, means: readonly (number | null)[]) {
  const { color, dash, symbol } = lookOf(index);
  return {
    type: "line" as const,
    name,
    symbol,
    symbolSize: 9,
    lineStyle: { color, width: 2, type: dash },
    itemStyle: { color },
    data: [...means],
  };
}
