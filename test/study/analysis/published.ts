import { powerOf } from "../../../src/study/analysis/box-cox.ts";
import { type Canonical, canonicalOf } from "../../../src/study/analysis/canonical.ts";
import { type Fit, fitModel } from "../../../src/study/analysis/fit-model.ts";
import { lenth } from "../../../src/study/analysis/lenth.ts";
import { oneWay } from "../../../src/study/analysis/one-way.ts";
import { residualSequence } from "../../../src/study/analysis/residual-sequence.ts";
import { surfaceOf } from "../../../src/study/analysis/second-order.ts";
import { MEAN, productTerms, termOf, termsOf } from "../../../src/study/analysis/term.ts";
import { twoLevelEffects } from "../../../src/study/analysis/two-level-effects.ts";
import {
  asCoded,
  coefficient,
  effectsOf,
  fitOf,
  polynomial,
  reactorHalf,
  runsOf,
  secondOrder,
  twoLevel,
} from "./published-fits.ts";
import { nistAnova, referenceColumns, referenceJson } from "./reference.ts";

/** Figures found and published, in pairs. */
type Pairs = readonly (readonly [found: unknown, published: number])[];

/** A published data set and how far its figures are reproduced. */
export interface Published {
  readonly set: string;
  readonly figure: string;
  readonly source: string;
  /** Digits that agree at least: −log10 of the largest relative error, 15 at most. */
  readonly digits: number;
  readonly pairs: () => Pairs;
}

const STRD = "NIST StRD, linear regression";
const STRD_ANOVA = "NIST StRD, analysis of variance";
const HANDBOOK = "NIST/SEMATECH e-Handbook";
const BHH = "Box, Hunter, Hunter, Statistics for Experimenters, 2nd ed.";
const RSM = "Lenth, J. Stat. Software 32 (2009) 7";

function pairs(found: readonly unknown[], published: readonly (number | string)[]): Pairs {
  if (found.length !== published.length) throw new Error(`${found.length} figures for ${published.length}`);
  return published.map((value, k) => [found[k], Number(value)]);
}

/** Found by the names under which published figures stand. */
function byName(found: (name: string) => unknown, published: Readonly<Record<string, number>>): Pairs {
  return Object.entries(published).map(([name, value]) => [found(name), value]);
}

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

