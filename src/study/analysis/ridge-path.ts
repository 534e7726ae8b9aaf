import { bendsOf } from "./canonical.ts";
import type { Absent } from "./remark.ts";
import { type Axis, heightAt, natural, type Surface } from "./second-order.ts";

/** Best point at a distance from the centre. */
export interface PathPoint {
  /** From the centre, in coded units. */
  readonly radius: number;
  readonly coded: readonly number[];
  /** In the factors' own scales. */
  readonly natural: readonly number[];
}

/** What is better: less, or more. */
export type Wish = "lower" | "raise";

/**
 * The path of steepest change from the centre of a first-order model.
 *
 * Source: G. E. P. Box, K. B. Wilson, J. Roy. Stat. Soc. B 13 (1951) 1.
 *
 * @param radii - distances from the centre, in coded units
 */
export function steepestPath(
  { axes, slopes }: { readonly axes: readonly Axis[]; readonly slopes: readonly number[] },
  wish: Wish,
  radii: readonly number[],
): PathPoint[] | Absent {
  const length = Math.hypot(...slopes);
  if (length === 0) return { absent: "no-slope" };
  const sign = wish === "raise" ? 1 : -1;
  return radii.map((radius) => {
    const coded = slopes.map((slope) => (sign * radius * slope) / length);
    return { radius, coded, natural: natural(axes, coded) };
  });
}

/** A point of a ridge path. */
export interface RidgePoint extends PathPoint {
  readonly height: number;
}

/**
 * Ridge analysis: the best point of a second-order surface at each distance from the centre.
 *
 * (μ·I − B)·x = b/2 with μ above the largest bend gives the highest point at |x| = radius; μ from bisection
 * Source: N. R. Draper, "Ridge analysis of response surfaces", Technometrics 5 (1963) 469; the case without a slope
 * along the largest bend: J. J. Moré, D. C. Sorensen, SIAM J. Sci. Stat. Comput. 4 (1983) 553.
 *
 * @param radii - distances from the centre, in coded units
 */
export function ridgePath(surface: Surface, wish: Wish, radii: readonly number[]): RidgePoint[] {
  const upward = wish === "raise" ? surface : turned(surface);
  const { values, vectors } = bendsOf(upward);
  const along = vectors.map((vector) => vector.reduce((sum, x, i) => sum + x * (upward.slopes[i] ?? 0), 0) / 2);
  return radii.map((radius) => {
    const steps = highest({ values, along, radius });
    const coded = surface.axes.map((_, i) =>
      vectors.reduce((sum, vector, k) => sum + (steps[k] ?? 0) * (vector[i] ?? 0), 0),
    );
    return { radius, coded, natural: natural(surface.axes, coded), height: heightAt(surface, coded) };
  });
}

function turned(surface: Surface): Surface {
  return {
    axes: surface.axes,
    constant: -surface.constant,
    slopes: surface.slopes.map((slope) => -slope),
    bends: surface.bends.map((row) => row.map((bend) => -bend)),
  };
}

interface Sphere {
  /** Bends, largest first. */
  readonly values: readonly number[];
  /** Half the slope along each bend's direction. */
  readonly along: readonly number[];
  readonly radius: number;
}

/** Steps along the bends' directions to the highest point of the sphere. */
function highest(sphere: Sphere): number[] {
  const { values, radius } = sphere;
  if (radius === 0) return values.map(() => 0);
  const [first = 0, ...others] = stepsAt(sphere, multiplierAbove(sphere));
  const room = radius * radius - others.reduce((sum, x) => sum + x * x, 0);
  // Without a slope along the largest bend the first step comes out too short: either way along it is as high.
  const isShort = room - first * first > 1e-9 * radius * radius;
  return [isShort ? Math.sqrt(room) * (first < 0 ? -1 : 1) : first, ...others];
}

/** How far μ lies above the largest bend: |x| falls as it rises, and at half the slope over the radius it is short enough. */
function multiplierAbove(sphere: Sphere): number {
  let [low, high] = [0, Math.hypot(...sphere.along) / sphere.radius];
  for (;;) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) return high;
    if (Math.hypot(...stepsAt(sphere, middle)) > sphere.radius) low = middle;
    else high = middle;
  }
}

function stepsAt({ values, along }: Sphere, above: number): number[] {
  const top = values[0] ?? 0;
  return values.map((value, k) => {
    const slope = along[k] ?? 0;
    const distance = top - value + above;
    return slope === 0 || distance === 0 ? 0 : slope / distance;
  });
}
