/**
 * Centred L2 discrepancy, squared, of points in the unit cube: how far their counts in boxes are from the volumes.
 *
 * CD² = (13/12)^d − 2/n · Σᵢ Πₖ (1 + |zᵢₖ|/2 − zᵢₖ²/2) + 1/n² · Σᵢⱼ Πₖ (1 + |zᵢₖ|/2 + |zⱼₖ|/2 − |xᵢₖ − xⱼₖ|/2), z = x − ½
 * Source: F. J. Hickernell, "A generalized discrepancy and quadrature error bound", Math. Comp. 67 (1998) 299–322.
 */
export function centredDiscrepancy(points: readonly (readonly number[])[]): number {
  const count = points.length;
  const dimensions = points[0]?.length ?? 0;
  let single = 0;
  let double = 0;
  for (const [i, x] of points.entries()) {
    single += x.reduce((all, u) => all * (1 + Math.abs(u - 0.5) / 2 - (u - 0.5) ** 2 / 2), 1);
    for (const y of points.slice(i + 1)) double += 2 * kernel(x, y);
    double += kernel(x, x);
  }
  return (13 / 12) ** dimensions - (2 / count) * single + double / count ** 2;
}

function kernel(x: readonly number[], y: readonly number[]): number {
  let product = 1;
  for (let k = 0; k < x.length; k += 1) {
    const a = x[k] ?? 0;
    const b = y[k] ?? 0;
    product *= 1 + Math.abs(a - 0.5) / 2 + Math.abs(b - 0.5) / 2 - Math.abs(a - b) / 2;
  }
  return product;
}

/** Smallest distance between two points; Infinity where there are fewer than two. */
export function smallestDistance(points: readonly (readonly number[])[]): number {
  let least = Number.POSITIVE_INFINITY;
  for (const [i, x] of points.entries()) {
    for (let j = i + 1; j < points.length; j += 1) least = Math.min(least, squaredDistance(x, points[j] ?? []));
  }
  return Math.sqrt(least);
}

/** Square of the distance of two points. */
function squaredDistance(x: readonly number[], y: readonly number[]): number {
  let sum = 0;
  for (let k = 0; k < x.length; k += 1) {
    const gap = (x[k] ?? 0) - (y[k] ?? 0);
    sum += gap * gap;
  }
  return sum;
}
