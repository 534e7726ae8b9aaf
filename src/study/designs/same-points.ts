import type { Design, DesignPoint } from "./family.ts";

/** Whether a design's points begin with those given. */
export function startsWith({ points }: Design, start: readonly DesignPoint[]): boolean {
  return start.length <= points.length && start.every((point, i) => isSamePoint(point, points[i] ?? []));
}

/** Whether two points are one. */
function isSamePoint(a: DesignPoint, b: DesignPoint): boolean {
  return a.length === b.length && a.every((x, k) => x === b[k]);
}
