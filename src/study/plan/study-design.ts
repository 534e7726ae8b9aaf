import type { Fault, Result } from "../../faults/fault.ts";
import {
  type Design,
  type DesignKind,
  type DesignRefusal,
  type DesignRequest,
  extendDesign,
  isRefusal,
  makeDesign,
} from "../designs/design.ts";
import type { Ground } from "../designs/family.ts";
import { givenDesign } from "../designs/given.ts";
import type { Factor } from "./factor.ts";
import { designFactors, keepsTo } from "./points.ts";
import type { DesignChoice, Study } from "./study.ts";

/** The points of a study: of its factors, and of its noise where it has any. */
export interface StudyDesigns {
  readonly design: PointSet;
  readonly noise: PointSet | undefined;
}

/** A design, or the points that a file gave. */
export type PointSet = Pick<Design, "points" | "properties"> & { readonly kind: string };

/** Makes the designs of a study, or says what cannot be and what can. */
export function studyDesigns(study: Study): Result<StudyDesigns> {
  const design = pointSet(study, { factors: study.factors, choice: study.design, key: "design" });
  const noise =
    study.noise.length === 0
      ? undefined
      : pointSet(
          { ...study, constraints: [] },
          { factors: study.noise, choice: study.noiseDesign, key: "noise_design" },
        );
  const faults = [design, noise].filter((one) => one !== undefined).flatMap((one) => ("points" in one ? [] : [one]));
  if (faults.length > 0 || !("points" in design)) return { ok: false, faults };
  return { ok: true, value: { design, noise: noise !== undefined && "points" in noise ? noise : undefined } };
}

interface Wanted {
  readonly factors: readonly Factor[];
  readonly choice: DesignChoice;
  readonly key: "design" | "noise_design";
}

function pointSet(study: Study, { factors, choice, key }: Wanted): PointSet | Fault {
  const isAllowed = (point: readonly number[]): boolean => keepsTo({ constraints: study.constraints, factors }, point);
  const place = { file: study.file.path, pointer: `/${key}` };
  const ground = { factors: designFactors(factors), settings: { seed: study.seed, isAllowed } };
  const made =
    choice.kind === "given"
      ? givenDesign(choice.points, ground.factors, ground.settings)
      : designOf(choice, ground, key === "design" ? study.moreRuns : 0);
  if (!isRefusal(made)) return made;
  return { code: "design", place, found: made.refused, expected: made.possible.join("; or ") };
}

function designOf(
  request: DesignRequest<Exclude<DesignKind, "given">>,
  { factors, settings }: Ground,
  more: number,
): Design | DesignRefusal {
  const first = makeDesign(request, factors, settings);
  return more === 0 || isRefusal(first) ? first : extendDesign(first, request, factors, settings, more);
}
