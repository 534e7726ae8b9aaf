import { type FoundOrder, fits, isLooser, type Point, totalOf } from "./point.ts";

/**
 * Points told of each other, where some were stopped: an order found under a tighter cap stands under a looser one, and what
 * is proved of a looser cap is true of a tighter one.
 */
export function settled(points: readonly Point[]): Point[] {
  return points.map((point) => (isOpen(point) ? informed(point, points) : point));
}

function isOpen({ status }: Point): boolean {
  return status === "feasible" || status === "unknown";
}

function informed({ caps }: Point, points: readonly Point[]): Point {
  const looser = points.filter((other) => isLooser(other.caps, caps));
  const bound = Math.max(...looser.map(floorOf));
  const order = cheapest(
    points.flatMap(({ order: found }) => (found !== undefined && fits(found, caps) ? [found] : [])),
  );
  if (order === undefined) return { caps, status: "unknown", bound };
  const total = order.evaluated.money.total;
  return { caps, status: total <= bound ? "optimal" : "feasible", bound: Math.min(bound, total), order };
}

/** What no order under a point's caps is cheaper than [cent]. */
function floorOf(point: Point): number {
  return point.status === "optimal" ? totalOf(point) : point.bound;
}

function cheapest(orders: readonly FoundOrder[]): FoundOrder | undefined {
  return orders.toSorted((one, other) => one.evaluated.money.total - other.evaluated.money.total)[0];
}
