import { classicalDesign, noNextStep } from "./classical.ts";
import { hasMiddle, pointAt } from "./coding.ts";
import type { Design, DesignFactor, DesignRefusal, Family, Ground } from "./family.ts";
import { refusal } from "./family.ts";
import { figureProperty, modelFit } from "./properties.ts";
import type { DesignRequest } from "./request.ts";
import { cornerRows } from "./star.ts";

/**
 * Factors that vary together, the others resting at 0, by number of factors.
 *
 * Source: G. E. P. Box, D. W. Behnken, "Some new three level designs for the study of quantitative variables",
 * Technometrics 2 (1960) 455–475.
 */
const TOGETHER: Readonly<Record<number, readonly (readonly number[])[]>> = {
  3: pairs(3),
  4: pairs(4),
  5: pairs(5),
  6: [0, 1, 2, 3, 4, 5].map((k) => [k, (k + 1) % 6, (k + 3) % 6]),
  7: [0, 1, 2, 3, 4, 5, 6].map((k) => [k, (k + 1) % 7, (k + 3) % 7]),
};

function pairs(factors: number): number[][] {
  const places = Array.from({ length: factors }, (_, k) => k);
  return places.flatMap((a) => places.slice(a + 1).map((b) => [a, b]));
}

/** A refusal where a factor has no middle value. */
export function withoutMiddle(kind: string, factors: readonly DesignFactor[]): DesignRefusal | undefined {
  const flat = factors.find((factor) => !hasMiddle(factor));
  if (flat === undefined) return undefined;
  return refusal(`a ${kind} design needs a middle value, and ${flat.id} has none`, [
    `${flat.id} continuous, or with an odd number of levels in an order`,
    "kind d-optimal takes any levels",
    "kind definitive-screening takes factors of two levels beside others",
  ]);
}

/** One centre point unless more are asked for: a repeated run tells nothing new where answers do not scatter. */
export const CENTRE_POINTS = 1;

function make({ centre_points = CENTRE_POINTS }: DesignRequest<"box-behnken">, ground: Ground): Design | DesignRefusal {
  const { factors } = ground;
  const blocks = TOGETHER[factors.length];
  if (blocks === undefined) {
    return refusal(`there is no Box-Behnken design for ${factors.length} factors here`, [
      "3 to 7 factors",
      "kind central-composite",
      "kind d-optimal",
    ]);
  }
  const flat = withoutMiddle("box-behnken", factors);
  if (flat !== undefined) return flat;
  const rows = blocks.flatMap((block) =>
    cornerRows(block.length).map((corner) => factors.map((_, k) => corner[block.indexOf(k)] ?? 0)),
  );
  const centre = Array.from({ length: centre_points }, () => factors.map(() => 0));
  const points = [...rows, ...centre].map((row) => pointAt(factors, row));
  const properties = [figureProperty("centre points", centre_points), modelFit(points, factors, "quadratic")];
  return classicalDesign("box-behnken", ground, { points, properties });
}

/** Box-Behnken designs, 3 to 7 factors. */
export const boxBehnken: Family<"box-behnken"> = { make, extend: () => noNextStep("box-behnken") };
