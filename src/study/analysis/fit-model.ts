import { InternalFault } from "../../faults/fault.ts";
import type { Factor, Run } from "./factor.ts";
import { type Anova, anovaOf } from "./fit-anova.ts";
import { type Coefficient, coefficientsOf, type Quality, qualityOf } from "./fit-quality.ts";
import { independentColumns } from "./independent-columns.ts";
import { leastSquares } from "./least-squares.ts";
import { type ModelColumn, modelMatrix } from "./model-matrix.ts";
import { centred, lengthOf, preciseDot, squaresAboutMean } from "./precise-sum.ts";
import type { Remark } from "./remark.ts";
import type { Solved } from "./solved.ts";
import type { Term } from "./term.ts";

/** What is to be fitted. */
export interface ModelRequest {
  readonly factors: readonly Factor[];
  readonly terms: readonly Term[];
  readonly runs: readonly Run[];
  /** One for each run; null: the run gave no value. */
  readonly response: readonly (number | null)[];
}

/** A model fitted by least squares. */
export interface Fit extends Quality {
  readonly factors: readonly Factor[];
  /** Of columns that stand for themselves; aliased ones are among the remarks. */
  readonly coefficients: readonly Coefficient[];
  readonly anova: Anova;
  /** Runs that gave a value, in their order; the lists below follow it. */
  readonly used: readonly number[];
  readonly fitted: readonly number[];
  readonly residuals: readonly number[];
  /** Share of a run's own response in its fitted value. */
  readonly leverages: readonly number[];
  readonly remarks: readonly Remark[];
}

/** A residual below this share of the response's length (root of its squares) is rounding. */
const EXACT = 2e-15;

/**
 * Fits a linear model by least squares, leaves out columns that others make up, and says so.
 *
 * Source: N. R. Draper, H. Smith, Applied Regression Analysis, 3rd ed., chapters 5, 6 and 8 (leverage, PRESS).
 */
export function fitModel(request: ModelRequest): Fit {
  const used = request.response.flatMap((value, k) => (value === null ? [] : [k]));
  const runs = used.map((k) => request.runs[k] ?? []);
  const response = used.map((k) => request.response[k] ?? 0);
  const wrong = response.find((value) => !Number.isFinite(value));
  if (wrong !== undefined) throw new InternalFault(`a response is ${wrong}`);
  const columns = modelMatrix(request.factors, request.terms, runs);
  const { kept, dependent } = independentColumns(columns.map(({ values }) => values));
  const name = (place: number): string => columns[place]?.name ?? "";
  const solved = solve(
    kept.flatMap((place) => columns[place] ?? []),
    response,
  );
  return {
    factors: request.factors,
    used,
    ...qualityOf(solved),
    coefficients: coefficientsOf(solved),
    anova: anovaOf(solved, { terms: request.terms, runs, response }),
    fitted: response.map((value, k) => value - (solved.residuals[k] ?? 0)),
    residuals: solved.residuals,
    leverages: solved.leverages,
    remarks: [
      ...lostRuns(request.response.length - used.length, request.response.length),
      ...dependent.map(({ place, of }): Remark => {
        return {
          kind: "aliased",
          column: name(place),
          of: of.map((part) => ({ column: name(part.place), share: part.share })),
        };
      }),
      ...remarksOf(solved, response),
    ],
  };
}

/** Squares are taken of the response less its mean where the model has one: large values that differ little then lose nothing. */
function solve(columns: readonly ModelColumn[], response: readonly number[]): Solved {
  const hasMean = columns.some(({ term }) => term.of.length === 0);
  const near = hasMean ? centred(response).values : response;
  const found = leastSquares(
    columns.map(({ values }) => values),
    response,
  );
  const squares = preciseDot(found.residuals, found.residuals);
  const isExact = Math.sqrt(squares) <= EXACT * lengthOf(response) || response.length === columns.length;
  const residuals = isExact ? response.map(() => 0) : found.residuals;
  const fitted = near.map((value, k) => value - (residuals[k] ?? 0));
  const squaresOf = hasMean ? squaresAboutMean : (values: readonly number[]) => preciseDot(values, values);
  return {
    columns,
    coefficients: found.coefficients,
    directions: found.directions,
    spreads: found.spreads,
    residuals,
    leverages: response.map((_, k) => found.directions.reduce((all, direction) => all + direction[k]! ** 2, 0)),
    near,
    hasMean,
    total: squaresOf(response),
    explained: squaresOf(fitted),
    residual: { sumOfSquares: isExact ? 0 : squares, freedom: response.length - columns.length },
  };
}

/** Says which runs are left out. */
function lostRuns(lost: number, of: number): Remark[] {
  return lost > 0 ? [{ kind: "lost-runs", lost, of }] : [];
}

function remarksOf(solved: Solved, response: readonly number[]): Remark[] {
  const first = response[0];
  if (first === undefined) return [{ kind: "no-runs" }];
  if (response.every((value) => value === first)) return [{ kind: "constant-response", value: first }];
  const { freedom, sumOfSquares } = solved.residual;
  if (freedom === 0) return [{ kind: "saturated", coefficients: solved.columns.length }];
  return sumOfSquares === 0 ? [{ kind: "exact-fit" }] : [];
}
