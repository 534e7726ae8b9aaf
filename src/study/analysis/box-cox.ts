import { type Fit, fitModel, type ModelRequest } from "./fit-model.ts";
import { preciseSum } from "./precise-sum.ts";
import type { Absent } from "./remark.ts";

/** A power of the response and how likely it makes the runs. */
export interface PowerLikelihood {
  readonly lambda: number;
  readonly logLikelihood: number;
}

/** Which power of the response a model describes best. */
export interface BoxCox {
  readonly best: PowerLikelihood;
  readonly profile: readonly PowerLikelihood[];
}

/** The powers that are tried: −2 to 2 in twentieths. */
const LAMBDAS: readonly number[] = Array.from({ length: 81 }, (_, k) => (k - 40) / 20);

/**
 * A response by its power: (y^λ − 1)/(λ·g^(λ−1)), at λ = 0 g·ln y, with g the geometric mean, so that residuals of all
 * powers can be compared. For values above zero.
 *
 * Source: G. E. P. Box, D. R. Cox, "An analysis of transformations", J. Roy. Stat. Soc. B 26 (1964) 211.
 */
export function powerOf(response: readonly (number | null)[], lambda: number): (number | null)[] {
  const logs = response.flatMap((value) => (value === null ? [] : [Math.log(value)]));
  const mean = Math.exp(preciseSum(logs) / logs.length);
  return response.map((value) => {
    if (value === null) return null;
    const log = Math.log(value);
    return lambda === 0 ? mean * log : Math.expm1(lambda * log) / (lambda * mean ** (lambda - 1));
  });
}

/** Powers of the response from −2 to 2 by the likelihood of the model: −n/2·ln(residual squares/n). */
export function boxCox(request: ModelRequest): BoxCox | Absent {
  if (request.response.some((value) => value !== null && value <= 0)) return { absent: "power-of-negatives" };
  const first = fitModel(request);
  const reason = unfit(first);
  if (reason !== undefined) return reason;
  const profile = LAMBDAS.flatMap((lambda) => {
    const fit = fitModel({ ...request, response: powerOf(request.response, lambda) });
    const squares = fit.anova.residual.sumOfSquares;
    const count = fit.used.length;
    return squares > 0 ? [{ lambda, logLikelihood: (-count / 2) * Math.log(squares / count) }] : [];
  });
  const best = profile.reduce((most, one) => (one.logLikelihood > most.logLikelihood ? one : most));
  return { best, profile };
}

function unfit({ used, anova }: Fit): Absent | undefined {
  if (used.length === 0) return { absent: "no-runs" };
  if (anova.residual.freedom === 0) return { absent: "no-error-freedom" };
  return anova.residual.sumOfSquares === 0 ? { absent: "no-error" } : undefined;
}
