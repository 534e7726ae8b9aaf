import type { Place } from "./marks.ts";

/** Values on a grid: a row for each y, in it a value for each x; null: not known. */
export interface Field {
  readonly xs: readonly number[];
  readonly ys: readonly number[];
  readonly rows: readonly (readonly (number | null)[])[];
}

/**
 * Pieces of the line along which a field has a given value, by marching squares with straight lines along the edges of
 * each square; a saddle is cut by the mean of its corners. Squares with an unknown corner are left out.
 *
 * Source: W. E. Lorensen and H. E. Cline, Computer Graphics 21 (1987), 163–169, in two dimensions.
 */
export function contourLines(field: Field, level: number): Place[][] {
  return field.ys.slice(1).flatMap((_, j) => field.xs.slice(1).flatMap((__, i) => piecesIn(field, level, i, j)));
}

interface Corner {
  readonly x: number;
  readonly y: number;
  /** Value less the level. */
  readonly above: number;
}

function piecesIn(field: Field, level: number, i: number, j: number): Place[][] {
  const corners = [
    cornerAt(field, level, i, j),
    cornerAt(field, level, i + 1, j),
    cornerAt(field, level, i + 1, j + 1),
    cornerAt(field, level, i, j + 1),
  ].filter((corner) => corner !== undefined);
  if (corners.length < 4) return [];
  const crossings = corners.flatMap((corner, k) => crossing(corner, corners[(k + 1) % 4] ?? corner));
  const [a, b, c, d] = crossings;
  if (a === undefined || b === undefined) return [];
  if (c === undefined || d === undefined) return [[a, b]];
  const middle = corners.reduce((sum, { above }) => sum + above, 0);
  // The first corner is cut off unless the middle of the square is on its side.
  const joined = middle >= 0 === (corners[0]?.above ?? 0) >= 0;
  return joined
    ? [
        [a, b],
        [c, d],
      ]
    : [
        [d, a],
        [b, c],
      ];
}

function cornerAt({ xs, ys, rows }: Field, level: number, i: number, j: number): Corner | undefined {
  const [x, y, value] = [xs[i], ys[j], rows[j]?.[i]];
  if (x === undefined || y === undefined || value === undefined || value === null) return undefined;
  return { x, y, above: value - level };
}

/** Where the level lies on an edge, if its ends are on different sides. */
function crossing(from: Corner, to: Corner): Place[] {
  if (from.above >= 0 === to.above >= 0) return [];
  const share = from.above / (from.above - to.above);
  return [[from.x + share * (to.x - from.x), from.y + share * (to.y - from.y)]];
}
