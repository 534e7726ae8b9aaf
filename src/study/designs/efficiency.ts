import { inverse, Matrix, QrDecomposition } from "ml-matrix";
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
function information(rows: number[][]): Matrix {
  const x = new Matrix(rows);
  return x.transpose().mmul(x).div(rows.length);
}

/** A column that the others give but for this share of its length is one of them. */
const SINGULAR = 1e-9;

/**
 * D-efficiency |X'X|^(1/p)/N; 0 where the model cannot be estimated.
 *
 * |X'X| = Π r_ii², X = QR
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, section 5.5.2.1.
 */
export function dEfficiency(
  points: readonly DesignPoint[],
  factors: readonly DesignFactor[],
  model: DesignModel,
): number {
  const x = new Matrix(points.map(modelRow(factors, model)));
  if (x.rows < x.columns) return 0;
  const lengths = Array.from({ length: x.columns }, (_, k) => x.getColumnVector(k).norm("frobenius"));
  const rest = new QrDecomposition(x).upperTriangularMatrix.diagonal();
  if (rest.some((r, k) => Math.abs(r) <= SINGULAR * (lengths[k] ?? 0))) return 0;
  const root = Math.sqrt(x.rows);
  return rest.reduce((product, r) => product * Math.abs(r / root), 1) ** (2 / x.columns);
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
