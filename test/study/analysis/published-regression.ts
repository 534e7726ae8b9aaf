import { type Fit, fitModel } from "../../../src/study/analysis/fit-model.ts";
import { oneWay } from "../../../src/study/analysis/one-way.ts";
import { termsOf } from "../../../src/study/analysis/term.ts";
import { fitOf, polynomial } from "./published-fits.ts";
import { type Pairs, type Published, pairs } from "./published-row.ts";
import { nistAnova, referenceJson } from "./reference.ts";

const STRD = "NIST StRD, linear regression";
const STRD_ANOVA = "NIST StRD, analysis of variance";

interface Certified {
  readonly B: string[];
  readonly sd: string[];
  readonly resSD: string;
  readonly R2: string;
  readonly regSS: string;
  readonly resSS: string;
  readonly F: string;
}

const STRD_TERMS: Readonly<Record<string, string[][]>> = {
  Norris: polynomial(1),
  Pontius: polynomial(2),
  NoInt1: [["x"]],
  Longley: [[], ["x1"], ["x2"], ["x3"], ["x4"], ["x5"], ["x6"]],
  Wampler1: polynomial(5),
  Wampler2: polynomial(5),
  Wampler3: polynomial(5),
};

/** A certified regression. */
export function regression(set: string, digits: { readonly B: number; readonly rest: number }): Published[] {
  const certified = (referenceJson("regression/certified.json") as Record<string, Certified>)[set];
  const terms = STRD_TERMS[set];
  if (certified === undefined || terms === undefined) throw new Error(`no ${set}`);
  const fit = (): Fit => fitOf(`regression/${set}.csv`, terms);
  const rest = (): Pairs => {
    const { residualSd, r2, anova, coefficients } = fit();
    return [
      ...pairs(
        coefficients.map(({ standardError }) => standardError),
        certified.sd,
      ),
      [residualSd, Number(certified.resSD)],
      [r2, Number(certified.R2)],
      [anova.model.sumOfSquares, Number(certified.regSS)],
      [anova.residual.sumOfSquares, Number(certified.resSS)],
      // An exact fit has no F; that it is said is tested elsewhere.
      ...(certified.F === "Infinity" ? [] : ([[anova.model.f, Number(certified.F)]] as const)),
    ];
  };
  return [
    {
      set,
      figure: "coefficients",
      source: STRD,
      digits: digits.B,
      pairs: () =>
        pairs(
          fit().coefficients.map(({ value }) => value),
          certified.B,
        ),
    },
    { set, figure: "standard errors, residual SD, R², squares, F", source: STRD, digits: digits.rest, pairs: rest },
  ];
}

interface CertifiedAnova {
  readonly SS_between: string;
  readonly SS_within: string;
  readonly F: string;
  readonly R2: string;
  readonly resSD: string;
}

/** Where the data agree in seven leading digits, reading them into doubles leaves ten. */
export function oneFactor(set: string, digits: number): Published[] {
  const certified = (referenceJson("anova/certified.json") as Record<string, CertifiedAnova>)[set];
  if (certified === undefined) throw new Error(`no ${set}`);
  const published = [certified.F, certified.SS_between, certified.SS_within, certified.R2];
  const { groups, response } = nistAnova(set);
  const direct = (): Pairs => {
    const { between, within, r2 } = oneWay(groups, response);
    return pairs([between.f, between.sumOfSquares, within.sumOfSquares, r2], published);
  };
  const fitted = (): Pairs => {
    const factors = [{ id: "group", kind: "categorical" as const, levels: [...new Set(groups)] }];
    const fit = fitModel({
      factors,
      terms: termsOf(factors, "linear"),
      runs: groups.map((group) => [group]),
      response,
    });
    const term = fit.anova.terms[0];
    return pairs(
      [fit.anova.model.f, term?.sequential.sumOfSquares, fit.anova.residual.sumOfSquares, fit.r2, term?.partial.f],
      [...published, certified.F],
    );
  };
  return [
    { set, figure: "F, squares, R² by one-way analysis", source: STRD_ANOVA, digits, pairs: direct },
    { set, figure: "F, squares, R² by contrasts and least squares", source: STRD_ANOVA, digits, pairs: fitted },
  ];
}
