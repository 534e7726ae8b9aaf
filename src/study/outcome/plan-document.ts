import type { DesignProperty } from "../designs/design.ts";
import { type Factor, numberLevel } from "../plan/factor.ts";
import type { Study } from "../plan/study.ts";
import type { PointSet, StudyDesigns } from "../plan/study-design.ts";

/** What a study sets out to run: known before anything is solved. */
export interface PlanDocument {
  readonly title: string;
  readonly seed: number;
  readonly factors: readonly FactorEntry[];
  readonly noise: readonly FactorEntry[];
  readonly design: DesignEntry;
  /** null without noise. */
  readonly noise_design: DesignEntry | null;
}

export interface FactorEntry {
  readonly id: string;
  readonly unit: string;
  /** Low and high of a range, or every level. */
  readonly values: readonly string[];
  readonly kind: "range" | "log range" | "whole numbers" | "listed" | "categorical";
  /** Number of places in the problem that it changes. */
  readonly places: number;
  readonly apply: Factor["apply"];
}

export interface DesignEntry {
  readonly kind: string;
  readonly points: number;
  readonly properties: readonly DesignProperty[];
}

/** What a study sets out to run. */
export function planDocument({ study, design, noise }: StudyDesigns & { readonly study: Study }): PlanDocument {
  return {
    title: study.title,
    seed: study.seed,
    factors: study.factors.map(factorEntry),
    noise: study.noise.map(factorEntry),
    design: designEntry(design),
    noise_design: noise === undefined ? null : designEntry(noise),
  };
}

function designEntry({ kind, points, properties }: PointSet): DesignEntry {
  return { kind, points: points.length, properties };
}

function factorEntry({ id, unit, scale, places, apply }: Factor): FactorEntry {
  const of = { id, unit, places: places.length, apply };
  if (scale.kind === "listed") {
    return {
      ...of,
      values: scale.levels.map(({ label }) => label),
      kind: scale.isCategorical ? "categorical" : "listed",
    };
  }
  const values = [scale.low, scale.high].map((end) => numberLevel(end, unit).label);
  const range = scale.isLog ? "log range" : "range";
  return { ...of, values, kind: scale.isWhole ? "whole numbers" : range };
}
