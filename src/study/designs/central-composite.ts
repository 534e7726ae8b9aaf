import { CENTRE_POINTS, withoutMiddle } from "./box-behnken.ts";
import { classicalDesign, noNextStep } from "./classical.ts";
import { pointAt } from "./coding.ts";
import type { Design, DesignProperty, DesignRefusal, Family, Ground } from "./family.ts";
import { isRefused, refusal } from "./family.ts";
import { fractionRows } from "./fraction.ts";
import { offeredFractions } from "./fractional-factorial.ts";
import { figureProperty, modelFit, wordProperty } from "./properties.ts";
import type { DesignRequest } from "./request.ts";
import { cornerRows, starRows } from "./star.ts";

type Request = DesignRequest<"central-composite">;

/** From so many factors on a fraction of the corners is enough for a quadratic model. */
const FRACTION_FROM = 5;

/** Full cubes beyond this many factors are refused. */
const MOST_FULL = 10;

/** The corners: all, or the smallest fraction that keeps two-factor interactions apart (resolution V or better). */
function cubeRows(cube: "full" | "fraction", factors: number): number[][] | DesignRefusal {
  if (cube === "fraction") {
    const offer = offeredFractions(factors).find(({ resolution }) => resolution >= 5);
    if (offer !== undefined) return fractionRows(factors, offer.generators);
    return refusal(`there is no fraction of resolution V for ${factors} factors`, ["5 to 11 factors", "cube: full"]);
  }
  if (factors <= MOST_FULL) return cornerRows(factors);
  return refusal(`all corners of ${factors} factors are ${2 ** factors} runs`, ["cube: fraction", "kind d-optimal"]);
}

/** Distances of corners and star points from the centre, in coded values along one factor. */
interface Reach {
  readonly corner: number;
  readonly star: number;
}

/**
 * Rotatable: the star at the fourth root of the number of corners. Inscribed: the same shrunk until the star is at ±1.
 *
 * α = F^(1/4)
 * Source: G. E. P. Box, J. S. Hunter, "Multi-factor experimental designs for exploring response surfaces", Ann. Math.
 * Stat. 28 (1957) 195–241; NIST/SEMATECH e-Handbook, section 5.3.3.6.1.
 */
function reachOf(star: Request["star"], corners: number): Reach {
  const rotatable = Math.sqrt(Math.sqrt(corners));
  if (typeof star === "number") return { corner: 1, star };
  if (star === "face-centred") return { corner: 1, star: 1 };
  return star === "inscribed" ? { corner: 1 / rotatable, star: 1 } : { corner: 1, star: rotatable };
}

function make(request: Request, ground: Ground): Design | DesignRefusal {
  const { star = "rotatable", centre_points = CENTRE_POINTS } = request;
  const { factors } = ground;
  const unfit = unfitFactors(request, ground);
  if (unfit !== undefined) return unfit;
  const cube = cubeRows(request.cube ?? (factors.length < FRACTION_FROM ? "full" : "fraction"), factors.length);
  if (isRefused(cube)) return cube;
  const reach = reachOf(star, cube.length);
  const rows = [
    ...cube.map((row) => row.map((x) => x * reach.corner)),
    ...starRows(factors.length, reach.star),
    ...Array.from({ length: centre_points }, () => factors.map(() => 0)),
  ];
  const points = rows.map((row) => pointAt(factors, row));
  const properties = [
    ...shape(reach, cube.length, rows.length),
    figureProperty("centre points", centre_points),
    modelFit(points, factors, "quadratic"),
  ];
  return classicalDesign("central-composite", ground, { points, properties });
}

function unfitFactors({ star = "rotatable" }: Request, { factors }: Ground): DesignRefusal | undefined {
  if (factors.length < 2)
    return refusal("a central composite design needs two factors or more", ["kind full-factorial with levels"]);
  if (typeof star === "number" && !(star > 0))
    return refusal("the distance of the star points has to be above 0", ["a number above 0"]);
  const listed = factors.find(({ levels }) => levels !== undefined);
  if (listed !== undefined && star !== "face-centred" && star !== 1) {
    return refusal(`star points between or beyond levels: ${listed.id} has listed levels`, [
      "star: face-centred",
      "kind d-optimal",
    ]);
  }
  return withoutMiddle("central-composite", factors);
}

/**
 * α, and whether the design is rotatable and orthogonal.
 *
 * Rotatable: α⁴ = F. Orthogonal (squares uncorrelated): (F + 2·α²)² = F·N, α in units of the corners.
 * Source: Box and Hunter (1957); Myers, Montgomery, Anderson-Cook, Response Surface Methodology, chapter 8.
 */
function shape({ corner, star }: Reach, corners: number, runs: number): DesignProperty[] {
  const alpha = star / corner;
  const orthogonal = Math.sqrt((Math.sqrt(corners * runs) - corners) / 2);
  return [
    figureProperty("corners", corners),
    figureProperty("alpha", alpha),
    wordProperty("rotatable", isNear(alpha ** 4, corners) ? "yes" : "no"),
    wordProperty("orthogonal", isNear(alpha, orthogonal) ? "yes" : "no"),
    figureProperty("alpha that would be rotatable", Math.sqrt(Math.sqrt(corners))),
    figureProperty("alpha that would be orthogonal", orthogonal),
    ...(star > 1 ? [wordProperty("star points", "lie beyond the ranges of the factors")] : []),
  ];
}

function isNear(a: number, b: number): boolean {
  return Math.abs(a - b) < 1e-9 * b;
}

/** Central composite designs. */
export const centralComposite: Family<"central-composite"> = { make, extend: () => noNextStep("central-composite") };
