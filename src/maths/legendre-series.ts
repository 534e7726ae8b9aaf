import { GAUSS_16 } from "./quadrature.ts";

/** Nodes of a series. */
export const SERIES_NODES = 16;

/** Rows of (2n + 1)/2·w_i·P_n(x_i): from values at the Gauss nodes to the coefficients of the polynomial through them. */
const FROM_VALUES: readonly number[] = Object.freeze(seriesMatrix());

function seriesMatrix(): number[] {
  const matrix = Array.from({ length: SERIES_NODES * SERIES_NODES }, () => 0);
  GAUSS_16.nodes.forEach((x, i) => {
    let [before, value] = [0, 1];
    for (let n = 0; n < SERIES_NODES; n++) {
      matrix[n * SERIES_NODES + i] = ((2 * n + 1) / 2) * (GAUSS_16.weights[i] ?? 0) * value;
      [before, value] = [value, ((2 * n + 1) * x * value - n * before) / (n + 1)];
    }
  });
  return matrix;
}

/** What a function with these values at the 16 Gauss nodes of an interval can be on it. */
export interface Enclosure {
  readonly least: number;
  readonly most: number;
  /** At the two ends. */
  readonly first: number;
  readonly last: number;
}

/**
 * Bounds of the polynomial Σ a_n·P_n through values at the Gauss nodes: |P_n| ≤ 1, so it stays within the values it takes
 * where P_0 and P_1 alone count, widened by Σ|a_n|, n ≥ 2. The last two terms count again twentyfold: what a smooth
 * function that is no polynomial adds beyond them.
 *
 * Source: expansion in Legendre polynomials; NIST Digital Library of Mathematical Functions, 18.3 and 18.14(i).
 */
export function enclosureOf(values: readonly number[]): Enclosure {
  let [first, last, reach, tail, constant, slope] = [0, 0, 0, 0, 0, 0];
  for (let n = 0; n < SERIES_NODES; n++) {
    let a = 0;
    for (let i = 0; i < SERIES_NODES; i++) a += FROM_VALUES[n * SERIES_NODES + i]! * values[i]!;
    last += a;
    first += n % 2 === 0 ? a : -a;
    if (n === 0) constant = a;
    else if (n === 1) slope = Math.abs(a);
    else reach += Math.abs(a);
    if (n >= SERIES_NODES - 2) tail += Math.abs(a);
  }
  const wide = slope + reach + 20 * tail;
  return { least: constant - wide, most: constant + wide, first, last };
}
