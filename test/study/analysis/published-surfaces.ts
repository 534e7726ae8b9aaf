import { type Canonical, canonicalOf } from "../../../src/study/analysis/canonical.ts";
import { type Fit, fitModel } from "../../../src/study/analysis/fit-model.ts";
import { surfaceOf } from "../../../src/study/analysis/second-order.ts";
import { MEAN, termOf, termsOf } from "../../../src/study/analysis/term.ts";
import { asCoded, coefficient, fitOf, runsOf, secondOrder } from "./published-fits.ts";
import { BHH, byName, type Published, pairs } from "./published-row.ts";
import { referenceColumns, referenceJson } from "./reference.ts";

const RSM = "Lenth, J. Stat. Software 32 (2009) 7";

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

const SURFACES = referenceJson("rsm/published.json") as PublishedSurfaces;

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

function surfaceRows(
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

/** Every published surface. */
export const SURFACE_ROWS: readonly Published[] = [
  ...surfaceRows("chemreact", chemreact, {
    published: SURFACES.chemreact,
    digits: { coefficients: 5, quality: 3.9, squares: 2, canonical: 6.5 },
  }),
  chemreactBlock(),
  ...surfaceRows("helicopter", helicopter, {
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
