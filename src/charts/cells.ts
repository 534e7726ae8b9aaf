import type { CellAxis } from "./cell-axis.ts";
import type { Series } from "./chart-option.ts";
import type { Place } from "./marks.ts";

/** A cell by its place in the grid. */
export interface CellIndex {
  readonly column: number;
  readonly row: number;
}

/** Axes of a grid of cells. */
export interface CellGrid {
  readonly x: CellAxis;
  readonly y: CellAxis;
}

/** Which axes of the chart the marks of a grid of cells lie on. */
export function axesOfMarks({ x, y }: CellGrid): { readonly xAxis: number; readonly yAxis: number } {
  return { xAxis: x.axes.length - 1, yAxis: y.axes.length - 1 };
}

/**
 * Fills cells with one colour.
 *
 * @param cells - row by row
 * @param name - shown in the legend
 */
export function filledCells(
  grid: CellGrid,
  cells: readonly CellIndex[],
  look: { name: string; color: string; symbol: string },
): Series {
  const { xAxis, yAxis } = axesOfMarks(grid);
  return {
    type: "scatter",
    name: look.name,
    xAxisIndex: xAxis,
    yAxisIndex: yAxis,
    symbol: look.symbol,
    symbolSize: 0,
    silent: true,
    data: [],
    itemStyle: { color: look.color, opacity: 1 },
    markArea: {
      silent: true,
      animation: false,
      // A hairline of the same colour closes the gaps that rounding to pixels leaves.
      itemStyle: { color: look.color, opacity: 1, borderColor: look.color, borderWidth: 0.6 },
      data: runsOf(cells).map((run) => corners(grid, run)),
    },
  };
}

/** Neighbours of a row as one: fewer shapes, and no seams between them. */
interface Run extends CellIndex {
  readonly count: number;
}

function runsOf(cells: readonly CellIndex[]): Run[] {
  const runs: Run[] = [];
  for (const { column, row } of cells) {
    const last = runs.at(-1);
    const follows = last !== undefined && last.row === row && last.column + last.count === column;
    if (follows) runs[runs.length - 1] = { ...last, count: last.count + 1 };
    else runs.push({ column, row, count: 1 });
  }
  return runs;
}

function corners({ x, y }: CellGrid, { column, row, count }: Run): [{ coord: number[] }, { coord: number[] }] {
  return [
    { coord: [x.edges[column] ?? 0, y.edges[row] ?? 0] },
    { coord: [x.edges[column + count] ?? 0, y.edges[row + 1] ?? 0] },
  ];
}

/** Two diagonals through each cell, so that it is seen without colour that nothing is there. */
export function crossedCells({ x, y }: CellGrid, cells: readonly CellIndex[]): Place[][] {
  return cells.flatMap(({ column, row }) => {
    const [left, right] = [x.edges[column] ?? 0, x.edges[column + 1] ?? 0];
    const [low, high] = [y.edges[row] ?? 0, y.edges[row + 1] ?? 0];
    const rising: Place[] = [
      [left, low],
      [right, high],
    ];
    const falling: Place[] = [
      [left, high],
      [right, low],
    ];
    return [rising, falling];
  });
}

/** Lines between neighbouring cells that differ. */
export function bordersBetween({ x, y }: CellGrid, rows: readonly (readonly unknown[])[]): Place[][] {
  return rows.flatMap((cells, row) =>
    cells.flatMap((cell, column) => {
      const [left, right] = [x.edges[column] ?? 0, x.edges[column + 1] ?? 0];
      const [low, high] = [y.edges[row] ?? 0, y.edges[row + 1] ?? 0];
      const found: Place[][] = [];
      if (column + 1 < cells.length && cells[column + 1] !== cell)
        found.push([
          [right, low],
          [right, high],
        ]);
      const above = rows[row + 1];
      if (above !== undefined && above[column] !== cell)
        found.push([
          [left, high],
          [right, high],
        ]);
      return found;
    }),
  );
}

/** Every cell of a grid with its content, row by row. */
export function cellsOf<T>(rows: readonly (readonly T[])[]): (CellIndex & { readonly content: T })[] {
  return rows.flatMap((cells, row) => cells.map((content, column) => ({ column, row, content })));
}