function regression(set: string, digits: { readonly B: number; readonly rest: number }): Published[] {
  const certified = referenceJson<Record<string, Certified>>("regression/certified.json")[set];
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
function anova(set: string, digits: number): Published[] {
  const certified = referenceJson<Record<string, CertifiedAnova>>("anova/certified.json")[set];
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
  const { published_effects, recomputed_effects, mean } = referenceJson<PublishedEffects>(`factorial/${set}.json`);
  const effects = { ...recomputed_effects, ...published_effects };
  const margins = referenceJson<Record<string, PublishedLenth>>("factorial/lenth_pse.json")[set];
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

const CERAMIC = referenceJson<Ceramic>("factorial/nist_ceramic_2^5.json");
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

function ceramic(): Published[] {
  const set = "nist_ceramic_2^5";
  const [third, twelve, power] = [CERAMIC.anova_3rd_order, CERAMIC.model12, CERAMIC.boxcox_model11];
  const thirdOrder = (): Fit => {
    const request = twoLevel("factorial/nist_ceramic_2^5.csv");
    return fitModel({ ...request, terms: productTerms(request.factors, 3) });
  };
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
  const { residual_sd_sequence } = referenceJson<{ residual_sd_sequence: [string, number][] }>(
    "factorial/nist_eddy_current_2^3.json",
  );
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
  const { aliased_effects } = referenceJson<{ aliased_effects: Record<string, number> }>(
    "factorial/bhh_reactor_2^(5-1).json",
  );
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

type VarianceEntry = readonly [freedom: number, squares: number, f?: string];

interface PublishedSurface {
  readonly coef: Record<string, number>;
  readonly se?: Record<string, number>;
  readonly R2: number;
  readonly adjR2: number;
  readonly F: number;
  readonly anova: Record<string, VarianceEntry>;
  readonly stationary_coded: number[];
  readonly stationary_natural?: Record<string, number>;
  readonly eigenvalues: number[];
  readonly first_order_block1: {
    readonly intercept: number;
    readonly x1: number;
    readonly x2: number;
    readonly lack_of_fit_F: number;
    readonly lack_of_fit_p: number;
  };
}

interface PublishedSurfaces {
  readonly chemreact: PublishedSurface;
  readonly heli: PublishedSurface;
  readonly treb_bbd: { readonly coef: Record<string, number>; readonly s: number; readonly R2: number };
}

const SURFACES = referenceJson<PublishedSurfaces>("rsm/published.json");

/** "x1x2" and "x1sq" as terms are named here. */
function surfaceName(name: string): string {
  if (name === "intercept") return "mean";
  return name.replace(/sq$/u, "²").replace(/(x\d)(?=x)/gu, "$1 × ");
}

/** The chemical reactor of two blocks. */
export function chemreact(): Fit {
  const columns = referenceColumns("rsm/chemreact_ccd.csv");
  const factors = [
    { id: "block", kind: "categorical", levels: ["B1", "B2"] },
    { id: "x1", kind: "continuous", low: 80, high: 90 },
    { id: "x2", kind: "continuous", low: 170, high: 180 },
  ] as const;
  const runs = runsOf({ block: columns["Block"] ?? [], x1: columns["Time"] ?? [], x2: columns["Temp"] ?? [] }, [
    "block",
    "x1",
    "x2",
  ]);
  const terms = [MEAN, termOf(["block"]), ...secondOrder(["x1", "x2"])];
  return fitModel({ factors, terms, runs, response: (columns["Yield"] ?? []).map(Number) });
}

/** First block of it alone, by a first-order model. */
export function chemreactFirst(): Fit {
  const columns = referenceColumns("rsm/chemreact_ccd.csv");
  const factors = [
    { id: "x1", kind: "continuous", low: 80, high: 90 },
    { id: "x2", kind: "continuous", low: 170, high: 180 },
  ] as const;
  const runs = runsOf({ x1: columns["Time"] ?? [], x2: columns["Temp"] ?? [] }, ["x1", "x2"]).slice(0, 7);
  const response = (columns["Yield"] ?? []).slice(0, 7).map(Number);
  return fitModel({ factors, terms: termsOf(factors, "linear"), runs, response });
}

/** The paper helicopter of two blocks. */
export function helicopter(): Fit {
  const columns = referenceColumns("rsm/heli_ccd.csv");
  const ids = ["x1", "x2", "x3", "x4"];
  const block = (columns["block"] ?? []).map(String);
  const factors = [{ id: "block", kind: "categorical", levels: ["1", "2"] } as const, ...asCoded(ids)];
  const terms = [MEAN, termOf(["block"]), ...secondOrder(ids)];
  const runs = runsOf({ ...columns, block }, ["block", ...ids]);
  return fitModel({ factors, terms, runs, response: (columns["ave"] ?? []).map(Number) });
}

/** Coefficients against a base block, as published, from ones that sum to zero. */
function againstBase(fit: Fit, name: string): unknown {
  const first = Number(fit.coefficients.find(({ term }) => term.of.join() === "block")?.value);
  if (name === "intercept") return Number(coefficient(fit, "mean")) + first;
  return /^block2$/iu.test(name) ? -2 * first : coefficient(fit, surfaceName(name));
}

function groupSquares(fit: Fit): Record<string, unknown> {
  const sum = (belongs: (of: readonly string[]) => boolean): number =>
    fit.anova.terms.reduce((all, { term, sequential }) => all + (belongs(term.of) ? sequential.sumOfSquares : 0), 0);
  const { lackOfFit, pureError, residual } = fit.anova;
  return {
    block: sum((of) => of[0] === "block"),
    FO: sum((of) => of.length === 1 && of[0] !== "block"),
    TWI: sum((of) => of.length === 2 && of[0] !== of[1]),
    PQ: sum((of) => of.length === 2 && of[0] === of[1]),
    residual: residual.sumOfSquares,
    lack_of_fit: "absent" in lackOfFit ? Number.NaN : lackOfFit.sumOfSquares,
    pure_error: "absent" in pureError ? Number.NaN : pureError.sumOfSquares,
  };
}

/** Its canonical analysis; a missing surface is a failure. */
export function canonical(fit: Fit): Canonical {
  const surface = surfaceOf(fit);
  if ("absent" in surface) throw new Error(surface.absent);
  return canonicalOf(surface);
}

function stationaryOf(fit: Fit): { coded: readonly number[]; natural: readonly number[] } {
  const { stationary } = canonical(fit);
  if ("absent" in stationary) throw new Error(stationary.absent);
  return stationary;
}

interface SurfaceDigits {
  readonly coefficients: number;
  readonly quality: number;
  readonly squares: number;
  readonly canonical: number;
}

function surface(
  set: string,
  fit: () => Fit,
  { published, digits }: { published: PublishedSurface; digits: SurfaceDigits },
): Published[] {
  const lackOfFit = (): unknown => {
    const row = fit().anova.lackOfFit;
    return "absent" in row ? row : row.f;
  };
  return [
    {
      set,
      figure: "coefficients and standard errors (as printed)",
      source: RSM,
      digits: digits.coefficients,
      pairs: () => {
        const { intercept, Block2, ...errors } = published.se ?? {};
        return [
          ...byName((name) => againstBase(fit(), name), published.coef),
          ...byName((name) => coefficient(fit(), surfaceName(name), "standardError"), errors),
          ...(intercept === undefined || Block2 === undefined
            ? []
            : ([[2 * Number(coefficient(fit(), "block [B1]", "standardError")), Block2]] as const)),
        ];
      },
    },
    {
      set,
      figure: "R², adjusted R², F, F of lack of fit (as printed)",
      source: RSM,
      digits: digits.quality,
      pairs: () =>
        pairs(
          [fit().r2, fit().adjustedR2, fit().anova.model.f, lackOfFit()],
          [published.R2, published.adjR2, published.F, (published.anova["lack_of_fit"]?.[2] ?? "").replace("F=", "")],
        ),
    },
    {
      set,
      figure: "squares of block, first order, products, squares, lack of fit, pure error (as printed)",
      source: RSM,
      digits: digits.squares,
      pairs: () => {
        const found = groupSquares(fit());
        return Object.entries(published.anova).map(([name, [, squares]]) => [
          found[name === "Block" ? "block" : name],
          squares,
        ]);
      },
    },
    {
      set,
      figure: "stationary point and bends (as printed)",
      source: RSM,
      digits: digits.canonical,
      pairs: () => [
        ...pairs(stationaryOf(fit()).coded, published.stationary_coded),
        ...pairs(
          stationaryOf(fit()).natural,
          Object.values(published.stationary_natural ?? Object.fromEntries(published.stationary_coded.entries())),
        ),
        ...pairs(canonical(fit()).eigenvalues, published.eigenvalues),
      ],
    },
  ];
}

function chemreactBlock(): Published {
  const { intercept, x1, x2, lack_of_fit_F, lack_of_fit_p } = SURFACES.chemreact.first_order_block1;
  return {
    set: "chemreact",
    figure: "first block, first order: coefficients, F and p of lack of fit (as printed)",
    source: RSM,
    digits: 3.6,
    pairs: () => {
      const fit = chemreactFirst();
      const { lackOfFit } = fit.anova;
      if ("absent" in lackOfFit) throw new Error(lackOfFit.absent);
      return pairs(
        [coefficient(fit, "mean"), coefficient(fit, "x1"), coefficient(fit, "x2"), lackOfFit.f, lackOfFit.p],
        [intercept, x1, x2, lack_of_fit_F, lack_of_fit_p],
      );
    },
  };
}

/** The ridge: carbon monoxide in exhaust gas. */
export function exhaust(): Fit {
  return fitOf("rsm/codata_3x3.csv", [[], ["x1"], ["x2"], ["x1", "x2"], ["x1", "x1"], ["x2", "x2"]]);
}

const SOURCES: Readonly<Record<string, string>> = {
  "bhh_pilot_plant_2^3": BHH,
  "bhh_process_development_2^4": `${BHH}, table 5.11`,
  "bhh_reactor_2^5": `${BHH}, chapter 6; all but five effects computed`,
  "montgomery_filtration_2^4": "Montgomery, Design and Analysis of Experiments, example 6.2",
  "nist_ceramic_2^5": `${HANDBOOK} 5.4.7.1; effects computed`,
  "nist_eddy_current_2^3": `${HANDBOOK} 5.6.1`,
};

/** Every published data set, and to how many digits its figures are reproduced. */
export const PUBLISHED: readonly Published[] = [
  ...regression("Norris", { B: 13, rest: 13 }),
  ...regression("Pontius", { B: 13, rest: 13 }),
  ...regression("NoInt1", { B: 14, rest: 14 }),
  ...regression("Longley", { B: 14, rest: 14 }),
  ...regression("Wampler1", { B: 13, rest: 14 }),
  ...regression("Wampler2", { B: 12.5, rest: 14 }),
  ...regression("Wampler3", { B: 13, rest: 13 }),
  ...anova("SiRstv", 12.5),
  ...anova("SmLs01", 13),
  ...anova("SmLs04", 10),
  ...anova("AtmWtAg", 10),
  ...Object.entries(SOURCES).flatMap(([set, source]) => factorial(set, source)),
  eddyCurrent(),
  half(),
  ...ceramic(),
  ...surface("chemreact", chemreact, {
    published: SURFACES.chemreact,
    digits: { coefficients: 5, quality: 3.9, squares: 2, canonical: 6.5 },
  }),
  chemreactBlock(),
  ...surface("helicopter", helicopter, {
    published: SURFACES.heli,
    digits: { coefficients: 5.3, quality: 4.5, squares: 3.5, canonical: 6 },
  }),
  {
    set: "exhaust (CO)",
    figure: "bends, level point, level point with the ridge taken flat (as printed)",
    source: `${BHH}, table 10.17; ${RSM}`,
    digits: 6,
    pairs: () => [
      ...pairs(canonical(exhaust()).eigenvalues, [0.1868328, -8.8868328]),
      ...pairs(stationaryOf(exhaust()).coded, [-14.81387, 15.44149]),
      ...pairs(canonical(exhaust()).onRidge.coded, [-0.06302658, -0.05997463]),
    ],
  },
  {
    set: "trebuchet (Box-Behnken)",
    figure: "coefficients",
    source: "Lawson, Design and Analysis of Experiments with R, chapter 10; coefficients computed with R",
    digits: 12,
    pairs: () => {
      const terms = [[], ...secondOrder(["x1", "x2", "x3"]).map(({ of }) => of)];
      const fit = fitOf("rsm/Treb.csv", terms);
      return byName((name) => coefficient(fit, surfaceName(name)), SURFACES.treb_bbd.coef);
    },
  },
];
