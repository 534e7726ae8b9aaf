import { type CellAxis, type CellFactor, cellAxis, placeOf } from "./cell-axis.ts";
import { axesOfMarks, type CellGrid, cellsOf, crossedCells, filledCells } from "./cells.ts";
import type { ChartOption, Heading, Series } from "./chart-option.ts";
import { contourLines } from "./contour-lines.ts";
import { framed, nothingToShow, room } from "./frame.ts";
import { LEGEND_WIDTH, signLegend } from "./legends.ts";
import { labelledPoints, type Place, strokes } from "./marks.ts";
import { GREY, INK, PALE, SOFT_INK, STEPS, VERMILLION } from "./palette.ts";
import { numberText, plainText } from "./plain-text.ts";
import { rangeOf, roundTicks } from "./ticks.ts";

/** A response over two factors. */
export interface SurfaceData extends Heading {
  /** The response, with its unit: `cost [EUR]`. */
  readonly response: string;
  readonly x: NumberFactor;
  readonly y: NumberFactor;
  /** A row for each value of y, in it the response for each value of x; null: none. */
  readonly values: readonly (readonly (number | null)[])[];
  /** Where runs were made. */
  readonly observed?: readonly { readonly x: number; readonly y: number }[];
  /** Where the model is level, and what it is there: `minimum`, `saddle`. */
  readonly stationary?: { readonly x: number; readonly y: number; readonly kind: string };
}

interface NumberFactor extends CellFactor {
  readonly values: readonly number[];
}

/** Shades of one colour from low to high with lines between them, runs as rings, the stationary point as a diamond. */
export function responseSurfaceOption(data: SurfaceData): ChartOption {
  const range = rangeOf(data.values.flat().filter((value) => value !== null));
  if (range === undefined) return nothingToShow(data);
  const grid = { x: cellAxis(data.x), y: cellAxis(data.y) };
  const levels = levelsOf(range);
  const names = [...bandNames(range, levels)].toReversed();
  const summary = `${data.response} over ${plainText(data.x.name)} and ${plainText(data.y.name)}, from ${numberText(range.low)} to ${numberText(range.high)}.`;
  const marks = [...pointMarks(data, grid)];
  return framed(data, summary, {
    grid: room(0, LEGEND_WIDTH),
    legend: signLegend([...names, ...marks.map(({ name }) => String(name))]),
    xAxis: [...grid.x.axes],
    yAxis: [...grid.y.axes],
    series: [...bands(data, grid, { range, levels }), ...contours(data, grid, levels), ...marks],
  });
}

interface Range {
  readonly low: number;
  readonly high: number;
}

/** Round levels between the shades, one less than there are shades at most; none where all is level. */
function levelsOf({ low, high }: Range): number[] {
  return roundTicks(low, high, STEPS.length - 1).filter((level) => level > low && level < high);
}

function bandNames({ low }: Range, levels: readonly number[]): string[] {
  const [first = low] = levels;
  if (levels.length === 0) return [numberText(low)];
  const between = levels.slice(1).map((level, k) => `${numberText(levels[k] ?? level)} to ${numberText(level)}`);
  return [`below ${numberText(first)}`, ...between, `${numberText(levels.at(-1) ?? first)} and above`];
}

/** Shades spread over the whole scale. */
function shadeOf(band: number, count: number): string {
  return STEPS[Math.round((band * (STEPS.length - 1)) / Math.max(1, count - 1))] ?? PALE;
}

function bands(
  { values }: SurfaceData,
  grid: CellGrid,
  { range, levels }: { range: Range; levels: readonly number[] },
): Series[] {
  const names = bandNames(range, levels);
  const cells = cellsOf(values);
  const bandOf = (value: number): number => levels.filter((level) => value >= level).length;
  const none = cells.filter(({ content }) => content === null);
  return [
    ...names.map((name, band) =>
      filledCells(
        grid,
        cells.filter(({ content }) => content !== null && bandOf(content) === band),
        { name, color: shadeOf(band, names.length), symbol: "rect" },
      ),
    ),
    filledCells(grid, none, { name: "no value", color: PALE, symbol: "rect" }),
    strokes(crossedCells(grid, none), { ...axesOfMarks(grid), color: GREY, width: 1 }),
  ];
}

function contours(data: SurfaceData, grid: CellGrid, levels: readonly number[]): Series[] {
  const field = { xs: grid.x.centres, ys: grid.y.centres, rows: data.values };
  const lines = levels.map((level) => contourLines(field, level));
  const runs = (data.observed ?? []).map(
    (run): Place => [placeOf(run.x, data.x, grid.x), placeOf(run.y, data.y, grid.y)],
  );
  const labels = levels.flatMap((level, k) => {
    const pieces = lines[k] ?? [];
    const inside = pieces.filter(([place]) => place !== undefined && isInside(place, grid));
    const clear = inside.filter(([place]) => place !== undefined && runs.every((run) => !isNear(place, run, grid)));
    const place = (clear[Math.floor(clear.length / 2)] ?? inside[Math.floor(inside.length / 2)])?.[0];
    return place === undefined ? [] : [{ x: place[0], y: place[1], label: numberText(level) }];
  });
  const axes = axesOfMarks(grid);
  return [
    strokes(lines.flat(), { ...axes, color: SOFT_INK, width: 1.2 }),
    labelledPoints(labels, { ...axes, position: "inside", size: 0.01 }),
  ];
}

/** Far enough from the borders for a label. */
function isInside([x, y]: Place, grid: CellGrid): boolean {
  return isWithin(x, grid.x) && isWithin(y, grid.y);
}

function isWithin(value: number, { edges }: CellAxis): boolean {
  const [low = 0, high = 1] = [edges[0], edges.at(-1)];
  const margin = 0.07 * (high - low);
  return value > low + margin && value < high - margin;
}

/** So near that a label would lie on the other. */
function isNear([x, y]: Place, [otherX, otherY]: Place, grid: CellGrid): boolean {
  return Math.abs(x - otherX) < 0.07 * widthOf(grid.x) && Math.abs(y - otherY) < 0.05 * widthOf(grid.y);
}

function widthOf({ edges }: CellAxis): number {
  return (edges.at(-1) ?? 1) - (edges[0] ?? 0);
}

function pointMarks(data: SurfaceData, grid: CellGrid): Series[] {
  const place = ({ x, y }: { readonly x: number; readonly y: number }) => ({
    x: placeOf(x, data.x, grid.x),
    y: placeOf(y, data.y, grid.y),
  });
  const observed = (data.observed ?? []).map((point) => ({ ...place(point), label: "" }));
  const axes = axesOfMarks(grid);
  const { stationary } = data;
  const look = { ...axes, position: "right" as const };
  return [
    ...(observed.length === 0
      ? []
      : [labelledPoints(observed, { ...look, name: "run", hollow: true, color: INK, size: 8 })]),
    ...(stationary === undefined
      ? []
      : [
          labelledPoints([{ ...place(stationary), label: stationary.kind }], {
            ...look,
            name: plainText(stationary.kind),
            symbol: "diamond",
            color: VERMILLION,
            size: 16,
            bold: true,
          }),
        ]),
  ];
}
