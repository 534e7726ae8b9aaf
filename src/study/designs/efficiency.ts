import { determinant, inverse, Matrix } from "ml-matrix";
import type { DesignFactor, DesignPoint } from "./family.ts";
import { modelRow } from "./model-rows.ts";
import type { DesignModel } from "./request.ts";

/** How much the runs of a design tell of a model's coefficients; 1 is an orthogonal design on the corners. */
export interface Efficiencies {
  /** |X'X/N|^(1/p) */
  readonly d: number;
  /** p / trace((X'X/N)⁻¹) */
  readonly a: number;
  /** p / largest x'(X'X/N)⁻¹x over the points asked about */
  readonly g: number;
}

/** X'X/N of a model matrix. */
export function information(rows: readonly number[][]): Matrix {
  const x = new Matrix(rows.map((row) => [...row]));
  return x.transpose().mmul(x).div(rows.length);
}

/**
 * D-efficiency |X'X|^(1/p)/N; 0 where the model cannot be estimated.
 *
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, section 5.5.2.1.
 */
export function dEfficiency(
  points: readonly DesignPoint[],
  factors: readonly DesignFactor[],
  model: DesignModel,
): number {
  const rows = points.map(modelRow(factors, model));
  const count = rows[0]?.length ?? 0;
  if (rows.length < count) return 0;
  const det = determinant(information(rows));
  // What is left of a singular matrix by rounding is nothing.
  return det > 1e-12 ** count ? det ** (1 / count) : 0;
}

/**
 * D-, A- and G-efficiency; the last over the points given and those asked about.
 *
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, section 5.5.2.1.
 */
export function efficiencies(
  points: readonly DesignPoint[],
  { factors, model, asked }: { factors: readonly DesignFactor[]; model: DesignModel; asked: readonly DesignPoint[] },
): Efficiencies {
  const d = dEfficiency(points, factors, model);
  if (d === 0) return { d, a: 0, g: 0 };
  const expand = modelRow(factors, model);
  const spread = inverse(information(points.map(expand)));
  const count = spread.rows;
  const variances = [...points, ...asked].map((point) => {
    const row = Matrix.rowVector(expand(point));
    return row.mmul(spread).mmul(row.transpose()).get(0, 0);
  });
  const largest = variances.reduce((most, x) => Math.max(most, x), 0);
  return { d, a: count / spread.trace(), g: count / largest };
}
