import { pointAtUnit } from "./coding.ts";
import type { Design, DesignPoint, DesignRefusal, Ground } from "./family.ts";
import { ADD_BY_EXCHANGE, refusal } from "./family.ts";
import { counts, figureProperty, fill, largestCorrelation } from "./properties.ts";
import { startsWith } from "./same-points.ts";

/** A stretch of a sequence of points in the unit cube. */
export interface Stretch {
  readonly kind: "sobol" | "halton";
  readonly at: (index: number) => readonly number[];
  readonly skip: number;
  readonly runs: number;
}

/** Points looked at for each one wanted before a constraint counts as too narrow. */
const LOOKED_AT = 1000;

/** The stretch as a design: points that break a constraint are passed over, and the next ones taken. */
export function sequenceDesign({ kind, at, skip, runs }: Stretch, ground: Ground): Design | DesignRefusal {
  const { factors, settings } = ground;
  const points: DesignPoint[] = [];
  let index = skip;
  for (; points.length < runs && index < skip + LOOKED_AT * runs; index += 1) {
    const point = pointAtUnit(factors, at(index));
    if (settings.isAllowed(point)) points.push(point);
  }
  if (points.length < runs) {
    const found = `only ${points.length} of ${index - skip} points keep to the constraints`;
    return refusal(`${found}, and ${runs} are wanted`, [
      "wider constraints or ranges",
      "kind d-optimal searches for points",
    ]);
  }
  const properties = [
    ...counts(points, factors),
    figureProperty("first position in the sequence", skip),
    figureProperty("next position in the sequence", index),
    figureProperty("points passed over for constraints", index - skip - points.length),
    ...fill(points, factors),
    largestCorrelation(points, factors),
  ];
  return { kind, points, properties };
}

/** The sequence goes on where it stopped. */
export function longerSequence(
  stretch: Stretch,
  ground: Ground,
  { design, more }: { design: Design; more: number },
): Design | DesignRefusal {
  const longer = sequenceDesign({ ...stretch, runs: design.points.length + more }, ground);
  if ("refused" in longer || startsWith(longer, design.points)) return longer;
  return refusal("the old points are not the start of this sequence", ADD_BY_EXCHANGE);
}
