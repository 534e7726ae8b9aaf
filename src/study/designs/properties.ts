import { unitRow } from "./coding.ts";
import { dEfficiency } from "./efficiency.ts";
import type { DesignFactor, DesignPoint, DesignProperty } from "./family.ts";
import { mainContrasts } from "./model-rows.ts";
import type { DesignModel } from "./request.ts";
import { centredDiscrepancy, smallestDistance } from "./spread.ts";

/** Above this many runs no figure is worked out that compares every pair of them. */
const PAIRED_RUNS = 4000;

/** Above this many runs times the square of the factors no model is fitted to a design for its efficiency. */
const FITTED = 2e6;

/** A figure and its name, six digits shown. */
export function figureProperty(name: string, figure: number): DesignProperty {
  return { name, value: String(Number(figure.toPrecision(6))), figure };
}

/** Something said in words. */
export function wordProperty(name: string, value: string): DesignProperty {
  return { name, value };
}

/** Runs and factors. */
export function counts(points: readonly DesignPoint[], factors: readonly DesignFactor[]): DesignProperty[] {
  return [figureProperty("runs", points.length), figureProperty("factors", factors.length)];
}

/** D-efficiency for the model a design is meant for. */
export function modelFit(
  points: readonly DesignPoint[],
  factors: readonly DesignFactor[],
  model: DesignModel,
): DesignProperty {
  if (points.length * factors.length ** 2 > FITTED)
    return wordProperty(`D-efficiency, ${MODEL_WORDS[model]}`, "not worked out");
  const figure = dEfficiency(points, factors, model);
  const name = `D-efficiency, ${MODEL_WORDS[model]}`;
  return figure > 0 ? figureProperty(name, figure) : { name, value: "0: the model cannot be estimated", figure };
}

/** Models in words. */
export const MODEL_WORDS: Readonly<Record<DesignModel, string>> = {
  linear: "main effects",
  interactions: "main effects and two-factor interactions",
  squares: "main effects and squares",
  quadratic: "full quadratic model",
};

/** How evenly points fill the unit cube. */
export function fill(points: readonly DesignPoint[], factors: readonly DesignFactor[]): DesignProperty[] {
  if (points.length > PAIRED_RUNS) return [];
  const units = points.map((point) => unitRow(factors, point));
  return [
    figureProperty("centred L2 discrepancy, squared", centredDiscrepancy(units)),
    ...(points.length > 1 ? [figureProperty("smallest distance in the unit cube", smallestDistance(units))] : []),
  ];
}

/** Largest correlation, without its sign, between columns of two factors: 0 where main effects do not disturb each other. */
export function largestCorrelation(points: readonly DesignPoint[], factors: readonly DesignFactor[]): DesignProperty {
  const columns = factors.map((factor, k) => normedColumns(points, factor, k));
  let largest = 0;
  columns.forEach((own, a) => {
    for (const other of columns.slice(a + 1).flat()) {
      for (const column of own) largest = Math.max(largest, Math.abs(dot(column, other)));
    }
  });
  return figureProperty("largest correlation between factors", largest < 1e-12 ? 0 : largest);
}

/** Columns of a factor, mean 0 and length 1; those that do not vary are left out. */
function normedColumns(points: readonly DesignPoint[], factor: DesignFactor, k: number): Float64Array[] {
  const rows = points.map((point) => point[k] ?? 0).map(mainContrasts(factor));
  return (rows[0] ?? []).flatMap((_, j) => {
    const column = Float64Array.from(rows, (row) => row[j] ?? 0);
    const mean = column.reduce((sum, x) => sum + x, 0) / column.length;
    const centred = column.map((x) => x - mean);
    const length = Math.sqrt(dot(centred, centred));
    return length < 1e-9 * Math.sqrt(column.length) ? [] : [centred.map((x) => x / length)];
  });
}

function dot(x: Float64Array, y: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < x.length; k += 1) sum += (x[k] ?? 0) * (y[k] ?? 0);
  return sum;
}
