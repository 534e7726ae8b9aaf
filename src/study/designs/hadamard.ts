import { paleyConference } from "./conference-matrix.ts";
import { BLOCKS_28, GENERATING_ROWS } from "./plackett-burman-table.ts";

/** Runs of the two-level screening designs offered, ascending. */
export const SCREENING_RUNS: readonly number[] = [8, 12, 16, 20, 24, 28, 32, 36, 40, 44, 48];

/**
 * Orthogonal rows of −1 and +1 for a number of runs, one column less than runs.
 *
 * Source: Plackett and Burman (1946) for 8 to 28 and 36 runs; J. J. Sylvester's doubling for 32 and 40; R. E. A. C.
 * Paley's construction, J. Math. Phys. 12 (1933) 311–320, for 44 and 48.
 *
 * @param runs - one of {@link SCREENING_RUNS}
 */
export function screeningRows(runs: number): number[][] {
  const row = GENERATING_ROWS[runs];
  if (row !== undefined) return cyclicRows(signs(row));
  if (runs === 28) return blockRows();
  if (runs === 32 || runs === 40) return doubled(screeningRows(runs / 2));
  return paleyRows(runs);
}

function signs(text: string): number[] {
  return text.split("").flatMap((sign) => (sign === " " ? [] : [sign === "+" ? 1 : -1]));
}

function cyclicRows(row: readonly number[]): number[][] {
  const count = row.length;
  const shifts = row.map((_, shift) => row.map((_sign, k) => row[(k - shift + count) % count] ?? 0));
  return [...shifts, row.map(() => -1)];
}

function blockRows(): number[][] {
  const rows = BLOCKS_28.map(signs);
  const shifted = [0, 9, 18].flatMap((shift) => rows.map((row) => row.map((_, k) => row[(k - shift + 27) % 27] ?? 0)));
  return [...shifted, Array.from({ length: 27 }, () => -1)];
}

/** [H H; H −H] of a design with its column of ones put back, and taken away again. */
function doubled(rows: readonly (readonly number[])[]): number[][] {
  return [...rows.map((row) => [...row, 1, ...row]), ...rows.map((row) => [...row, -1, ...row.map((x) => -x)])];
}

/** C + I of a skew conference matrix, its first column turned to ones and taken away. */
function paleyRows(runs: number): number[][] {
  const conference = paleyConference(runs - 1);
  return conference.map((row, i) => {
    const full = row.map((x, k) => (k === i ? 1 : x));
    return full.slice(1).map((x) => x * (full[0] ?? 1));
  });
}
