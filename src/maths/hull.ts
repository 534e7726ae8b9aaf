/** A point of the plane. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

function turn(a: Point, b: Point, c: Point): number {
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

/**
 * Convex hull, counter-clockwise, without collinear points.
 *
 * Source: A. M. Andrew, "Another efficient algorithm for convex hulls in two dimensions", Inf. Proc. Letters 9 (1979) 216.
 */
export function convexHull(points: readonly Point[]): Point[] {
  const sorted = points.toSorted((a, b) => a.x - b.x || a.y - b.y);
  if (sorted.length < 3) return sorted;
  const lower = chain(sorted);
  const upper = chain(sorted.toReversed());
  return [...lower.slice(0, -1), ...upper.slice(0, -1)];
}

function chain(sorted: readonly Point[]): Point[] {
  const kept: Point[] = [];
  for (const point of sorted) {
    while (kept.length > 1 && turn(kept.at(-2) ?? point, kept.at(-1) ?? point, point) <= 0) kept.pop();
    kept.push(point);
  }
  return kept;
}

/**
 * Hull with the vertices dropped that stand out by less than a share of its extent: an inner polygon.
 * Used to judge fast; whatever comes near a limit is judged by the exact signal.
 *
 * @param share - of the hull's extent, in x and in y
 */
export function coarseHull(points: readonly Point[], share: number): Point[] {
  let hull = convexHull(points);
  const scale = { x: 1 / extent(hull.map(({ x }) => x)), y: 1 / extent(hull.map(({ y }) => y)) };
  for (let before = hull.length + 1; hull.length < before && hull.length > 4; ) {
    before = hull.length;
    hull = dropFlat(hull, share, scale);
  }
  return hull;
}

function extent(values: readonly number[]): number {
  return Math.max(Math.max(...values) - Math.min(...values), 1e-300);
}

/** One pass: drops every second vertex at most, round the end too, so that dropped ones stay near a kept one. */
function dropFlat(hull: readonly Point[], share: number, scale: Point): Point[] {
  const kept: Point[] = [];
  let justDropped = true;
  hull.forEach((point, k) => {
    const before = hull[(k + hull.length - 1) % hull.length] ?? point;
    const after = hull[(k + 1) % hull.length] ?? point;
    justDropped = !justDropped && standsOut(point, { before, after, scale }) < share;
    if (!justDropped) kept.push(point);
  });
  return kept;
}

/** Distance of a vertex from the side that would replace it: a flat angle's height, but a tip's whole length. */
function standsOut(point: Point, { before, after, scale }: { before: Point; after: Point; scale: Point }): number {
  const [sideX, sideY] = [(after.x - before.x) * scale.x, (after.y - before.y) * scale.y];
  const [x, y] = [(point.x - before.x) * scale.x, (point.y - before.y) * scale.y];
  const along = (x * sideX + y * sideY) / (sideX * sideX + sideY * sideY);
  const foot = Math.min(1, Math.max(0, along));
  return Math.hypot(x - foot * sideX, y - foot * sideY);
}
