import type { FollowTable } from "../machine/problem.ts";
import type { State } from "./motion.ts";

/** A stretch of a followed table that does not turn round, from its own time 0. */
export interface FollowedStretch {
  readonly length: number;
  readonly at: (s: number) => State;
}

/** An element that is there. */
function val(list: readonly number[] | undefined, k: number): number {
  return list?.[k] ?? 0;
}

/** Solves a dense system by elimination of every column from all other rows, largest pivot first. Source: textbook. */
function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  let open = matrix.map((row, k) => [...row, val(right, k)]);
  let done: number[][] = [];
  for (let c = 0; c < right.length; c++) {
    const column = c;
    const [pivot, ...others] = open.toSorted((a, b) => Math.abs(val(b, column)) - Math.abs(val(a, column)));
    const scaled = (pivot ?? []).map((x) => x / val(pivot, column));
    const cleared = (row: number[]): number[] => row.map((x, k) => x - val(row, column) * val(scaled, k));
    open = others.map(cleared);
    done = [...done.map(cleared), scaled];
  }
  return done.map((row) => val(row, right.length));
}

/** Second derivatives of a cubic spline at its knots ("moments"). Source: any numerical analysis textbook. */
function moments(t: readonly number[], y: readonly number[], ends: { first: number; last: number } | null): number[] {
  const n = t.length - 1;
  const h = (k: number): number => val(t, k + 1) - val(t, k);
  const d = (k: number): number => (val(y, k + 1) - val(y, k)) / h(k);
  const matrix = t.map(() => t.map(() => 0));
  const right = t.map(() => 0);
  const put = (row: number, column: number, value: number): void => {
    const cells = matrix[row];
    if (cells !== undefined) cells[column] = val(cells, column) + value;
  };
  for (let k = 1; k < n; k++) {
    put(k, k - 1, h(k - 1) / 6);
    put(k, k, (h(k - 1) + h(k)) / 3);
    put(k, k + 1, h(k) / 6);
    right[k] = d(k) - d(k - 1);
  }
  put(0, 0, h(0) / 3);
  put(0, 1, h(0) / 6);
  if (ends === null) {
    put(0, n - 1, h(n - 1) / 6);
    put(0, n, h(n - 1) / 3);
    right[0] = d(0) - d(n - 1);
    put(n, 0, 1);
    put(n, n, -1);
  } else {
    right[0] = d(0) - ends.first;
    put(n, n - 1, h(n - 1) / 6);
    put(n, n, h(n - 1) / 3);
    right[n] = ends.last - d(n - 1);
  }
  return solve(matrix, right);
}

/** Cuts a stretch where its speed changes sign, by bisection; reversals within a millionth of its ends are rounding. */
function cut({ length, at }: FollowedStretch): FollowedStretch[] {
  const grid = 512;
  const borders = [0];
  const time = (k: number): number => length * Math.min(1 - 1e-6, Math.max(1e-6, k / grid));
  let last = time(0);
  for (let k = 0; k < grid; k++) {
    let [low, high] = [last, time(k + 1)];
    // A speed that is 0 just at a node has its sign change before the next.
    if (at(high).v !== 0) last = high;
    if (at(low).v * at(high).v >= 0) continue;
    for (let step = 0; step < 80; step++) {
      const middle = (low + high) / 2;
      if (at(low).v * at(middle).v > 0) low = middle;
      else high = middle;
    }
    borders.push(low);
  }
  return borders.map((from, k) => {
    const to = borders[k + 1] ?? length;
    return { length: to - from, at: (s) => at(from + s) };
  });
}

function spline(
  t: readonly number[],
  y: readonly number[],
  ends: { first: number; last: number } | null,
): FollowedStretch[] {
  const m = moments(t, y, ends);
  return t.slice(1).map((to, k) => {
    const h = to - val(t, k);
    const [a, b] = [val(m, k), val(m, k + 1)];
    const [left, right] = [val(y, k) / h - (a * h) / 6, val(y, k + 1) / h - (b * h) / 6];
    return {
      length: h,
      at: (s) => ({
        q: (a * (h - s) ** 3 + b * s ** 3) / (6 * h) + left * (h - s) + right * s,
        v: (b * s ** 2 - a * (h - s) ** 2) / (2 * h) - left + right,
        a: (a * (h - s) + b * s) / h,
      }),
    };
  });
}

function straight(t: readonly number[], v: readonly number[], q0: number): FollowedStretch[] {
  let q = q0;
  return t.slice(1).map((to, k) => {
    const h = to - val(t, k);
    const [begin, v0, a] = [q, val(v, k), (val(v, k + 1) - val(v, k)) / h];
    q += ((val(v, k) + val(v, k + 1)) / 2) * h;
    return { length: h, at: (s) => ({ q: begin + v0 * s + (a * s * s) / 2, v: v0 + a * s, a }) };
  });
}

/**
 * A followed table: positions through a cubic spline, velocities through straight lines.
 *
 * @param from - position and speed at which the segment before ends
 * @param isWhole - the table is the whole period: its spline is periodic
 */
export function followedStretches(
  { of, times, values }: FollowTable,
  from: { readonly q: number; readonly v: number },
  isWhole: boolean,
): FollowedStretch[] {
  const pieces =
    of === "velocity"
      ? straight(times, values, from.q)
      : spline(times, values, isWhole ? null : { first: from.v, last: 0 });
  return pieces.flatMap(cut);
}
