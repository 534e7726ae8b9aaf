import { dEfficiency, efficiencies } from "./efficiency.ts";
import { type ExchangeTask, exchanged } from "./exchange.ts";
import type { Design, DesignFactor, DesignPoint, DesignRefusal, Extension, Family, Ground } from "./family.ts";
import { isRefused, refusal } from "./family.ts";
import { modelRow } from "./model-rows.ts";
import { counts, figureProperty, largestCorrelation, MODEL_WORDS, wordProperty } from "./properties.ts";
import { type Random, seeded } from "./random.ts";
import type { DesignModel, DesignRequest } from "./request.ts";

type Request = DesignRequest<"d-optimal">;

/** Values tried on a continuous factor: steps of a fifth, so that slanting constraints are met closely. */
const CANDIDATES = 11;

/** Random designs the exchange begins with: fewer for large models, whose exchanges take long and differ little. */
function usualStarts(terms: number): number {
  return Math.max(3, Math.min(10, Math.ceil(300 / terms)));
}

/** Random points drawn for each one wanted before constraints count as too narrow. */
const DRAWS = 2000;

/** Points at most that a point may jump to. */
const JUMPS = 1000;

/** Points at most at which the variance of prediction is looked up. */
const ASKED = 5000;

const MODELS: readonly DesignModel[] = ["quadratic", "interactions", "squares", "linear"];

function candidateValues({ levels }: DesignFactor, candidates: number): number[] {
  if (levels !== undefined) return Array.from({ length: levels }, (_, level) => level);
  return Array.from({ length: candidates }, (_, k) => (2 * k) / (candidates - 1) - 1);
}

function coefficients(model: DesignModel, factors: readonly DesignFactor[]): number {
  return modelRow(factors, model)(factors.map(() => 0)).length;
}

/** A refusal where there are fewer runs than coefficients. */
function tooFew({ model, runs }: Request, factors: readonly DesignFactor[]): DesignRefusal | undefined {
  const terms = (name: DesignModel): number => coefficients(name, factors);
  if (runs >= terms(model)) return undefined;
  const smaller = MODELS.filter((name) => terms(name) <= runs).map(
    (name) => `model: ${name}, of ${terms(name)} coefficients`,
  );
  return refusal(`${MODEL_WORDS[model]}: ${terms(model)} coefficients cannot be found from ${runs} runs`, [
    `${terms(model)} runs or more`,
    ...smaller,
  ]);
}

/** A random allowed point of the candidates. */
function drawn(values: ExchangeTask["values"], ground: Ground, random: Random): DesignPoint | undefined {
  for (let k = 0; k < DRAWS; k += 1) {
    const point = values.map((list) => list[random.below(list.length)] ?? 0);
    if (ground.settings.isAllowed(point)) return point;
  }
  return undefined;
}

/**
 * Points to jump to where constraints shut some candidates out: all that are allowed, or as many random ones; none where
 * nothing is shut out, as single coordinates then get everywhere.
 */
function jumpsWithin(values: ExchangeTask["values"], ground: Ground, random: Random): DesignPoint[] {
  const all = values.reduce((product, list) => product * list.length, 1);
  const points = all <= JUMPS ? combinations(values) : randomPoints(values, random);
  const allowed = points.filter(ground.settings.isAllowed);
  return allowed.length === points.length ? [] : allowed;
}

function combinations(values: ExchangeTask["values"]): number[][] {
  return values.reduce<number[][]>((rows, list) => rows.flatMap((row) => list.map((x) => [...row, x])), [[]]);
}

function randomPoints(values: ExchangeTask["values"], random: Random): number[][] {
  return Array.from({ length: JUMPS }, () => values.map((list) => list[random.below(list.length)] ?? 0));
}

/** The best of several exchanges, each from random new points behind the old ones. */
function searched(old: readonly DesignPoint[], request: Request, ground: Ground): DesignPoint[] | DesignRefusal {
  const { model, runs, candidates = CANDIDATES } = request;
  const { factors, settings } = ground;
  const starts = request.starts ?? usualStarts(coefficients(model, factors));
  const values = factors.map((factor) => candidateValues(factor, candidates));
  const random = seeded(settings.seed);
  const jumps = jumpsWithin(values, ground, random);
  let best: { readonly points: DesignPoint[]; readonly rating: number } | undefined;
  for (let start = 0; start < starts; start += 1) {
    const fresh = Array.from({ length: runs - old.length }, () => drawn(values, ground, random));
    const points = [...old, ...fresh.flatMap((point) => (point === undefined ? [] : [point]))];
    if (points.length < runs) return narrow();
    const found = exchanged(points, { ground, model, values, jumps, fixed: old.length });
    const rating = dEfficiency(found, factors, model);
    if (best === undefined || rating > best.rating * (1 + 1e-9)) best = { points: found, rating };
  }
  return best !== undefined && best.rating > 0 ? best.points : singular(model);
}

function narrow(): DesignRefusal {
  return refusal(`none of ${DRAWS} random points keeps to the constraints`, ["wider constraints or narrower ranges"]);
}

function singular(model: DesignModel): DesignRefusal {
  return refusal(`within the constraints the model cannot be estimated: ${MODEL_WORDS[model]}`, [
    "a smaller model",
    "more runs or starts",
    "wider constraints",
  ]);
}

function make(request: Request, ground: Ground): Design | DesignRefusal {
  const few = tooFew(request, ground.factors);
  if (few !== undefined) return few;
  const points = searched([], request, ground);
  return isRefused(points) ? points : designOf(points, request, ground);
}

function designOf(points: readonly DesignPoint[], request: Request, ground: Ground): Design {
  const { factors } = ground;
  const asked = askedPoints(request, ground);
  const { d, a, g } = efficiencies(points, { factors, model: request.model, asked });
  const properties = [
    ...counts(points, factors),
    wordProperty("model", MODEL_WORDS[request.model]),
    figureProperty("coefficients", coefficients(request.model, factors)),
    figureProperty("D-efficiency", d),
    figureProperty("A-efficiency", a),
    figureProperty("G-efficiency", g),
    figureProperty("points looked at for G-efficiency", points.length + asked.length),
    figureProperty("different points", new Set(points.map((point) => point.join())).size),
    largestCorrelation(points, factors),
  ];
  return { kind: "d-optimal", points, properties };
}

/** Points where predictions are asked for: all combinations of three values or all levels, or as many random ones. */
function askedPoints({ candidates = CANDIDATES }: Request, ground: Ground): DesignPoint[] {
  const coarse = ground.factors.map((factor) => candidateValues(factor, 3));
  const all = coarse.reduce((product, list) => product * list.length, 1);
  if (all <= ASKED) {
    return combinations(coarse).filter(ground.settings.isAllowed);
  }
  const random = seeded(ground.settings.seed);
  const values = ground.factors.map((factor) => candidateValues(factor, candidates));
  return Array.from({ length: ASKED }, () => drawn(values, ground, random)).flatMap((point) =>
    point === undefined ? [] : [point],
  );
}

/** Old points stay, whatever design they come from; the exchange moves the new ones only. */
function extend(request: Request, ground: Ground, { design, more }: Extension): Design | DesignRefusal {
  const whole = { ...request, runs: design.points.length + more };
  const few = tooFew(whole, ground.factors);
  if (few !== undefined) return few;
  const points = searched(design.points, whole, ground);
  return isRefused(points) ? points : designOf(points, whole, ground);
}

/** D-optimal designs for a model, on any levels and within constraints. */
export const dOptimal: Family<"d-optimal"> = { make, extend };
