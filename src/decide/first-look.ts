import { type Counting, type Field, fieldsOf, type JudgedAxes } from "./field.ts";
import type { PowerMemory } from "./power-memory.ts";
import { carryOf, leastOf, type PricedField } from "./priced-field.ts";
import type { Setup } from "./setup.ts";
import { type Cast, countingOf, type Sieve } from "./sieve.ts";

/** What the first turn of sifting proved of all candidates: enough to bound a question that differs in a few axes. */
export interface FirstLook {
  readonly judged: JudgedAxes;
  readonly fields: readonly Field[];
  readonly priced: readonly PricedField[];
  readonly counting: Counting;
  /** No answer costs less, even where axes get other candidates that cost no less themselves [cent]. */
  readonly bound: number;
  /** What rounding to cents can add to it [cent]. */
  readonly rounding: number;
}

export function firstLookOf(
  { setup, fields, taken }: Sieve,
  judged: JudgedAxes,
  { cast, memory }: { cast: Cast; memory: PowerMemory },
): FirstLook {
  const { priced, openBound, round } = cast;
  return {
    judged,
    fields,
    priced,
    counting: countingOf(setup, taken, memory),
    bound: openBound,
    rounding: round.built.model.rounding,
  };
}

/**
 * What answers cost at least where some axes have other candidates than those looked at [cent].
 *
 * At given multipliers the bound is a sum over groups: those that changed are priced anew.
 */
export function boundBeside(look: FirstLook, setup: Setup, judged: JudgedAxes): number {
  const changed = look.fields.flatMap(({ machine, axes }, f) =>
    axes.some((a) => judged[machine]?.[a] !== look.judged[machine]?.[a]) ? [f] : [],
  );
  if (changed.length === 0) return look.bound;
  const only = judged.map((axes, m) =>
    axes.map((axis, a) =>
      changed.some((f) => look.fields[f]?.machine === m && look.fields[f].axes.includes(a)) ? axis : emptied(axis),
    ),
  );
  const fields = fieldsOf(setup, only, look.counting);
  return changed.reduce((sum, f) => sum + gainOf(look.priced[f], fields[f]), look.bound);
}

/** Costs nothing to work out. */
function emptied(axis: JudgedAxes[number][number]): JudgedAxes[number][number] {
  return { ...axis, looks: [] };
}

function gainOf(priced: PricedField | undefined, field: Field | undefined): number {
  if (priced === undefined || field === undefined) return 0;
  const scoring = { ...priced.scoring, carry: carryOf(field, priced.perCarried) };
  return leastOf(field, scoring) - priced.least;
}
