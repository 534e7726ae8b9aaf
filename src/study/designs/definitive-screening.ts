import { classicalDesign, noNextStep } from "./classical.ts";
import { hasMiddle, pointAt } from "./coding.ts";
import { conferenceMatrix, conferenceOrder } from "./conference-matrix.ts";
import { dEfficiency } from "./efficiency.ts";
import type { Design, DesignFactor, DesignPoint, DesignRefusal, Family, Ground } from "./family.ts";
import { isRefused, refusal } from "./family.ts";
import { figureProperty, modelFit, wordProperty } from "./properties.ts";

/** More factors of two levels than this are better served by a fraction. */
const MOST_FLAT = 6;

/**
 * [C; −C; 0] of a conference matrix C, spare columns dropped: 2m + 1 runs for an even number of factors, 2m + 3 for an
 * odd one. Main effects are orthogonal to each other, to squares and to two-factor interactions. A factor of two levels
 * has no 0: in its zero rows of C it stands at one end, in those of −C at the other, and the centre is run at both.
 *
 * Source: B. Jones, C. J. Nachtsheim, "A class of three-level designs for definitive screening", J. Quality Technology 43
 * (2011) 1–15; L. Xiao, D. K. J. Lin, F. Bai, "Constructing definitive screening designs using conference matrices", ibid.
 * 44 (2012) 2–8; two-level factors: Jones and Nachtsheim, ibid. 45 (2013) 121–129 (from memory).
 */
function make(_request: object, ground: Ground): Design | DesignRefusal {
  const { factors } = ground;
  const flat = factors.flatMap((factor, k) => (hasMiddle(factor) ? [] : [k]));
  const unfit = unfitFactors(factors, flat);
  if (unfit !== undefined) return unfit;
  const order = orderFor(factors.length);
  if (isRefused(order)) return order;
  const half = conferenceMatrix(order.order).map((row) => row.slice(0, factors.length));
  const points = flat.length === 0 ? folded(half, factors) : bestEnds(half, flat, factors);
  const properties = [
    figureProperty("order of the conference matrix", order.order),
    ...(order.order - factors.length > 1
      ? [wordProperty("spare columns", `${order.order - factors.length} dropped`)]
      : []),
    modelFit(points, factors, "linear"),
    modelFit(points, factors, "squares"),
  ];
  return classicalDesign("definitive-screening", ground, { points, properties });
}

function orderFor(factors: number): { readonly order: number } | DesignRefusal {
  const order = conferenceOrder(factors);
  if (order !== undefined && factors > 2) return { order };
  return refusal(`there is no definitive screening design for ${factors} factors here`, [
    "3 to 32 factors",
    factors < 3 ? "kind central-composite" : "kind plackett-burman",
  ]);
}

function unfitFactors(factors: readonly DesignFactor[], flat: readonly number[]): DesignRefusal | undefined {
  const odd = flat.map((k) => factors[k]).find((factor) => factor?.levels !== 2);
  if (odd !== undefined) {
    return refusal(
      `a definitive screening design needs a middle value or just two levels, and ${odd.id} has ${odd.levels} levels`,
      [`two levels of ${odd.id}, or an odd number in an order`, "kind d-optimal takes any levels"],
    );
  }
  if (flat.length <= MOST_FLAT && flat.length < factors.length) return undefined;
  return refusal(`${flat.length} of ${factors.length} factors have two levels`, [
    `at most ${MOST_FLAT} factors of two levels, beside others`,
    "kind fractional-factorial or plackett-burman",
    "kind d-optimal",
  ]);
}

function folded(half: readonly (readonly number[])[], factors: readonly DesignFactor[]): DesignPoint[] {
  const rows = [...half, ...half.map((row) => row.map((x) => 0 - x)), factors.map(() => 0)];
  return rows.map((row) => pointAt(factors, row));
}

/** Of all ways to put ends for zeros in the two-level columns, the one that tells most of the main effects. */
function bestEnds(
  half: readonly (readonly number[])[],
  flat: readonly number[],
  factors: readonly DesignFactor[],
): DesignPoint[] {
  const tries = Array.from({ length: 4 ** flat.length }, (_, number) => withEnds(half, { flat, number }, factors));
  const rated = tries.map((points) => ({ points, rating: dEfficiency(points, factors, "linear") }));
  // Equal up to rounding: the first.
  return rated.reduce((best, next) => (next.rating > best.rating * (1 + 1e-9) ? next : best)).points;
}

/** One way: a binary digit for the zero of each two-level column, then one for its end in the first centre run. */
function withEnds(
  half: readonly (readonly number[])[],
  { flat, number }: { readonly flat: readonly number[]; readonly number: number },
  factors: readonly DesignFactor[],
): DesignPoint[] {
  const digit = (k: number): number => (Math.floor(number / 2 ** k) % 2 === 0 ? 1 : -1);
  const filled = half.map((row) => row.map((x, k) => (x === 0 && flat.includes(k) ? digit(flat.indexOf(k)) : x)));
  const centre = factors.map((_, k) => (flat.includes(k) ? digit(flat.length + flat.indexOf(k)) : 0));
  const rows = [...filled, centre].flatMap((row) => [row, row.map((x) => 0 - x)]);
  return rows.map((row) => pointAt(factors, row));
}

/** Definitive screening designs. */
export const definitiveScreening: Family<"definitive-screening"> = {
  make,
  extend: () => noNextStep("definitive-screening"),
};
