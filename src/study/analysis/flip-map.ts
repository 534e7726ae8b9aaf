import type { Level } from "./factor.ts";

/** What was picked over a grid of two factors; null: nothing (infeasible). */
export interface PickGrid {
  /** Levels of the factor that changes from row to row. */
  readonly rows: readonly Level[];
  readonly columns: readonly Level[];
  readonly picks: readonly (readonly (string | null)[])[];
}

/** A cell of a grid. */
export interface Cell {
  readonly row: number;
  readonly column: number;
}

/** Neighbouring cells of one pick. */
export interface Region {
  readonly pick: string | null;
  readonly cells: readonly Cell[];
}

/** Two neighbouring cells between which the pick changes. */
export interface Flip {
  readonly from: Cell;
  readonly to: Cell;
  readonly before: string | null;
  readonly after: string | null;
}

/** Where the choice changes over two factors. */
export interface FlipMap {
  /** In the order of their first cell, row by row. */
  readonly regions: readonly Region[];
  /** Place in `regions` of each cell. */
  readonly regionOf: readonly (readonly number[])[];
  /** Along rows first, then down the columns. The change lies somewhere between the two cells. */
  readonly flips: readonly Flip[];
}

/** Regions of one pick (cells that touch by a side) and the borders between them. */
export function flipMap({ picks }: PickGrid): FlipMap {
  const regionOf: number[][] = picks.map((row) => row.map(() => -1));
  const regions: Region[] = [];
  for (const cell of cellsOf(picks)) {
    if (regionOf[cell.row]?.[cell.column] !== -1) continue;
    regions.push({ pick: at(picks, cell), cells: flood(picks, { start: cell, regionOf, mark: regions.length }) });
  }
  return { regions, regionOf, flips: flipsOf(picks) };
}

type Picks = PickGrid["picks"];

function at(picks: Picks, { row, column }: Cell): string | null {
  return picks[row]?.[column] ?? null;
}

function cellsOf(picks: Picks): Cell[] {
  return picks.flatMap((list, row) => list.map((_, column) => ({ row, column })));
}

interface Flood {
  readonly start: Cell;
  /** Marked as the flood spreads. */
  readonly regionOf: number[][];
  readonly mark: number;
}

function flood(picks: Picks, { start, regionOf, mark }: Flood): Cell[] {
  const pick = at(picks, start);
  const open = [start];
  const cells: Cell[] = [];
  for (let cell = open.pop(); cell !== undefined; cell = open.pop()) {
    const { row, column } = cell;
    const marks = regionOf[row];
    if (marks === undefined || marks[column] !== -1 || at(picks, cell) !== pick) continue;
    marks[column] = mark;
    cells.push(cell);
    open.push(
      { row: row + 1, column },
      { row: row - 1, column },
      { row, column: column + 1 },
      { row, column: column - 1 },
    );
  }
  return cells.toSorted((a, b) => a.row - b.row || a.column - b.column);
}

function flipsOf(picks: Picks): Flip[] {
  const cells = cellsOf(picks);
  const along = cells.flatMap((from) => flipTo(picks, from, { row: from.row, column: from.column + 1 }));
  const down = cells.flatMap((from) => flipTo(picks, from, { row: from.row + 1, column: from.column }));
  return [...along, ...down];
}

function flipTo(picks: Picks, from: Cell, to: Cell): Flip[] {
  if (picks[to.row]?.[to.column] === undefined) return [];
  const [before, after] = [at(picks, from), at(picks, to)];
  return before === after ? [] : [{ from, to, before, after }];
}
