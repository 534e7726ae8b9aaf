/** 2²⁷ + 1: splits a double into halves whose products are exact. */
const SPLITTER = 134217729;

/** What rounding took from a·b. Source: T. J. Dekker, Numer. Math. 18 (1971) 224. */
function productError(a: number, b: number): number {
  const product = a * b;
  const [bigA, bigB] = [SPLITTER * a, SPLITTER * b];
  const highA = bigA - (bigA - a);
  const highB = bigB - (bigB - b);
  const [lowA, lowB] = [a - highA, b - highB];
  return lowA * lowB - (product - highA * highB - lowA * highB - highA * lowB);
}

/** What rounding took from a + b. Source: D. E. Knuth, The Art of Computer Programming, volume 2, 4.2.2. */
function sumError(a: number, b: number): number {
  const sum = a + b;
  const shareOfB = sum - a;
  return a - (sum - shareOfB) + (b - shareOfB);
}

/**
 * start + Σ a·b, as if worked out in twice the precision and rounded once. For magnitudes below 1e150.
 *
 * Source: T. Ogita, S. M. Rump, S. Oishi, "Accurate sum and dot product", SIAM J. Sci. Comput. 26 (2005) 1955, Dot2.
 */
export function preciseDot(a: readonly number[], b: readonly number[], start = 0): number {
  let [sum, rest] = [start, 0];
  for (let k = 0; k < a.length; k++) {
    const [x, y] = [a[k]!, b[k]!];
    const product = x * y;
    rest += productError(x, y) + sumError(sum, product);
    sum += product;
  }
  return sum + rest;
}

/** Σ a, rounded once. */
export function preciseSum(a: readonly number[]): number {
  let [sum, rest] = [0, 0];
  for (const x of a) {
    rest += sumError(sum, x);
    sum += x;
  }
  return sum + rest;
}

/**
 * Values less a constant near their mean, and that constant. What is left of the mean is far below the spread, so sums
 * of squares of large values that differ little lose nothing.
 */
export function centred(values: readonly number[]): { readonly values: number[]; readonly centre: number } {
  const centre = values.length === 0 ? 0 : preciseSum(values) / values.length;
  return { values: values.map((value) => value - centre), centre };
}

/** Root of the sum of squares. */
export function lengthOf(values: readonly number[]): number {
  return Math.sqrt(preciseDot(values, values));
}

/** Σ (a − mean)². Of equal values exactly 0. */
export function squaresAboutMean(values: readonly number[]): number {
  if (values.every((value) => value === values[0])) return 0;
  const { values: near } = centred(values);
  const rest = preciseSum(near);
  return Math.max(preciseDot(near, near) - (rest * rest) / values.length, 0);
}
