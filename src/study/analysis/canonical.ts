import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import type { Absent, Remark } from "./remark.ts";
import { heightAt, natural, type Surface } from "./second-order.ts";

/** Where a surface is level, and how it bends around. */
export interface Canonical {
  /** Largest bend first. */
  readonly eigenvalues: readonly number[];
  /** Unit vectors of coded factors, one for each eigenvalue. */
  readonly eigenvectors: readonly (readonly number[])[];
  /** A ridge bends in some directions much less than in others: what is nearly flat decides nothing. */
  readonly kind: "minimum" | "maximum" | "saddle" | "ridge";
  /** Of the directions that are not nearly flat: what the surface is across the ridge; without a ridge, `kind`. */
  readonly across: "minimum" | "maximum" | "saddle" | "flat";
  /** Number of nearly flat directions. */
  readonly flat: number;
  /** The level point of the whole surface, coded. */
  readonly stationary: StationaryPoint | Absent;
  /** The level point nearest to the centre when nearly flat directions count as flat. */
  readonly onRidge: StationaryPoint;
  readonly remarks: readonly Remark[];
}

/** A point at which the surface is level. */
export interface StationaryPoint {
  readonly coded: readonly number[];
  /** In the factors' own scales. */
  readonly natural: readonly number[];
  readonly height: number;
  /** No factor lies outside −1…1. */
  readonly isInside: boolean;
  /** From the centre, in coded units. */
  readonly distance: number;
}

/** Bends below this share of the largest are nearly flat. */
const NEARLY_FLAT = 0.1;

/** Bends below this share of the largest are zero but for rounding. */
const FLAT = 1e-12;

/**
 * Canonical analysis of a second-order surface.
 *
 * x_s = −½·B⁻¹·b; bends are the eigenvalues of B
 * Source: G. E. P. Box, K. B. Wilson, J. Roy. Stat. Soc. B 13 (1951) 1; threshold for ridges: R. V. Lenth, J. Stat.
 * Software 32 (2009) 7.
 */
export function canonicalOf(surface: Surface, nearlyFlat: number = NEARLY_FLAT): Canonical {
  const { values, vectors } = bendsOf(surface);
  const largest = Math.max(...values.map(Math.abs));
  const isSteep = (value: number): boolean => Math.abs(value) > nearlyFlat * largest;
  const steep = values.filter(isSteep);
  const across = kindOf(steep);
  const flat = values.length - steep.length;
  const isSingular = largest === 0 || values.some((value) => Math.abs(value) <= FLAT * largest);
  const level = (keep: (value: number) => boolean): StationaryPoint => {
    return pointOn(surface, levelPoint(surface, { values, vectors, keep }));
  };
  return {
    eigenvalues: values,
    eigenvectors: vectors,
    kind: flat > 0 || across === "flat" ? "ridge" : across,
    across,
    flat,
    stationary: isSingular ? { absent: "singular" } : level(() => true),
    onRidge: level(isSteep),
    remarks: flat > 0 ? [{ kind: "near-ridge", directions: flat }] : [],
  };
}

/** Eigenvalues, largest first, and unit eigenvectors of a surface's bends. */
export function bendsOf({ bends }: Surface): {
  readonly values: readonly number[];
  readonly vectors: readonly (readonly number[])[];
} {
  const found = new EigenvalueDecomposition(new Matrix(bends.map((row) => [...row])), { assumeSymmetric: true });
  const columns = found.eigenvectorMatrix.transpose().to2DArray();
  const pairs = found.realEigenvalues
    .map((value, k) => ({ value, vector: facing(columns[k] ?? []) }))
    .toSorted((a, b) => b.value - a.value);
  return { values: pairs.map(({ value }) => value), vectors: pairs.map(({ vector }) => vector) };
}

/** Of the two unit vectors the one whose largest coordinate is positive, so that equal input has one answer. */
function facing(vector: readonly number[]): number[] {
  const largest = vector.reduce((most, x) => (Math.abs(x) > Math.abs(most) + 1e-12 ? x : most), 0);
  return vector.map((x) => (largest < 0 ? -x : x));
}

function kindOf(values: readonly number[]): Canonical["across"] {
  if (values.length === 0) return "flat";
  if (values.every((value) => value > 0)) return "minimum";
  return values.every((value) => value < 0) ? "maximum" : "saddle";
}

interface Directions {
  readonly values: readonly number[];
  readonly vectors: readonly (readonly number[])[];
  readonly keep: (value: number) => boolean;
}

/** −½·Σ v·(vᵀ·b)/λ over the directions that count. */
function levelPoint({ slopes }: Surface, { values, vectors, keep }: Directions): number[] {
  const point = slopes.map(() => 0);
  values.forEach((value, k) => {
    if (!keep(value)) return;
    const vector = vectors[k] ?? [];
    const along = -vector.reduce((sum, x, i) => sum + x * (slopes[i] ?? 0), 0) / (2 * value);
    vector.forEach((x, i) => {
      point[i]! += along * x;
    });
  });
  return point;
}

function pointOn(surface: Surface, coded: readonly number[]): StationaryPoint {
  return {
    coded,
    natural: natural(surface.axes, coded),
    height: heightAt(surface, coded),
    isInside: coded.every((x) => Math.abs(x) <= 1),
    distance: Math.hypot(...coded),
  };
}
