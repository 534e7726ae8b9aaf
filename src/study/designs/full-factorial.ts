import { classicalDesign } from "./classical.ts";
import { hasMiddle, pointAt, valueAt } from "./coding.ts";
import type { Design, DesignFactor, DesignPoint, DesignRefusal, Extension, Family, Ground } from "./family.ts";
import { ADD_BY_EXCHANGE, isRefused, refusal } from "./family.ts";
import { modelFit, wordProperty } from "./properties.ts";
import type { DesignRequest } from "./request.ts";
import { startsWith } from "./same-points.ts";
import { starRows } from "./star.ts";

/** More runs than this are a slip of the pen rather than a study. Common practice, no source. */
const MOST_RUNS = 1_000_000;

type Request = DesignRequest<"full-factorial">;

function make(request: Request, ground: Ground): Design | DesignRefusal {
  const columns = columnsOf(request, ground.factors);
  if (isRefused(columns)) return columns;
  const runs = columns.reduce((product, column) => product * column.length, 1);
  if (runs > MOST_RUNS) {
    return refusal(`all combinations are ${runs} runs, more than ${MOST_RUNS}`, [
      "fewer levels or factors",
      "kind fractional-factorial, plackett-burman or definitive-screening",
      "kind latin-hypercube or sobol",
    ]);
  }
  const points = combinations(columns);
  return classicalDesign("full-factorial", ground, { points, properties: [fit(points, columns, ground.factors)] });
}

function fit(
  points: readonly DesignPoint[],
  columns: readonly number[][],
  factors: readonly DesignFactor[],
): ReturnType<typeof modelFit> {
  const isCurved = factors.every(({ isCategorical }, k) => !isCategorical && (columns[k]?.length ?? 0) > 2);
  return modelFit(points, factors, isCurved ? "quadratic" : "interactions");
}

/** All combinations, the first factor changing fastest (standard order). */
function combinations(columns: readonly number[][]): number[][] {
  return columns.reduce<number[][]>(
    (rows, column) => column.flatMap((value) => rows.map((row) => [...row, value])),
    [[]],
  );
}

/** Values of each factor: listed levels, or evenly spaced ones. */
function columnsOf({ levels = 2 }: Request, factors: readonly DesignFactor[]): number[][] | DesignRefusal {
  if (typeof levels !== "number") {
    const stranger = Object.keys(levels).find((id) => !factors.some((factor) => factor.id === id));
    if (stranger !== undefined) return refusal(`levels are asked for ${stranger}, which is no factor`, idsOf(factors));
  }
  const columns: number[][] = [];
  for (const factor of factors) {
    const wanted = typeof levels === "number" ? undefined : levels[factor.id];
    const shared = typeof levels === "number" ? levels : 2;
    const count = wanted ?? factor.levels ?? shared;
    const fault = levelsFault(factor, count);
    if (fault !== undefined) return fault;
    columns.push(Array.from({ length: count }, (_, k) => valueAt(factor, (2 * k) / (count - 1) - 1)));
  }
  return columns;
}

function idsOf(factors: readonly DesignFactor[]): string[] {
  return factors.map(({ id }) => `levels for ${id}`);
}

function levelsFault({ id, levels, isCategorical }: DesignFactor, count: number): DesignRefusal | undefined {
  if (!Number.isInteger(count) || count < 2)
    return refusal(`${count} levels are asked for ${id}`, ["two levels or more"]);
  if (levels === undefined || count === levels || (!isCategorical && count < levels)) return undefined;
  return refusal(`${count} levels are asked for ${id}, which has ${levels}`, [
    isCategorical ? `all ${levels} levels of ${id}` : `2 to ${levels} levels of ${id}`,
  ]);
}

/**
 * A two-level design grows into a face-centred central composite: a centre point and two star points for each factor,
 * all within the ranges.
 */
function extend(request: Request, ground: Ground, { design }: Extension): Design | DesignRefusal {
  const { factors } = ground;
  const base = make(request, ground);
  if (isRefused(base)) return base;
  if (base.points.length !== 2 ** factors.length || base.points.length !== design.points.length) {
    return refusal("only a full factorial of two levels, not yet extended, has a next step", ADD_BY_EXCHANGE);
  }
  const flat = factors.find((factor) => !hasMiddle(factor));
  if (flat !== undefined || !startsWith(design, base.points)) {
    const why =
      flat === undefined ? "the design is not that of the request" : `${flat.id} has no middle for a star point`;
    return refusal(why, ADD_BY_EXCHANGE);
  }
  const added = [factors.map(() => 0), ...starRows(factors.length, 1)].map((row) => pointAt(factors, row));
  const points = [...design.points, ...added];
  const properties = [
    wordProperty("added", "centre point and face-centred star points: now a central composite design"),
    modelFit(points, factors, "quadratic"),
  ];
  return classicalDesign("full-factorial", ground, { points, properties });
}

/** Full factorial designs of mixed levels. */
export const fullFactorial: Family<"full-factorial"> = { make, extend };
