/**
 * Degree, coefficients and first direction numbers of the dimensions after the first.
 *
 * Source: S. Joe, F. Y. Kuo, "Constructing Sobol sequences with better two-dimensional projections", SIAM J. Sci. Comput.
 * 30 (2008) 2635–2654, table new-joe-kuo-6.
 */
const JOE_KUO: readonly { readonly degree: number; readonly a: number; readonly m: readonly number[] }[] = [
  { degree: 1, a: 0, m: [1] },
  { degree: 2, a: 1, m: [1, 3] },
  { degree: 3, a: 1, m: [1, 3, 1] },
  { degree: 3, a: 2, m: [1, 1, 1] },
  { degree: 4, a: 1, m: [1, 1, 3, 3] },
  { degree: 4, a: 4, m: [1, 3, 5, 13] },
  { degree: 5, a: 2, m: [1, 1, 5, 5, 17] },
  { degree: 5, a: 4, m: [1, 1, 5, 5, 5] },
  { degree: 5, a: 7, m: [1, 1, 7, 11, 19] },
  { degree: 5, a: 11, m: [1, 1, 5, 1, 1] },
  { degree: 5, a: 13, m: [1, 1, 1, 3, 11] },
  { degree: 5, a: 14, m: [1, 3, 5, 5, 31] },
  { degree: 6, a: 1, m: [1, 3, 3, 9, 7, 49] },
  { degree: 6, a: 13, m: [1, 1, 1, 15, 21, 21] },
  { degree: 6, a: 16, m: [1, 3, 1, 13, 27, 49] },
];

/** Dimensions the direction numbers cover. */
export const SOBOL_DIMENSIONS: number = JOE_KUO.length + 1;

const BITS = 32;

/** Direction numbers of a dimension as integers: v_k = m_k·2^(32 − k). */
function directions(dimension: number): number[] {
  const row = JOE_KUO[dimension - 1];
  if (row === undefined) return Array.from({ length: BITS }, (_, k) => (1 << (BITS - 1 - k)) >>> 0);
  const { degree, a, m } = row;
  const v = m.map((odd, k) => (odd << (BITS - 1 - k)) >>> 0);
  for (let k = degree; k < BITS; k += 1) {
    const back = v[k - degree] ?? 0;
    let next = back ^ (back >>> degree);
    for (let j = 1; j < degree; j += 1) if (((a >>> (degree - 1 - j)) & 1) === 1) next ^= v[k - j] ?? 0;
    v.push(next >>> 0);
  }
  return v;
}

const DIRECTIONS = Array.from({ length: SOBOL_DIMENSIONS }, (_, dimension) => directions(dimension));

/**
 * A point of the Sobol sequence in the unit cube, unscrambled, in Gray-code order; point 0 is the origin.
 *
 * Source: P. Bratley, B. L. Fox, "Algorithm 659", ACM Trans. Math. Softw. 14 (1988) 88–100; I. A. Antonov, V. M. Saleev
 * (1979) for the order.
 *
 * @param index - 0 … 2³¹ − 1
 * @param dimensions - 1 … {@link SOBOL_DIMENSIONS}
 */
export function sobolPoint(index: number, dimensions: number): number[] {
  const gray = index ^ (index >>> 1);
  return DIRECTIONS.slice(0, dimensions).map((v) => {
    let bits = 0;
    for (let k = 0; gray >>> k > 0; k += 1) if (((gray >>> k) & 1) === 1) bits ^= v[k] ?? 0;
    return (bits >>> 0) / 2 ** BITS;
  });
}
