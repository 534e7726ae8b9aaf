import { codedAt, hasMiddle } from "./coding.ts";
import type { DesignFactor, DesignPoint } from "./family.ts";
import type { DesignModel } from "./request.ts";

/** Columns of one factor, given what stands in a point. */
type Contrasts = (value: number) => number[];

/**
 * Contrasts of a factor without order: levels − 1 columns, each orthogonal to the others and of mean square 1 over the
 * levels, so that a balanced orthogonal design has D-efficiency 1 whatever its levels.
 *
 * Source: F. R. Helmert's contrasts, scaled; common practice.
 */
function helmert(levels: number): Contrasts {
  return (value) =>
    Array.from({ length: levels - 1 }, (_, column) => {
      const scale = Math.sqrt(levels / ((column + 1) * (column + 2)));
      if (value <= column) return -scale;
      return value === column + 1 ? (column + 1) * scale : 0;
    });
}

/** The columns of a factor's main effect: its coded value, or contrasts where the levels have no order. */
export function mainContrasts(factor: DesignFactor): Contrasts {
  const { levels, isCategorical } = factor;
  return isCategorical && levels !== undefined ? helmert(levels) : (value) => [codedAt(factor, value)];
}

function hasSquare(factor: DesignFactor): boolean {
  return !factor.isCategorical && (hasMiddle(factor) || (factor.levels ?? 3) > 2);
}

/** Terms of a model, each by the factors it multiplies; the first is the constant. */
function termsOf(factors: readonly DesignFactor[], model: DesignModel): number[][] {
  const mains = factors.map((_, k) => [k]);
  const pairs = factors.flatMap((_, a) => factors.slice(a + 1).map((_other, b) => [a, a + 1 + b]));
  const squares = factors.flatMap((factor, k) => (hasSquare(factor) ? [[k, k]] : []));
  const rest = { linear: [], interactions: pairs, squares, quadratic: [...pairs, ...squares] };
  return [[], ...mains, ...rest[model]];
}

/**
 * Rows of the model matrix X of a design's points.
 *
 * Columns: constant; coded values (contrasts of categorical factors); products of two; squares of factors with more
 * than two levels in an order.
 * Source: R. H. Myers, D. C. Montgomery, C. M. Anderson-Cook, Response Surface Methodology, chapter 2.
 */
export function modelRow(factors: readonly DesignFactor[], model: DesignModel): (point: DesignPoint) => number[] {
  const contrasts = factors.map(mainContrasts);
  const products = productsOf(factors, termsOf(factors, model));
  return (point) => {
    const mains = [1];
    contrasts.forEach((columns, k) => {
      mains.push(...columns(point[k] ?? 0));
    });
    return products.map(([a, b]) => mains[a]! * mains[b]!);
  };
}

/** Columns of a model as products of two main columns, of which number 0 is the constant. */
function productsOf(factors: readonly DesignFactor[], terms: readonly number[][]): (readonly [number, number])[] {
  let next = 1;
  const own = factors.map(({ levels, isCategorical }) => {
    const count = isCategorical && levels !== undefined ? levels - 1 : 1;
    next += count;
    return Array.from({ length: count }, (_, j) => next - count + j);
  });
  return terms.flatMap(([a, b]) => {
    const first = a === undefined ? [0] : (own[a] ?? []);
    const second = b === undefined ? [0] : (own[b] ?? []);
    return first.flatMap((x) => second.map((y): readonly [number, number] => [x, y]));
  });
}
