import { InternalFault } from "../../faults/fault.ts";
import { type Factor, uncoded } from "./factor.ts";
import type { Fit } from "./fit-model.ts";
import type { Absent } from "./remark.ts";
import { termOf } from "./term.ts";

/** A numeric factor of a surface. */
export type Axis = Exclude<Factor, { kind: "categorical" }>;

/** y = constant + Σ slopes·x + xᵀ·bends·x over coded factors, levels of categorical ones taken at their mean. */
export interface Surface {
  readonly axes: readonly Axis[];
  readonly constant: number;
  readonly slopes: readonly number[];
  /** Symmetric: squares on the diagonal, half of each product beside it. */
  readonly bends: readonly (readonly number[])[];
}

/**
 * The second-order surface that a fit holds over its numeric factors.
 *
 * Source: R. H. Myers, D. C. Montgomery, C. M. Anderson-Cook, Response Surface Methodology, 3rd ed., chapter 6.
 */
export function surfaceOf(fit: Fit): Surface | Absent {
  const axes = axesOf(fit);
  if (slopesDiffer(fit, axes)) return { absent: "slopes-differ" };
  const value = valuesOf(fit);
  const names = axes.flatMap(({ id }, k) => axes.slice(k).map((other) => termOf([id, other.id]).name));
  if (axes.length === 0 || names.some((name) => value(name) === undefined)) return { absent: "terms-missing" };
  return {
    axes,
    constant: value(termOf([]).name) ?? 0,
    slopes: axes.map(({ id }) => value(id) ?? 0),
    bends: axes.map(({ id }, i) => {
      return axes.map((other, j) => {
        const pair = i <= j ? [id, other.id] : [other.id, id];
        return (value(termOf(pair).name) ?? 0) / (i === j ? 1 : 2);
      });
    }),
  };
}

/** Slopes of the numeric factors of a fit at their centre, for paths of steepest change. */
export function slopesOf(fit: Fit): Pick<Surface, "axes" | "slopes"> | Absent {
  const axes = axesOf(fit);
  if (slopesDiffer(fit, axes)) return { absent: "slopes-differ" };
  const value = valuesOf(fit);
  return { axes, slopes: axes.map(({ id }) => value(id) ?? 0) };
}

/** Numeric factors that any term of the fit names. */
function axesOf(fit: Fit): Axis[] {
  const named = new Set(fit.anova.terms.flatMap(({ term }) => term.of));
  return fit.factors.flatMap((factor) => (factor.kind !== "categorical" && named.has(factor.id) ? [factor] : []));
}

function slopesDiffer(fit: Fit, axes: readonly Axis[]): boolean {
  const isAxis = (id: string): boolean => axes.some((axis) => axis.id === id);
  return fit.coefficients.some(({ term }) => term.of.some(isAxis) && !term.of.every(isAxis));
}

/** Coefficient by the factors it multiplies, whichever is named first. */
function valuesOf(fit: Fit): (name: string) => number | undefined {
  const order = fit.factors.map(({ id }) => id);
  const byPlace = (ids: readonly string[]): string[] => ids.toSorted((a, b) => order.indexOf(a) - order.indexOf(b));
  const values = new Map(fit.coefficients.map(({ term, value }) => [termOf(byPlace(term.of)).name, value]));
  return (name) => values.get(name);
}

/** The surface's value at a coded point. */
export function heightAt({ constant, slopes, bends }: Surface, point: readonly number[]): number {
  if (point.length !== slopes.length) throw new InternalFault(`${point.length} coordinates of ${slopes.length}`);
  return point.reduce((sum, x, i) => {
    const bend = point.reduce((all, other, j) => all + (bends[i]?.[j] ?? 0) * other, 0);
    return sum + x * ((slopes[i] ?? 0) + bend);
  }, constant);
}

/** A coded point in the factors' own scales. */
export function natural(axes: readonly Axis[], point: readonly number[]): number[] {
  return axes.map((axis, k) => uncoded(axis, point[k] ?? 0));
}
