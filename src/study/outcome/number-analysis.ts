import { type Canonical, canonicalOf } from "../analysis/canonical.ts";
import type { Factor as AnalysisFactor } from "../analysis/factor.ts";
import { type Fit, fitModel } from "../analysis/fit-model.ts";
import { type HalfNormalPoint, halfNormalPoints } from "../analysis/half-normal.ts";
import { type Lenth, lenth } from "../analysis/lenth.ts";
import { type LevelMean, levelMeans, levelsAt } from "../analysis/level-means.ts";
import type { Absent } from "../analysis/remark.ts";
import { type Surface, surfaceOf } from "../analysis/second-order.ts";
import { type SobolIndices, sobolIndices } from "../analysis/sobol-indices.ts";
import { type ModelOrder, termsOf } from "../analysis/term.ts";
import { type TwoLevelEffects, twoLevelEffects } from "../analysis/two-level-effects.ts";
import type { CodedRuns } from "./coded-runs.ts";

/** What the runs say of a numeric response. */
export interface NumberAnalysis {
  /** Mean at each level, of factors with few levels. */
  readonly means: readonly FactorMeans[];
  /** Of designs in which each factor has two levels; null otherwise. */
  readonly effects:
    | (TwoLevelEffects & { readonly lenth: Lenth | Absent; readonly halfNormal: readonly HalfNormalPoint[] })
    | null;
  /** null: as Sobol indices are asked for, no model is. */
  readonly model: (Fit & { readonly order: ModelOrder; readonly surface: SurfaceAnalysis | Absent }) | null;
  /** Of sensitivity designs; null otherwise. */
  readonly indices: SobolIndices | null;
}

export interface FactorMeans {
  readonly factor: string;
  readonly levels: readonly LevelMean[];
}

export interface SurfaceAnalysis extends Surface {
  readonly canonical: Canonical;
}

/** What an analysis of a numeric response goes by. */
export interface NumberRequest extends CodedRuns {
  readonly response: readonly (number | null)[];
  /** Kind of the design that the points are from. */
  readonly design: string;
  /** As the study asks for; absent: what the design is made for. */
  readonly order: ModelOrder | undefined;
  readonly seed: number;
}

/** Means are shown for factors of at most so many levels. */
const MOST_LEVELS = 9;
/** Two-level effects are looked at up to products of so many factors where the design has all combinations. */
const DEEPEST = 4;

/** An effect below this share of the largest response is what rounding leaves of none. */
const ROUNDING = 1e-10;

/** Everything the runs say of a numeric response. */
export function numberAnalysis(request: NumberRequest): NumberAnalysis {
  const { factors, response, design, seed } = request;
  if (design === "sensitivity") {
    const indices = sobolIndices({ factors: factors.map(({ id }) => id), response, seed });
    return { means: [], effects: null, model: null, indices };
  }
  return { means: meansOf(request), effects: effectsOf(request), model: modelOf(request), indices: null };
}

function meansOf({ factors, runs, response }: NumberRequest): FactorMeans[] {
  return factors.flatMap(({ id }, place) => {
    const count = levelsAt(runs, place).length;
    return count > MOST_LEVELS ? [] : [{ factor: id, levels: levelMeans({ runs, response }, place) }];
  });
}

function effectsOf(request: NumberRequest): NumberAnalysis["effects"] {
  if (!hasTwoLevels(request)) return null;
  const isWhole = request.runs.length >= 2 ** request.factors.length;
  const found = twoLevelEffects({ ...request, depth: isWhole ? Math.min(DEEPEST, request.factors.length) : 2 });
  const largest = Math.max(...request.response.map((value) => Math.abs(value ?? 0)));
  const effects = found.effects.map((effect) =>
    Math.abs(effect.value) > ROUNDING * largest ? effect : { ...effect, value: 0 },
  );
  return { ...found, effects, lenth: lenth(effects), halfNormal: halfNormalPoints(effects) };
}

/** Each factor takes two values, at its ends, and no more. */
function hasTwoLevels({ factors, runs }: CodedRuns): boolean {
  return factors.every((factor, place) => {
    const levels = levelsAt(runs, place);
    return (
      levels.length === 2 && (factor.kind === "categorical" || levels.every((level) => Math.abs(Number(level)) === 1))
    );
  });
}

function modelOf(request: NumberRequest): NumberAnalysis["model"] {
  const order = request.order ?? usualOrder(request);
  const fit = fitModel({ ...request, terms: termsOf(request.factors, order) });
  const surface = surfaceOf(fit);
  return { ...fit, order, surface: "absent" in surface ? surface : { ...surface, canonical: canonicalOf(surface) } };
}

/** Designs made for main effects alone; the others are taken as far as their runs reach. */
const FIRST_ORDER: ReadonlySet<string> = new Set(["plackett-burman", "definitive-screening"]);

/** The highest order that leaves degrees of freedom for error, of designs of first order the first. */
function usualOrder({ factors, runs, design }: NumberRequest): ModelOrder {
  if (FIRST_ORDER.has(design)) return "linear";
  const distinct = new Set(runs.map((run) => JSON.stringify(run))).size;
  const orders: readonly ModelOrder[] = ["quadratic", "interactions", "linear"];
  return orders.find((order) => columnsOf(factors, order) < distinct && isReached(runs, factors, order)) ?? "linear";
}

/** Squares need a factor of three values or more. */
function isReached(runs: CodedRuns["runs"], factors: readonly AnalysisFactor[], order: ModelOrder): boolean {
  return (
    order !== "quadratic" ||
    factors.every((factor, place) => factor.kind === "categorical" || levelsAt(runs, place).length > 2)
  );
}

function columnsOf(factors: readonly AnalysisFactor[], order: ModelOrder): number {
  const width = (id: string): number => {
    const factor = factors.find((one) => one.id === id);
    return factor?.kind === "categorical" ? factor.levels.length - 1 : 1;
  };
  return termsOf(factors, order).reduce((sum, { of }) => sum + of.reduce((product, id) => product * width(id), 1), 0);
}
