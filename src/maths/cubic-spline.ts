/** Points a curve goes through, times ascending. */
export interface Knots {
  readonly times: readonly number[];
  readonly values: readonly number[];
}

/** Slopes at both ends, or ends that join with equal slope and curvature. */
export type SplineEnds = { readonly first: number; readonly last: number } | "periodic";

/** Rows of a tridiagonal system: lower[k]·x[k − 1] + diagonal[k]·x[k] + upper[k]·x[k + 1] = right[k]. */
interface Rows {
  readonly lower: number[];
  readonly diagonal: number[];
  readonly upper: number[];
  readonly right: number[];
}

/**
 * Slopes at the knots of the cubic spline through them: with its two slopes each interval's cubic is fixed.
 *
 * s₋/h₋ + 2·s·(1/h₋ + 1/h) + s₊/h = 3·(d₋/h₋ + d/h), h: lengths of the intervals, d: their mean slopes
 * Source: C. de Boor, A Practical Guide to Splines, chapter IV (curvature continuous at the knots).
 */
export function splineSlopes({ times, values }: Knots, ends: SplineEnds): number[] {
  const inverse = times.slice(1).map((t, k) => 1 / (t - (times[k] ?? 0)));
  const bends = inverse.map((i, k) => i * i * ((values[k + 1] ?? 0) - (values[k] ?? 0)));
  return ends === "periodic" ? periodicSlopes(inverse, bends) : clampedSlopes(inverse, bends, ends);
}

/** An element, counted round the ends. */
function at(list: readonly number[], k: number): number {
  return list[(k + list.length) % list.length] ?? 0;
}

/** Rows of the knots named, each between an interval before and one after. */
function rowsOf(inverse: readonly number[], bends: readonly number[], knots: readonly number[]): Rows {
  return {
    lower: knots.map((k) => at(inverse, k - 1)),
    diagonal: knots.map((k) => 2 * (at(inverse, k - 1) + at(inverse, k))),
    upper: knots.map((k) => at(inverse, k)),
    right: knots.map((k) => 3 * (at(bends, k - 1) + at(bends, k))),
  };
}

function clampedSlopes(
  inverse: readonly number[],
  bends: readonly number[],
  { first, last }: Exclude<SplineEnds, "periodic">,
): number[] {
  const inner = inverse.slice(1).map((_, k) => k + 1);
  const rows = rowsOf(inverse, bends, inner);
  const end = inner.length - 1;
  if (end >= 0) {
    rows.right[0]! -= rows.lower[0]! * first;
    rows.right[end]! -= rows.upper[end]! * last;
  }
  return [first, ...solveTridiagonal(rows), last];
}

function sum(list: readonly number[]): number {
  return list.reduce((all, x) => all + x, 0);
}

function periodicSlopes(inverse: readonly number[], bends: readonly number[]): number[] {
  const count = inverse.length;
  if (count < 3) {
    // So few knots share one slope.
    return Array.from({ length: count + 1 }, () => sum(bends) / sum(inverse));
  }
  const slopes = solveCyclic(
    rowsOf(
      inverse,
      bends,
      inverse.map((_, k) => k),
    ),
  );
  return [...slopes, slopes[0] ?? 0];
}

/** Source: L. H. Thomas's elimination; stable here, where the diagonal outweighs its row. */
function solveTridiagonal({ lower, diagonal, upper, right }: Rows): number[] {
  const count = right.length;
  const [above, solved] = [new Float64Array(count), new Float64Array(count)];
  for (let k = 0; k < count; k++) {
    const before = k === 0 ? 0 : lower[k]!;
    const pivot = diagonal[k]! - before * (above[k - 1] ?? 0);
    above[k] = upper[k]! / pivot;
    solved[k] = (right[k]! - before * (solved[k - 1] ?? 0)) / pivot;
  }
  for (let k = count - 2; k >= 0; k--) solved[k]! -= above[k]! * solved[k + 1]!;
  return [...solved];
}

/** As above with lower[0] reaching to the last unknown and upper[last] to the first. Source: Sherman-Morrison formula. */
function solveCyclic({ lower, diagonal, upper, right }: Rows): number[] {
  const last = right.length - 1;
  const [corner, other] = [lower[0] ?? 0, upper[last] ?? 0];
  const shift = -(diagonal[0] ?? 0);
  const changed = diagonal.slice();
  changed[0]! -= shift;
  changed[last]! -= (corner * other) / shift;
  const side = right.map((_, k) => (k === 0 ? shift : k === last ? other : 0));
  const x = solveTridiagonal({ lower, diagonal: changed, upper, right });
  const z = solveTridiagonal({ lower, diagonal: changed, upper, right: side });
  const fold = (list: readonly number[]): number => (list[0] ?? 0) + (corner / shift) * (list[last] ?? 0);
  const share = fold(x) / (1 + fold(z));
  return x.map((value, k) => value - share * (z[k] ?? 0));
}
