import { boxBehnken } from "./box-behnken.ts";
import { centralComposite } from "./central-composite.ts";
import { dOptimal } from "./d-optimal.ts";
import { definitiveScreening } from "./definitive-screening.ts";
import type { Design, DesignFactor, DesignRefusal, DesignSettings, Family } from "./family.ts";
import { refusal } from "./family.ts";
import { fractionalFactorial } from "./fractional-factorial.ts";
import { fullFactorial } from "./full-factorial.ts";
import { given } from "./given.ts";
import { halton } from "./halton.ts";
import { latinHypercube } from "./latin-hypercube.ts";
import { plackettBurman } from "./plackett-burman.ts";
import type { DesignKind, DesignRequest } from "./request.ts";
import { sensitivity } from "./sensitivity.ts";
import { sobol } from "./sobol.ts";

export {
  type Design,
  type DesignFactor,
  type DesignPoint,
  type DesignProperty,
  type DesignRefusal,
  type DesignSettings,
  isRefusal,
} from "./family.ts";
export type { DesignKind, DesignRequest } from "./request.ts";

/** Every family. A kind without an entry here does not compile. */
const FAMILIES: { readonly [K in DesignKind]: Family<K> } = {
  "full-factorial": fullFactorial,
  "fractional-factorial": fractionalFactorial,
  "plackett-burman": plackettBurman,
  "box-behnken": boxBehnken,
  "central-composite": centralComposite,
  "definitive-screening": definitiveScreening,
  "latin-hypercube": latinHypercube,
  sobol,
  halton,
  "d-optimal": dOptimal,
  sensitivity,
  given,
};

/** A refusal of factors that no design can be made of. */
function unfit(factors: readonly DesignFactor[]): DesignRefusal | undefined {
  if (factors.length === 0) return refusal("there are no factors", ["one factor or more"]);
  const twin = factors.find(({ id }, k) => factors.findIndex((other) => other.id === id) < k);
  if (twin !== undefined) return refusal(`two factors are called ${twin.id}`, ["ids of their own"]);
  const bad = factors.find(({ levels, isCategorical }) =>
    levels === undefined ? isCategorical : !Number.isInteger(levels) || levels < 2,
  );
  return bad === undefined ? undefined : refusal(`${bad.id} has nothing to vary`, ["two levels or more", "a range"]);
}

/**
 * The points of a design, with what can be said of it; or why there is none, and what is possible instead. Hangs on its
 * arguments alone: the same points on every machine.
 *
 * @param request - as in a study file, valid by its schema
 */
export function makeDesign<K extends DesignKind>(
  request: DesignRequest<K>,
  factors: readonly DesignFactor[],
  settings: DesignSettings,
): Design | DesignRefusal {
  return unfit(factors) ?? FAMILIES[request.kind].make(request, { factors, settings });
}

/**
 * The same design with more runs, the old points first and unchanged.
 *
 * Sobol, Halton and sensitivity go on; Latin hypercubes fill free cells; D-optimal designs place the new runs by
 * exchange; the last two go on from points of any kind of design. Fractions and Plackett-Burman designs are folded over,
 * and a full factorial of two levels gets a centre point and face-centred star points, whatever `more` says. The others
 * are refused.
 *
 * @param more - runs to add where the family lets one choose, 1 or more
 */
export function extendDesign<K extends DesignKind>(
  design: Design,
  request: DesignRequest<K>,
  factors: readonly DesignFactor[],
  settings: DesignSettings,
  more: number,
): Design | DesignRefusal {
  if (!Number.isInteger(more) || more < 1) return refusal(`${more} more runs are asked for`, ["one run or more"]);
  return unfit(factors) ?? FAMILIES[request.kind].extend(request, { factors, settings }, { design, more });
}
