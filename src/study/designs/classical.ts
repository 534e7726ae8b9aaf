import { hasTwoEnds } from "./coding.ts";
import type { Design, DesignFactor, DesignPoint, DesignProperty, DesignRefusal, Ground } from "./family.ts";
import { ADD_BY_EXCHANGE, refusal } from "./family.ts";
import { counts, largestCorrelation, wordProperty } from "./properties.ts";
import type { DesignKind } from "./request.ts";

/**
 * A design whose points are fixed by its family: all of them stand, or the wish is refused. Dropping the points that
 * break a constraint would take away what the family is known for.
 */
export function classicalDesign(
  kind: DesignKind,
  { factors, settings }: Ground,
  { points, properties }: { points: readonly DesignPoint[]; properties: readonly DesignProperty[] },
): Design | DesignRefusal {
  const broken = points.filter((point) => !settings.isAllowed(point)).length;
  if (broken > 0) {
    const share = `${broken} of ${points.length} points break a constraint between factors`;
    return refusal(`${share}, and a ${kind} design without them would not be one`, [
      "kind d-optimal keeps to constraints",
      "kind latin-hypercube keeps to constraints",
    ]);
  }
  const said = [
    ...counts(points, factors),
    ...properties,
    largestCorrelation(points, factors),
    ...unused(points, factors),
  ];
  return { kind, points, properties: said };
}

/** Listed levels that no point takes: a design of two or three levels uses ends and middle only. */
function unused(points: readonly DesignPoint[], factors: readonly DesignFactor[]): DesignProperty[] {
  return factors.flatMap(({ id, levels }, k) => {
    const used = new Set(points.map((point) => point[k] ?? 0)).size;
    if (levels === undefined || used === levels) return [];
    return [wordProperty(`levels of ${id}`, `${used} of ${levels} listed levels are used`)];
  });
}

/** A refusal where a factor cannot take two levels. */
export function notTwoLevel(factors: readonly DesignFactor[]): DesignRefusal | undefined {
  const odd = factors.find((factor) => !hasTwoEnds(factor));
  if (odd === undefined) return undefined;
  return refusal(`a design of two levels has no place for ${odd.id}, which has ${odd.levels} levels without order`, [
    "kind full-factorial takes every level",
    "kind d-optimal takes any number of levels",
    `two levels of ${odd.id}`,
  ]);
}

/** A refusal of a family that has no next step. */
export function noNextStep(kind: DesignKind): DesignRefusal {
  return refusal(`a ${kind} design has no next step of its own`, ADD_BY_EXCHANGE);
}
