import { pointAtUnit } from "./coding.ts";
import type { Design, DesignPoint, DesignRefusal, Extension, Family, Ground } from "./family.ts";
import { ADD_BY_EXCHANGE, isRefused, refusal } from "./family.ts";
import { latinRows } from "./latin-hypercube.ts";
import { counts, figureProperty, wordProperty } from "./properties.ts";
import { seeded } from "./random.ts";
import type { DesignRequest } from "./request.ts";
import { startsWith } from "./same-points.ts";
import { SOBOL_DIMENSIONS, sobolPoint } from "./sobol-points.ts";

type Request = DesignRequest<"sensitivity">;

/** A row of A and the row of B beside it. */
interface RowPair {
  readonly a: DesignPoint;
  readonly b: DesignPoint;
}

/**
 * Rows of A and B from the Sobol sequence of 2·d dimensions, its first point, the origin, left out; A has the first d.
 * Each block takes up where the one before ends.
 */
function sobolPairs(blocks: readonly number[], { factors }: Ground): RowPair[] {
  const base = blocks.reduce((sum, block) => sum + block, 0);
  return Array.from({ length: base }, (_, k) => {
    const unit = sobolPoint(k + 1, 2 * factors.length);
    return { a: pointAtUnit(factors, unit), b: pointAtUnit(factors, unit.slice(factors.length)) };
  });
}

/** Rows of A and B from Latin hypercubes of 2·d columns, one for each block, with seeds of their own. */
function latinPairs(blocks: readonly number[], { factors, settings }: Ground): RowPair[] {
  return blocks.flatMap((block, k) =>
    latinRows(block, [...factors, ...factors], seeded(settings.seed + k)).map((row) => ({
      a: row.slice(0, factors.length),
      b: row.slice(factors.length),
    })),
  );
}

/**
 * Points for first-order and total indices. In this order, for each row k of base: A_k, B_k, then A_k with factor 1 from
 * B_k, … with factor d from B_k: base·(d + 2) points in groups of d + 2.
 *
 * Source: A. Saltelli et al., "Variance based sensitivity analysis of model output", Comput. Phys. Commun. 181 (2010)
 * 259–270.
 */
function sampled(blocks: readonly number[], ground: Ground): Design | DesignRefusal {
  const { factors, settings } = ground;
  const isSobol = 2 * factors.length <= SOBOL_DIMENSIONS;
  const pairs = isSobol ? sobolPairs(blocks, ground) : latinPairs(blocks, ground);
  const points = pairs.flatMap(({ a, b }) => [
    a,
    b,
    ...factors.map((_, j) => a.map((x, k) => (k === j ? (b[k] ?? 0) : x))),
  ]);
  const broken = points.filter((point) => !settings.isAllowed(point)).length;
  if (broken > 0) {
    const why = `${broken} of ${points.length} points break a constraint between factors, and the indices take factors as independent`;
    return refusal(why, ["narrower ranges that no constraint cuts", "kind latin-hypercube with a fitted model"]);
  }
  const source = isSobol
    ? "Sobol sequence without its first point"
    : `Latin hypercube, blocks of ${blocks.join(" and ")}`;
  const properties = [
    ...counts(points, factors),
    figureProperty("base", pairs.length),
    wordProperty("order", "for each row: A, B, then A with one factor after the other from B"),
    wordProperty("sampled from", source),
  ];
  return { kind: "sensitivity", points, properties };
}

/** The base grows by as many rows as hold the runs asked for. */
function extend({ base }: Request, ground: Ground, { design, more }: Extension): Design | DesignRefusal {
  const group = ground.factors.length + 2;
  const rows = design.points.length / group;
  const blocks = [base, ...(rows > base ? [rows - base] : []), Math.ceil(more / group)];
  const longer = sampled(blocks, ground);
  if (isRefused(longer) || startsWith(longer, design.points)) return longer;
  return refusal("the old points are not those of this request", ADD_BY_EXCHANGE);
}

/** Designs for variance-based sensitivity indices. */
export const sensitivity: Family<"sensitivity"> = { make: ({ base }, ground) => sampled([base], ground), extend };
