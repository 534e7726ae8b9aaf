import { powerOf } from "../../../src/study/analysis/box-cox.ts";
import { type Fit, fitModel } from "../../../src/study/analysis/fit-model.ts";
import { lenth } from "../../../src/study/analysis/lenth.ts";
import { residualSequence } from "../../../src/study/analysis/residual-sequence.ts";
import { MEAN, productTerms, termOf } from "../../../src/study/analysis/term.ts";
import { twoLevelEffects } from "../../../src/study/analysis/two-level-effects.ts";
import { coefficient, effectsOf, reactorHalf, twoLevel } from "./published-fits.ts";
import { BHH, byName, HANDBOOK, type Published, pairs } from "./published-row.ts";
import { referenceJson } from "./reference.ts";

interface PublishedEffects {
  readonly mean: number;
  readonly published_effects: Record<string, number>;
  readonly recomputed_effects: Record<string, number>;
}

interface PublishedLenth {
  readonly PSE: number;
  readonly ME: number;
  readonly SME: number;
}

function factorial(set: string, source: string): Published[] {
  const file = `factorial/${set}.csv`;
  const { published_effects, recomputed_effects, mean } = referenceJson(`factorial/${set}.json`) as PublishedEffects;
  const effects = { ...recomputed_effects, ...published_effects };
  const margins = (referenceJson("factorial/lenth_pse.json") as Record<string, PublishedLenth>)[set];
  if (margins === undefined) throw new Error(`no margins of ${set}`);
  return [
    {
      set,
      figure: "mean and all effects",
      source,
      digits: 12,
      pairs: () => {
        const found = effectsOf(file);
        return [[twoLevelEffects(twoLevel(file)).mean, mean], ...byName((name) => found[name], effects)];
      },
    },
    {
      set,
      figure: "Lenth's PSE, ME, SME",
      source: "Lenth, Technometrics 31 (1989) 469; figures computed with SciPy's quantiles",
      digits: 8.5,
      pairs: () => {
        const found = lenth(twoLevelEffects(twoLevel(file)).effects);
        if ("absent" in found) throw new Error(found.absent);
        return pairs(
          [found.pse, found.marginOfError, found.simultaneousMargin],
          [margins.PSE, margins.ME, margins.SME],
        );
      },
    },
  ];
}

interface Ceramic {
  readonly anova_3rd_order: { R2: number; adjR2: number; rmse: number; mean: number; SS: Record<string, number> };
  readonly model12: { R2: number; adjR2: number; rmse: number; res_SS: number };
  readonly boxcox_model11: { R2: number; adjR2: number; rmse: number; mean: number; coef: Record<string, number> };
}

const CERAMIC = referenceJson("factorial/nist_ceramic_2^5.json") as Ceramic;
const CERAMIC_TERMS = Object.keys(CERAMIC.anova_3rd_order.SS);

/** "speedrate" as its factors. */
function ceramicTerm(joined: string): string[] {
  return ["speed", "rate", "grit", "direction", "batch"].filter((id) => joined.includes(id));
}

function ceramicFit(terms: readonly string[], lambda?: number): Fit {
  const request = twoLevel("factorial/nist_ceramic_2^5.csv");
  const response = lambda === undefined ? request.response : powerOf(request.response, lambda);
  return fitModel({ ...request, response, terms: [MEAN, ...terms.map((name) => termOf(ceramicTerm(name)))] });
}

function thirdOrder(): Fit {
  const request = twoLevel("factorial/nist_ceramic_2^5.csv");
  return fitModel({ ...request, terms: productTerms(request.factors, 3) });
}

