import { columnNames, nameAxis, placeAxis } from "./axes.ts";
import type { ChartOption, Heading } from "./chart-option.ts";
import { framed, nothingToShow, room } from "./frame.ts";
import type { FactorLevels } from "./interaction-lines.ts";
import { labelledPoints, type Place, strokes } from "./marks.ts";
import { GREY, INK, PALE, STEPS } from "./palette.ts";
import { numberText, plainText, shortened } from "./plain-text.ts";
import { rangeOf } from "./ticks.ts";

/** A value for each pair of two lists, such as the cost at so many distinct motors and gearboxes. */
export interface PartTableData extends Heading {
  /** The value, with its unit: `cost [EUR]`. */
  readonly value: string;
  readonly columns: FactorLevels;
  readonly rows: FactorLevels;
  /** A row for each level of `rows`, in it a value for each level of `columns`; null: no order; undefined: not known. */
  readonly cells: readonly (readonly (number | null | undefined)[])[];
  /** In the same order what stands behind the figure of a cell: `~`; empty: nothing. */
  readonly marks?: readonly (readonly string[])[];
}

/** More columns than this have no room for their figures. */
const MOST_FIGURES = 14;

/**
 * A table whose cells darken with their value; pairs without an order are crossed out, of which nothing is known marked
 * with a question, the least value is framed.
 */
export function partTableOption(data: PartTableData): ChartOption {
  const { columns, rows } = data;
  const cells = data.cells.flatMap((row, y) => row.map((value, x) => ({ x, y, value })));
  if (cells.length === 0) return nothingToShow(data);
  const solved = cells.flatMap(({ x, y, value }) =>
    value == null ? [] : [{ x, y, value, mark: data.marks?.[y]?.[x] ?? "" }],
  );
  const range = rangeOf(solved.map(({ value }) => value)) ?? { low: 0, high: 0 };
  const none = cells.filter(({ value }) => value === null);
  const open = cells.filter(({ value }) => value === undefined);
  const least = solved.filter(({ value }) => value === range.low);
  const summary = `${data.value} for ${plainText(rows.name)} by ${plainText(columns.name)}, ${solved.length} of ${cells.length} pairs with an order, from ${numberText(range.low)} to ${numberText(range.high)}.`;
  return framed(data, summary, {
    grid: room(0, 110),
    xAxis: [columnNames(columns.levels, columns.name), placeAxis(columns.levels.length)],
    yAxis: [nameAxis(rows.levels, rows.name), placeAxis(rows.levels.length)],
    visualMap: shades(data.value, range),
    series: [
      heat(solved, columns.levels.length <= MOST_FIGURES),
      empty(none),
      strokes(none.flatMap(crossed), {
        color: GREY,
        width: 1,
        xAxis: 1,
        yAxis: 1,
      }),
      labelledPoints(
        [...none.map(({ x, y }) => ({ x, y, label: "no order" })), ...open.map(({ x, y }) => ({ x, y, label: "?" }))],
        { position: "inside", size: 0.01, xAxis: 1, yAxis: 1 },
      ),
      strokes(least.map(framedCell), { color: INK, width: 2.5, xAxis: 1, yAxis: 1, level: 5 }),
    ],
  });
}

interface Cell {
  readonly x: number;
  readonly y: number;
}

function heat(cells: readonly (Cell & { readonly value: number; readonly mark: string })[], figures: boolean) {
  return {
    type: "heatmap" as const,
    progressive: 0,
    data: cells.map(({ x, y, value, mark }) => ({
      value: [x, y, value],
      label: { formatter: numberText(value) + mark },
    })),
    label: { show: figures, color: INK, fontFamily: "sans-serif", fontSize: 12 },
    itemStyle: { borderColor: "#ffffff", borderWidth: 1 },
  };
}

/** Cells without a value: a colour of their own, which the scale of shades leaves alone. */
function empty(cells: readonly Cell[]) {
  return {
    type: "scatter" as const,
    xAxisIndex: 1,
    yAxisIndex: 1,
    symbolSize: 0,
    silent: true,
    data: [],
    markArea: {
      silent: true,
      itemStyle: { color: PALE, opacity: 1 },
      data: cells.map(({ x, y }): [{ coord: number[] }, { coord: number[] }] => [
        { coord: [x - 0.5, y - 0.5] },
        { coord: [x + 0.5, y + 0.5] },
      ]),
    },
  };
}

function crossed({ x, y }: Cell): Place[][] {
  const rising: Place[] = [
    [x - 0.5, y - 0.5],
    [x + 0.5, y + 0.5],
  ];
  const falling: Place[] = [
    [x - 0.5, y + 0.5],
    [x + 0.5, y - 0.5],
  ];
  return [rising, falling];
}

function framedCell({ x, y }: Cell): Place[] {
  const [left, right, low, high] = [x - 0.5, x + 0.5, y - 0.5, y + 0.5];
  return [
    [left, low],
    [right, low],
    [right, high],
    [left, high],
    [left, low],
  ];
}

function shades(name: string, { low, high }: { readonly low: number; readonly high: number }) {
  return {
    type: "continuous" as const,
    seriesIndex: 0,
    dimension: 2,
    min: low,
    max: high > low ? high : low + 1,
    text: [`${shortened(name, 15)}\n\n${numberText(high)}`, numberText(low)],
    right: 16,
    top: "middle",
    itemHeight: 200,
    calculable: false,
    inRange: { color: [...STEPS] },
    textStyle: { fontFamily: "sans-serif", fontSize: 12, color: INK },
  };
}
