import type { Decision } from "../decide/decide.ts";
import { lower } from "../model/lower.ts";
import { lpText } from "../model/lp-text.ts";

/**
 * The solver's input as LP text. A file holds one model: where several ways of braking were looked into, the one with the
 * answer, with the rows that came in on the way. undefined: nothing came to the solver.
 */
export function modelText({ models, certificates, evaluated }: Decision): string | undefined {
  const total = evaluated?.money.total;
  const own = certificates.findLastIndex(({ judged }) =>
    judged.some(({ cost }) => cost !== undefined && cost === total),
  );
  const model = models[Math.max(0, own)];
  return model === undefined ? undefined : lpText(lower(model));
}
