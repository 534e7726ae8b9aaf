import type { Design, DesignRefusal, Extension, Family, Ground } from "./family.ts";
import { refusal } from "./family.ts";
import type { DesignRequest } from "./request.ts";
import { longerSequence, type Stretch, sequenceDesign } from "./sequence.ts";
import { SOBOL_DIMENSIONS, sobolPoint } from "./sobol-points.ts";

type Request = DesignRequest<"sobol">;

function tooMany(factors: number): DesignRefusal | undefined {
  if (factors <= SOBOL_DIMENSIONS) return undefined;
  return refusal(`the Sobol sequence here has ${SOBOL_DIMENSIONS} dimensions, and there are ${factors} factors`, [
    `at most ${SOBOL_DIMENSIONS} factors`,
    "kind latin-hypercube",
    "kind halton",
  ]);
}

function stretch({ runs, skip = 0 }: Request, { factors }: Ground): Stretch {
  return { kind: "sobol", at: (index) => sobolPoint(index, factors.length), skip, runs };
}

function make(request: Request, ground: Ground): Design | DesignRefusal {
  return tooMany(ground.factors.length) ?? sequenceDesign(stretch(request, ground), ground);
}

function extend(request: Request, ground: Ground, extension: Extension): Design | DesignRefusal {
  return tooMany(ground.factors.length) ?? longerSequence(stretch(request, ground), ground, extension);
}

/** Sobol sequence: as even with a power of two of runs as it can be. */
export const sobol: Family<"sobol"> = { make, extend };
