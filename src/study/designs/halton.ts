import type { Family, Ground } from "./family.ts";
import { firstPrimes, radicalInverse } from "./halton-points.ts";
import type { DesignRequest } from "./request.ts";
import { longerSequence, type Stretch, sequenceDesign } from "./sequence.ts";

function stretch({ runs, skip = 0 }: DesignRequest<"halton">, { factors }: Ground): Stretch {
  const bases = firstPrimes(factors.length);
  return { kind: "halton", at: (index) => bases.map((base) => radicalInverse(index, base)), skip, runs };
}

/** Halton sequence: any number of runs; beyond some eight factors its columns run together, as the correlation shows. */
export const halton: Family<"halton"> = {
  make: (request, ground) => sequenceDesign(stretch(request, ground), ground),
  extend: (request, ground, extension) => longerSequence(stretch(request, ground), ground, extension),
};
