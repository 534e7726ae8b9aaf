import { aliasProperties, largestPartialAlias } from "./alias-structure.ts";
import { classicalDesign, notTwoLevel } from "./classical.ts";
import { pointAt } from "./coding.ts";
import type { Design, DesignProperty, DesignRefusal, Extension, Family, Ground } from "./family.ts";
import { ADD_BY_EXCHANGE, isRefused, refusal } from "./family.ts";
import { SCREENING_RUNS, screeningRows } from "./hadamard.ts";
import { figureProperty, modelFit, wordProperty } from "./properties.ts";
import type { DesignRequest } from "./request.ts";
import { startsWith } from "./same-points.ts";
import { resolutionOf, roman, wordLengthPattern } from "./word-length.ts";

type Request = DesignRequest<"plackett-burman">;
type Rows = readonly (readonly number[])[];

/** Rows before any fold-over, as many columns as factors. */
function plainRows({ runs }: Request, { factors }: Ground): Rows | DesignRefusal {
  const odd = notTwoLevel(factors);
  if (odd !== undefined) return odd;
  const fitting = SCREENING_RUNS.filter((count) => count > factors.length);
  const wanted = runs ?? fitting[0];
  if (wanted === undefined || !fitting.includes(wanted)) {
    const asked = wanted === undefined ? "" : ` of ${wanted} runs`;
    const possible = fitting.length > 0 ? [`runs: ${fitting.join(", ")}`] : ["kind d-optimal", "kind latin-hypercube"];
    return refusal(`there is no Plackett-Burman design${asked} for ${factors.length} factors`, possible);
  }
  return screeningRows(wanted).map((row) => row.slice(0, factors.length));
}

function folded(rows: Rows): Rows {
  return [...rows, ...rows.map((row) => row.map((x) => -x))];
}

function make(request: Request, ground: Ground): Design | DesignRefusal {
  const rows = plainRows(request, ground);
  if (isRefused(rows)) return rows;
  return designOf(request.fold_over === true ? folded(rows) : rows, ground, request.fold_over === true);
}

function designOf(rows: Rows, ground: Ground, isFolded: boolean): Design | DesignRefusal {
  const points = rows.map((row) => pointAt(ground.factors, row));
  const resolution = resolutionOf(wordLengthPattern(rows));
  const properties: DesignProperty[] = [
    ...(resolution === undefined ? [] : [{ name: "resolution", value: roman(resolution), figure: resolution }]),
    wordProperty("fold-over", isFolded ? "signs of all factors turned round" : "none"),
    ...aliasing(rows, ground),
    modelFit(points, ground.factors, "linear"),
  ];
  return classicalDesign("plackett-burman", ground, { points, properties });
}

/** Full aliases by name; partial ones, which touch nearly every pair, in one sentence. */
function aliasing(rows: Rows, { factors }: Ground): DesignProperty[] {
  const largest = largestPartialAlias(rows, factors.length);
  const figure = figureProperty("largest correlation of a main effect with an interaction of two others", largest);
  if (largest === 0) return [figure, wordProperty("aliasing", "main effects are clear of two-factor interactions")];
  if (largest === 1) return [figure, ...aliasProperties(rows, factors)];
  return [
    figure,
    wordProperty("aliasing", "complex: each main effect is partly aliased with interactions of two others"),
  ];
}

/** The next step is the fold-over. */
function extend(request: Request, ground: Ground, { design }: Extension): Design | DesignRefusal {
  const rows = plainRows(request, ground);
  if (isRefused(rows)) return rows;
  const points = rows.map((row) => pointAt(ground.factors, row));
  if (design.points.length !== points.length || !startsWith(design, points)) {
    return refusal(
      "only the design of this request, not yet folded over, has a next step: its fold-over",
      ADD_BY_EXCHANGE,
    );
  }
  return designOf(folded(rows), ground, true);
}

/** Plackett-Burman designs. */
export const plackettBurman: Family<"plackett-burman"> = { make, extend };
