import { leastSquares } from "./least-squares.ts";
import { lengthOf, preciseDot } from "./precise-sum.ts";

/** A column that others make up: the sum of the columns at these places times their shares. */
export interface DependentColumn {
  readonly place: number;
  readonly of: readonly { readonly place: number; readonly share: number }[];
}

/** Places of columns that stand for themselves, and what the others amount to. */
export interface Independence {
  readonly kept: readonly number[];
  readonly dependent: readonly DependentColumn[];
}

/** A column whose distance from the span of those before it is below this share of its length says nothing new. */
const NOTHING_NEW = 1e-12;

/** Shares that matter less than this to the column are rounding. */
const ROUNDING = 1e-9;

/**
 * Splits columns, first come first kept, so that none that is kept is a sum of others.
 *
 * Source: Gram-Schmidt, each column twice ("twice is enough": B. N. Parlett, The Symmetric Eigenvalue Problem, 6-9).
 */
export function independentColumns(columns: readonly (readonly number[])[]): Independence {
  const directions: number[][] = [];
  const kept: number[] = [];
  const dropped: number[] = [];
  columns.forEach((column, place) => {
    const direction = remainder(column, directions);
    if (direction === undefined) {
      dropped.push(place);
      return;
    }
    directions.push(direction);
    kept.push(place);
  });
  const basis = kept.map((place) => columns[place] ?? []);
  return { kept, dependent: dropped.map((place) => ({ place, of: partsOf(columns[place] ?? [], basis, kept) })) };
}

/** Unit vector of what the directions do not hold of a column; undefined: nothing. */
function remainder(column: readonly number[], directions: readonly (readonly number[])[]): number[] | undefined {
  const length = lengthOf(column);
  if (length === 0 || directions.length >= column.length) return undefined;
  const rest = column.map((value) => value / length);
  for (const direction of [...directions, ...directions]) {
    const share = -preciseDot(direction, rest);
    for (let k = 0; k < rest.length; k++) rest[k]! += share * direction[k]!;
  }
  const distance = lengthOf(rest);
  return distance < NOTHING_NEW ? undefined : rest.map((value) => value / distance);
}

function partsOf(
  column: readonly number[],
  basis: readonly (readonly number[])[],
  kept: readonly number[],
): DependentColumn["of"] {
  const { coefficients } = leastSquares(basis, column);
  const length = lengthOf(column);
  return coefficients.flatMap((share, k) => {
    const matters = Math.abs(share) * lengthOf(basis[k] ?? []) > ROUNDING * length;
    return matters ? [{ place: kept[k] ?? 0, share }] : [];
  });
}
