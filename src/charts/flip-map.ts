import { type CellFactor, cellAxis } from "./cell-axis.ts";
import { axesOfMarks, bordersBetween, type CellGrid, cellsOf, crossedCells, filledCells } from "./cells.ts";
import type { ChartOption, Heading, Series } from "./chart-option.ts";
import { framed, nothingToShow, room } from "./frame.ts";
import { LEGEND_WIDTH, signLegend } from "./legends.ts";
import { labelledPoints, strokes } from "./marks.ts";
import { GREY, INK, lookOf, PALE } from "./palette.ts";
import { counted, plainText } from "./plain-text.ts";

/** Which pick is the cheapest at each point of two factors. */
export interface FlipData extends Heading {
  /** What is picked: `motor of the lift`. */
  readonly picked: string;
  readonly x: CellFactor;
  readonly y: CellFactor;
  /** A row for each value of y, in it the pick for each value of x; null: nothing holds there. */
  readonly picks: readonly (readonly (string | null)[])[];
}

/** Picks with a colour of their own; the rarest of more share one. */
const MOST_PICKS = 14;
const OTHERS = "others";
const NOTHING = "nothing holds";

/** A map of picks, each with its colour and its sign, lines where the pick changes, crosses where nothing holds. */
export function flipMapOption(data: FlipData): ChartOption {
  if (data.picks.flat().length === 0) return nothingToShow(data);
  const grid = { x: cellAxis(data.x), y: cellAxis(data.y) };
  const cells = data.picks.map((row) => row.map((pick) => (pick === null ? null : plainText(pick))));
  const names = namesByFrequency(cells.flat().filter((pick) => pick !== null));
  const shown = cells.map((row) => row.map((pick) => (pick === null || names.includes(pick) ? pick : OTHERS)));
  const others = shown.flat().includes(OTHERS) && !names.includes(OTHERS) ? [OTHERS] : [];
  const none = shown.flat().includes(null) ? [NOTHING] : [];
  const summary = `${plainText(data.picked)} over ${plainText(data.x.name)} and ${plainText(data.y.name)}: ${counted(new Set(cells.flat().filter((pick) => pick !== null)).size, "pick")}, the most frequent ${names[0] ?? "none"}.`;
  return framed(data, summary, {
    grid: room(0, LEGEND_WIDTH),
    legend: signLegend([...names, ...others, ...none]),
    xAxis: [...grid.x.axes],
    yAxis: [...grid.y.axes],
    series: [
      ...[...names, ...others].flatMap((name, index) => region(grid, shown, { name, index })),
      ...nothingHolds(grid, shown),
      strokes(bordersBetween(grid, shown), { ...axesOfMarks(grid), color: INK, width: 2, level: 4 }),
    ],
  });
}

/** The most frequent first; of equal ones, by code point. */
function namesByFrequency(picks: readonly string[]): string[] {
  const counts = new Map<string, number>();
  for (const pick of picks) counts.set(pick, (counts.get(pick) ?? 0) + 1);
  return [...counts]
    .toSorted(([a, n], [b, m]) => m - n || (a < b ? -1 : 1))
    .slice(0, MOST_PICKS)
    .map(([name]) => name);
}

type Shown = readonly (readonly (string | null)[])[];

function region(grid: CellGrid, shown: Shown, { name, index }: { name: string; index: number }): Series[] {
  const cells = cellsOf(shown).filter(({ content }) => content === name);
  const { color, symbol } = name === OTHERS ? { color: GREY, symbol: "circle" } : lookOf(index);
  const points = cells.map(({ column, row }) => ({
    x: grid.x.centres[column] ?? 0,
    y: grid.y.centres[row] ?? 0,
    label: "",
  }));
  const pale = lightened(color);
  return [
    { ...filledCells(grid, cells, { name: `${name} `, color: pale, symbol: "rect" }) },
    labelledPoints(points, { ...axesOfMarks(grid), position: "inside", name, symbol, size: signSize(grid), color }),
  ];
}

/** Small enough for the smaller side of a cell [px]. */
function signSize({ x, y }: CellGrid): number {
  return Math.max(3, Math.min(11, 240 / Math.max(x.centres.length, y.centres.length)));
}

function nothingHolds(grid: CellGrid, shown: Shown): Series[] {
  const cells = cellsOf(shown).filter(({ content }) => content === null);
  if (cells.length === 0) return [];
  return [
    filledCells(grid, cells, { name: NOTHING, color: PALE, symbol: "rect" }),
    strokes(crossedCells(grid, cells), { ...axesOfMarks(grid), color: GREY, width: 1 }),
  ];
}

/** A colour as a light shade, on which its own sign can be seen. */
function lightened(color: string): string {
  const parts = [1, 3, 5].map((start) => Number.parseInt(color.slice(start, start + 2), 16));
  const paler = parts.map((part) => Math.round(255 - (255 - part) * 0.4));
  return `#${paler.map((part) => part.toString(16).padStart(2, "0")).join("")}`;
}
