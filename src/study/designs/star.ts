/** Star points in coded values: each factor in turn at −distance and +distance, the others at 0. */
export function starRows(factors: number, distance: number): number[][] {
  return Array.from({ length: factors }, (_, k) =>
    [-distance, distance].map((x) => Array.from({ length: factors }, (_other, j) => (j === k ? x : 0))),
  ).flat();
}

/** All corners of −1 and +1, the first factor changing fastest (standard order). */
export function cornerRows(factors: number): number[][] {
  return Array.from({ length: 2 ** factors }, (_, run) =>
    Array.from({ length: factors }, (_other, k) => (Math.floor(run / 2 ** k) % 2 === 0 ? -1 : 1)),
  );
}