function ceramic(): Published[] {
  const set = "nist_ceramic_2^5";
  const [third, twelve, power] = [CERAMIC.anova_3rd_order, CERAMIC.model12, CERAMIC.boxcox_model11];
  return [
    {
      set,
      figure: "model of third order: R², adjusted R², residual SD, mean (as printed)",
      source: `${HANDBOOK} 5.4.7.1`,
      digits: 6.5,
      pairs: () => {
        const { r2, adjustedR2, residualSd } = thirdOrder();
        const mean = coefficient(thirdOrder(), "mean");
        return pairs([r2, adjustedR2, residualSd, mean], [third.R2, third.adjR2, third.rmse, third.mean]);
      },
    },
    {
      set,
      figure: "squares of terms (printed whole)",
      source: `${HANDBOOK} 5.4.7.1`,
      digits: 3.2,
      pairs: () => {
        const { terms } = thirdOrder().anova;
        const found = (name: string): unknown =>
          terms.find(({ term }) => term.of.join("") === name)?.partial.sumOfSquares;
        return byName(found, third.SS);
      },
    },
    {
      set,
      figure: "model of 12 terms: R², adjusted R², residual SD, squares (as printed)",
      source: `${HANDBOOK} 5.4.7.1`,
      digits: 4,
      pairs: () => {
        const { r2, adjustedR2, residualSd, anova: table } = ceramicFit(CERAMIC_TERMS);
        return pairs(
          [r2, adjustedR2, residualSd, table.residual.sumOfSquares],
          [twelve.R2, twelve.adjR2, twelve.rmse, twelve.res_SS],
        );
      },
    },
    {
      set,
      figure: "model of 11 terms of the power 0.2: R², adjusted R², residual SD, mean, sizes of coefficients",
      source: `${HANDBOOK} 5.4.7.1; signs of its two-factor terms are those of another coding`,
      digits: 4,
      pairs: () => {
        const fit = ceramicFit(Object.keys(power.coef), 0.2);
        const size = (name: string): number => Math.abs(Number(coefficient(fit, termOf(ceramicTerm(name)).name)));
        const sizes = Object.fromEntries(Object.entries(power.coef).map(([name, value]) => [name, Math.abs(value)]));
        return [
          ...pairs([fit.r2, fit.adjustedR2, fit.residualSd], [power.R2, power.adjR2, power.rmse]),
          [coefficient(fit, "mean"), power.mean],
          ...byName(size, sizes),
        ];
      },
    },
  ];
}

function eddyCurrent(): Published {
  const { residual_sd_sequence } = referenceJson("factorial/nist_eddy_current_2^3.json") as {
    residual_sd_sequence: [string, number][];
  };
  return {
    set: "nist_eddy_current_2^3",
    figure: "residual SDs of growing models (five decimals)",
    source: `${HANDBOOK} 5.6.1`,
    digits: 4.4,
    pairs: () => {
      const request = twoLevel("factorial/nist_eddy_current_2^3.csv");
      const steps = residualSequence(request, twoLevelEffects(request));
      return pairs(
        steps.slice(0, -1).map(({ residualSd }) => residualSd),
        residual_sd_sequence.map(([, sd]) => sd),
      );
    },
  };
}

function half(): Published {
  const { aliased_effects } = referenceJson("factorial/bhh_reactor_2^(5-1).json") as {
    aliased_effects: Record<string, number>;
  };
  // Three-factor names of the file as the two-factor ones they are aliased with.
  const asPair: Record<string, string> = { ABC: "DE", ABD: "CE", ACD: "BE", BCD: "AE", "E(=ABCD)": "E" };
  return {
    set: "bhh_reactor_2^(5-1)",
    figure: "effects of the half fraction E = ABCD",
    source: `${BHH}, chapter 6; effects computed`,
    digits: 12,
    pairs: () => {
      const found = Object.fromEntries(
        twoLevelEffects(reactorHalf()).effects.map(({ term, value }) => [term.of.join(""), value]),
      );
      return byName((name) => found[asPair[name] ?? name], aliased_effects);
    },
  };
}

const SOURCES: Readonly<Record<string, string>> = {
  "bhh_pilot_plant_2^3": BHH,
  "bhh_process_development_2^4": `${BHH}, table 5.11`,
  "bhh_reactor_2^5": `${BHH}, chapter 6; all but five effects computed`,
  "montgomery_filtration_2^4": "Montgomery, Design and Analysis of Experiments, example 6.2",
  "nist_ceramic_2^5": `${HANDBOOK} 5.4.7.1; effects computed`,
  "nist_eddy_current_2^3": `${HANDBOOK} 5.6.1`,
};

/** Every published design of two levels. */
export const FACTORIALS: readonly Published[] = [
  ...Object.entries(SOURCES).flatMap(([set, source]) => factorial(set, source)),
  eddyCurrent(),
  half(),
  ...ceramic(),
];
