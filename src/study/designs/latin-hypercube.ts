import { valueAtUnit } from "./coding.ts";
import type {
  Design,
  DesignFactor,
  DesignPoint,
  DesignProperty,
  DesignRefusal,
  Extension,
  Family,
  Ground,
} from "./family.ts";
import { isRefused, refusal } from "./family.ts";
import { cellOf, freeValues } from "./free-cells.ts";
import { spreadOut } from "./maximin.ts";
import { counts, figureProperty, fill, largestCorrelation, wordProperty } from "./properties.ts";
import { type Random, seeded, shuffled } from "./random.ts";
import type { DesignRequest } from "./request.ts";

type Request = DesignRequest<"latin-hypercube">;

/** The ranges are cut into at most so many cells for each run wanted before constraints count as too narrow. */
const CELLS_PER_RUN = 500;

/** By how much cells become more where constraints leave too few of them free. */
const FINER = 1.2;

/**
 * Rows of a Latin hypercube: each factor's range in equal cells, each cell taken once, at its middle; listed levels as
 * often as each other, up to one.
 *
 * Source: M. D. McKay, R. J. Beckman, W. J. Conover, Technometrics 21 (1979) 239–245; the middle of cells: H. D. Patterson
 * (1954).
 */
export function latinRows(cells: number, factors: readonly DesignFactor[], random: Random): number[][] {
  const middles = Array.from({ length: cells }, (_, k) => (k + 0.5) / cells);
  const columns = factors.map((factor) => shuffled(middles, random).map((unit) => valueAtUnit(factor, unit)));
  return middles.map((_, run) => columns.map((column) => column[run] ?? 0));
}

/**
 * Points of a Latin hypercube that keep to the constraints: as many cells as it takes for the wanted number of rows to
 * be allowed.
 */
function allowedRows(
  runs: number,
  { factors, settings }: Ground,
): { points: DesignPoint[]; cells: number } | DesignRefusal {
  const random = seeded(settings.seed);
  let cells = runs;
  while (cells <= CELLS_PER_RUN * runs) {
    const allowed = latinRows(cells, factors, random).filter(settings.isAllowed);
    if (allowed.length >= runs) return { points: allowed.slice(0, runs), cells };
    cells = Math.ceil(cells * Math.min(2, Math.max(1.02, runs / (allowed.length + 1))) + 1);
  }
  return refusal(`fewer than one point in ${CELLS_PER_RUN} keeps to the constraints`, [
    "wider constraints or narrower ranges",
    "kind d-optimal searches for points",
  ]);
}

function make({ runs }: Request, ground: Ground): Design | DesignRefusal {
  const found = allowedRows(runs, ground);
  if (isRefused(found)) return found;
  const points = spreadOut(found.points, 0, ground);
  const left = found.cells - runs;
  return designOf(points, ground, [
    wordProperty(
      "Latin hypercube",
      left === 0 ? "yes" : `no: ${runs} of ${found.cells} cells a factor, each at most once`,
    ),
    figureProperty("points left out for constraints", left),
  ]);
}

function designOf(points: readonly DesignPoint[], { factors }: Ground, special: readonly DesignProperty[]): Design {
  const said = [...counts(points, factors), ...special, ...fill(points, factors), largestCorrelation(points, factors)];
  return { kind: "latin-hypercube", points, properties: said };
}

/**
 * New points in cells that no old one takes, then spread out; with as many new as old runs a Latin hypercube stays one.
 *
 * Source: M. Stein, Technometrics 29 (1987) 143–151, on Latin hypercubes; filling of free cells: common practice, no
 * source.
 */
function extend(_request: Request, ground: Ground, { design, more }: Extension): Design | DesignRefusal {
  const old = design.points;
  const random = seeded(ground.settings.seed + old.length);
  const added: DesignPoint[] = [];
  for (let cells = old.length + more; added.length < more && cells <= CELLS_PER_RUN * (old.length + more); ) {
    const columns = ground.factors.map((factor, k) =>
      freeValues(
        [...old, ...added].map((point) => point[k] ?? 0),
        { factor, cells, random },
      ),
    );
    const rows = Array.from({ length: more }, (_, run) => columns.map((column) => column[run % column.length] ?? 0));
    added.push(...rows.filter(ground.settings.isAllowed).slice(0, more - added.length));
    cells = Math.ceil(cells * FINER);
  }
  if (added.length < more) {
    return refusal("hardly any new point keeps to the constraints", [
      "wider constraints",
      "kind d-optimal searches for points",
    ]);
  }
  const points = spreadOut([...old, ...added], old.length, ground);
  return designOf(points, ground, [
    wordProperty("Latin hypercube", latinWords(points, ground.factors)),
    figureProperty("runs added", more),
  ]);
}

/** Whether every continuous factor has each of as many cells as runs once. */
function latinWords(points: readonly DesignPoint[], factors: readonly DesignFactor[]): string {
  const torn = factors.filter(
    ({ levels }, k) =>
      levels === undefined && new Set(points.map((point) => cellOf(point[k] ?? 0, points.length))).size < points.length,
  );
  return torn.length === 0
    ? "yes"
    : `no longer strict: cells without a point for ${torn.map(({ id }) => id).join(", ")}`;
}

/** Maximin Latin hypercubes. */
export const latinHypercube: Family<"latin-hypercube"> = { make, extend };
