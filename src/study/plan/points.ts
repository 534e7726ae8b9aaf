import { splitQuantity } from "../../units/read-quantity.ts";
import type { DesignFactor, DesignPoint } from "../designs/design.ts";
import { type Factor, type Level, levelAt, numberLevel, rounded } from "./factor.ts";
import { valueAt, withValue } from "./places.ts";
import type { Constraint, Study } from "./study.ts";

/** One solve of a study: a point of the design, under one run of the noise design where there is noise. */
export interface StudyRun {
  /** Counted from 0, in the order of the study. */
  readonly index: number;
  /** Of the point in the design, and of the noise run. */
  readonly point: number;
  readonly noise: number;
  readonly levels: readonly Level[];
  readonly noiseLevels: readonly Level[];
}

/** What a design must know of the factors. */
export function designFactors(factors: readonly Factor[]): readonly DesignFactor[] {
  return factors.map(({ id, scale }) =>
    scale.kind === "range"
      ? { id, isCategorical: false }
      : { id, isCategorical: scale.isCategorical, levels: scale.levels.length },
  );
}

/** Whether a point of the design keeps to every constraint. */
export function keepsTo({ constraints, factors }: Pick<Study, "constraints" | "factors">, point: DesignPoint): boolean {
  const numbers = factors.map((factor, index) => levelAt(factor, point[index] ?? 0).number ?? 0);
  return constraints.every((constraint) => sumOf(constraint, numbers) <= constraint.atMost * (1 + SLACK) + SLACK);
}

/** Room for rounding in sums of factor values. */
const SLACK = 1e-12;

function sumOf({ terms }: Constraint, numbers: readonly number[]): number {
  return terms.reduce((sum, { factor, weight }) => sum + weight * (numbers[factor] ?? 0), 0);
}

/** Every run of a study: each point under each run of the noise design. */
export function studyRuns(
  { factors, noise }: Pick<Study, "factors" | "noise">,
  points: readonly DesignPoint[],
  noisePoints: readonly DesignPoint[],
): readonly StudyRun[] {
  const around = noisePoints.length === 0 ? [[]] : noisePoints;
  return points.flatMap((point, at) =>
    around.map((noisePoint, noiseAt) => ({
      index: at * around.length + noiseAt,
      point: at,
      noise: noiseAt,
      levels: factors.map((factor, index) => levelAt(factor, point[index] ?? 0)),
      noiseLevels: noise.map((factor, index) => levelAt(factor, noisePoint[index] ?? 0)),
    })),
  );
}

/** The problem of a run: factors first, then noise, each in the order of the study. */
export function problemOf({ problem, factors, noise }: Study, { levels, noiseLevels }: StudyRun): unknown {
  const all = [...levels, ...noiseLevels];
  return [...factors, ...noise].reduce<unknown>((content, factor, index) => {
    const level = all[index];
    return level === undefined ? content : applied(content, factor, level);
  }, problem.content);
}

/** The problem with one factor at one of its values. */
export function applied(content: unknown, { places, apply }: Factor, { json, number }: Level): unknown {
  return places.reduce<unknown>((document, path) => {
    const value = apply === "set" ? json : product(valueAt(document, path), number ?? 1);
    return withValue(document, path, value);
  }, content);
}

function product(value: unknown, by: number): unknown {
  if (typeof value === "number") return rounded(value * by);
  const split = typeof value === "string" ? splitQuantity(value) : undefined;
  return split === undefined ? value : numberLevel(rounded(split.number * by), split.unit).json;
}
