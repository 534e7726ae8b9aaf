import type { FrontierKind } from "../machine/frontier.ts";
import { type Ask, isOver, type SweepContext } from "./asking.ts";
import { type CountCaps, countOf, fewestOf, type Point } from "./point.ts";

/** Points of a sweep, and whether it came to its end. */
export interface Swept {
  readonly points: readonly Point[];
  /** false: stopped before the fewest was reached. */
  readonly isWhole: boolean;
}

/**
 * The cheapest orders under an ever tighter cap on one kind, from the order without that cap downward.
 *
 * After an order that holds k of the kind comes the cap k − 1: no tighter order is missed between the two, since the order
 * is that of every cap down to k. The sweep ends where there is no order any more, or none with fewer.
 */
export async function sweptDown(
  context: SweepContext,
  ask: Ask,
  { kind, fixed }: { kind: FrontierKind; fixed: CountCaps },
): Promise<Swept> {
  const points: Point[] = [];
  for (let caps: CountCaps | undefined = fixed; caps !== undefined; ) {
    const point: Point = await ask(caps);
    points.push(point);
    const next = capBelow(point, kind);
    if (next === undefined) return { points, isWhole: true };
    if (isOver(context)) return { points, isWhole: false };
    caps = { ...fixed, [kind]: next };
  }
  return { points, isWhole: true };
}

/** The next cap worth asking for; undefined where fewer cannot be. */
function capBelow({ status, order, caps }: Point, kind: FrontierKind): number | undefined {
  if (status === "infeasible") return undefined;
  const held = order === undefined ? caps[kind] : countOf(order, kind);
  // Nothing was found, and there is no count to go down from.
  if (held === undefined) return undefined;
  return held <= fewestOf(kind) ? undefined : held - 1;
}

/**
 * Every pair of caps on two kinds, row by row: first without a cap on the first kind, then down from the most that any of
 * these orders holds of it; each row is swept by the second kind.
 */
export async function sweptGrid(
  context: SweepContext,
  ask: Ask,
  { by, and }: { by: FrontierKind; and: FrontierKind },
): Promise<Swept> {
  const free = await sweptDown(context, ask, { kind: and, fixed: {} });
  const points = [...free.points];
  let isWhole = free.isWhole;
  let row = (mostOf(points, by) ?? 0) - 1;
  while (row >= fewestOf(by)) {
    if (isOver(context)) return { points, isWhole: false };
    const own = await sweptDown(context, ask, { kind: and, fixed: { [by]: row } });
    points.push(...own.points);
    isWhole &&= own.isWhole;
    // Fewer than too few is too few, too.
    if (own.points[0]?.status === "infeasible") break;
    row = Math.min(row, mostOf(own.points, by) ?? row) - 1;
  }
  return { points, isWhole };
}

/** Most of a kind that the orders hold; undefined without any. */
function mostOf(points: readonly Point[], kind: FrontierKind): number | undefined {
  const held = points.flatMap(({ order }) => (order === undefined ? [] : [countOf(order, kind)]));
  return held.length === 0 ? undefined : Math.max(...held);
}
