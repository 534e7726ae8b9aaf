import { studentTails } from "./distributions.ts";
import { lengthOf, preciseDot } from "./precise-sum.ts";
import { type Figure, isKnown, mapFigure } from "./remark.ts";
import type { Solved } from "./solved.ts";
import type { Term } from "./term.ts";

/** A coefficient of a model. */
export interface Coefficient {
  /** "A", "A × B", "A²", "motor [slotted]". */
  readonly name: string;
  readonly term: Term;
  readonly value: number;
  readonly standardError: Figure;
  readonly t: Figure;
  /** Chance of such a t, or one further from zero, if the coefficient were zero. */
  readonly p: Figure;
}

/** How well a model describes its runs. */
export interface Quality {
  /** Root of the residual mean square. */
  readonly residualSd: Figure;
  /** Share of the squares that the model explains. */
  readonly r2: Figure;
  /** 1 − (residual mean square)/(total mean square). */
  readonly adjustedR2: Figure;
  /** 1 − PRESS/total, PRESS = Σ(residual/(1 − leverage))²: each run predicted from the others. */
  readonly predictedR2: Figure;
}

/** A leverage this near to 1 is 1. */
const FULL = 1e-9;

/** Quality of a fit. */
export function qualityOf(solved: Solved): Quality {
  return {
    residualSd: residualSd(solved),
    r2: shareOf(solved, () => solved.explained / (solved.explained + solved.residual.sumOfSquares)),
    adjustedR2: shareOf(solved, () => adjusted(solved)),
    predictedR2: shareOf(solved, () => predicted(solved)),
  };
}

function shareOf({ total, near }: Solved, share: () => Figure): Figure {
  if (near.length === 0) return { absent: "no-runs" };
  return total === 0 ? { absent: "constant" } : share();
}

function residualSd({ residual, near }: Solved): Figure {
  if (near.length === 0) return { absent: "no-runs" };
  return residual.freedom > 0 ? Math.sqrt(residual.sumOfSquares / residual.freedom) : { absent: "no-error-freedom" };
}

function adjusted({ residual, total, near, hasMean }: Solved): Figure {
  if (residual.freedom <= 0) return { absent: "no-error-freedom" };
  return 1 - residual.sumOfSquares / residual.freedom / (total / (near.length - (hasMean ? 1 : 0)));
}

function predicted({ residuals, leverages, total }: Solved): Figure {
  if (leverages.some((leverage) => leverage > 1 - FULL)) return { absent: "full-leverage" };
  const errors = residuals.map((residual, k) => residual / (1 - (leverages[k] ?? 0)));
  return 1 - preciseDot(errors, errors) / total;
}

/** Coefficients with what is known of their uncertainty. */
export function coefficientsOf(solved: Solved): Coefficient[] {
  const sd = residualSd(solved);
  return solved.columns.map(({ name, term }, k) => {
    const value = solved.coefficients[k] ?? 0;
    const standardError = mapFigure(sd, (s) => s * lengthOf(solved.spreads[k] ?? []));
    const t = mapFigure(standardError, (error): Figure => (error === 0 ? { absent: "no-error" } : value / error));
    const p = isKnown(t) ? studentTails(t, solved.residual.freedom) : t;
    return { name, term, value, standardError, t, p };
  });
}
