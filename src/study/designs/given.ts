import type { Design, DesignFactor, DesignPoint, DesignRefusal, DesignSettings, Family } from "./family.ts";
import { ADD_BY_EXCHANGE, refusal } from "./family.ts";
import { counts, fill, largestCorrelation, modelFit } from "./properties.ts";

/**
 * A design of points handed in, in their order; refused where one is none of the factors' or breaks a constraint.
 *
 * @param points - continuous factors coded, −1 … +1 over the range; listed ones by the index of the level
 */
export function givenDesign(
  points: readonly DesignPoint[],
  factors: readonly DesignFactor[],
  settings: DesignSettings,
): Design | DesignRefusal {
  const wrong = points.findIndex((point) => !isPoint(point, factors));
  if (wrong >= 0)
    return refusal(`run ${wrong + 1} is no point of these factors`, [
      "one number for each factor, a level's index where levels are listed",
    ]);
  const broken = points.findIndex((point) => !settings.isAllowed(point));
  if (broken >= 0)
    return refusal(`run ${broken + 1} breaks a constraint between factors`, ["runs that keep to the constraints"]);
  if (points.length === 0) return refusal("there are no runs", ["one run or more"]);
  const properties = [
    ...counts(points, factors),
    ...(points.length > factors.length ? [modelFit(points, factors, "linear")] : []),
    ...fill(points, factors),
    largestCorrelation(points, factors),
  ];
  return { kind: "given", points, properties };
}

function isPoint(point: DesignPoint, factors: readonly DesignFactor[]): boolean {
  if (point.length !== factors.length || !point.every(Number.isFinite)) return false;
  return factors.every(({ levels }, k) => {
    const value = point[k] ?? 0;
    return levels === undefined || (Number.isInteger(value) && value >= 0 && value < levels);
  });
}

/** The runs of such a design come from a file, which is not read here. */
export const given: Family<"given"> = {
  make: () => refusal("the runs of a given design come from its file", ["givenDesign with the points of the file"]),
  extend: () =>
    refusal("more runs of a given design are more lines of its file", ["a longer file", ...ADD_BY_EXCHANGE]),
};
