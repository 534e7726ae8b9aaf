import type { Multipliers } from "../solve/multipliers.ts";
import type { AxisColumns } from "./axis-columns.ts";
import type { Field, JudgedAxes } from "./field.ts";
import { finer } from "./finer.ts";
import { type FirstLook, firstLookOf } from "./first-look.ts";
import type { JudgedAxis } from "./judged-axis.ts";
import { type KeptField, keptAxis, keptWithin, NOTHING_KEPT } from "./kept.ts";
import { type PricedField, within } from "./priced-field.ts";
import type { TakenSpans } from "./round.ts";
import type { Setup } from "./setup.ts";
import { type Cast, castOf, columnsBy, improve, learn, newSieve, recast, type Sieve, type SiftTools } from "./sieve.ts";

/** What is left, and the cost of the best known answer [cent]. */
export interface Sifted {
  readonly columns: readonly (readonly AxisColumns[])[];
  readonly best: number;
  /** No answer costs less [cent]. */
  readonly bound: number;
  /** false: stopped on the way; what is left is a selection, not all that an answer can contain. */
  readonly isWhole: boolean;
  readonly multipliers: Multipliers;
  readonly taken: TakenSpans;
  /** What the first turn proved of all candidates. */
  readonly first: FirstLook;
}

/** Turns at the most, and the share of the candidates that one must drop to be worth another. */
const TURNS = 12;
const WORTH = 0.15;
/** Work on an axis up to which it is judged case by case at once, and where sifting it further does not help any more. */
const QUICK = 20_000;
const PATIENT = 200_000;
/** So few candidates need no more sifting. */
const FEW = 250;
/** With more left than this, a better answer is looked for first. */
const MANY = 60_000;

/**
 * Keeps every candidate that an answer no dearer than the best known one can contain, and drops the rest by proof.
 *
 * Multipliers are found on a thin model that holds every part of every axis at least once; they then price out every
 * candidate: bound + (reduced cost − least reduced cost of the axis) + what its unused parts cost at least. One pass over
 * packed candidates in place of a column for each. What is left is judged finer where less can ride, and sifted again.
 */
export async function sifted(setup: Setup, judged: JudgedAxes, tools: SiftTools): Promise<Sifted> {
  const sieve = newSieve(setup, judged, tools);
  let before = Number.POSITIVE_INFINITY;
  let first: FirstLook | undefined;
  for (let turn = 1; ; turn++) {
    const cast = await castOf(sieve, tools);
    first ??= firstLookOf(sieve, judged, { cast, memory: tools.memory });
    learn(sieve, cast);
    let left = leftOf(sieve, cast);
    if (sizeOf(left) > MANY && (await improve(sieve, cast, tools))) left = leftOf(sieve, cast);
    const { bound, multipliers, round } = cast;
    const outcome = { best: sieve.best, bound, multipliers, taken: sieve.taken, first };
    if (tools.isStopped()) return { ...outcome, columns: round.columns, isWhole: false };
    const next = nextOf(sieve, left, { turn, before });
    if (next === undefined) return { ...outcome, columns: leftColumns(sieve, cast), isWhole: true };
    before = next.size;
    recast(sieve, next.leads, { cast, tools });
  }
}

/** Candidates that an answer as good as the best known one can contain, by field. */
function leftOf(sieve: Sieve, cast: Cast): KeptField[] {
  return eachField(sieve, cast, (field, priced, room) => keptWithin(field, priced, room), NOTHING_KEPT);
}

/** The same as columns of their axes. */
function leftColumns(sieve: Sieve, cast: Cast): AxisColumns[][] {
  const left = eachField(sieve, cast, (field, priced, room) => within(field, priced, room), []);
  return columnsBy(sieve, left);
}

/** What is left of each field, in the room between bound and best known answer; `nothing` where there is none. */
function eachField<T>(
  { fields, best }: Sieve,
  { bound, priced, round }: Cast,
  left: (field: Field, priced: PricedField, room: number) => T,
  nothing: T,
): T[] {
  const room = best + round.built.model.rounding - bound;
  return fields.map((field, f) => {
    const own = priced[f];
    return room < 0 || own === undefined ? nothing : left(field, own, room);
  });
}

function sizeOf(left: readonly KeptField[]): number {
  return left.reduce((sum, { size }) => sum + size, 0);
}

/** What goes into another turn: by field, and how many it is to beat; undefined where another is not worth it. */
function nextOf(
  sieve: Sieve,
  left: readonly KeptField[],
  { turn, before }: { turn: number; before: number },
): { leads: readonly JudgedAxis[]; size: number } | undefined {
  const size = sizeOf(left);
  if (size <= FEW || turn === TURNS) return undefined;
  const isSettled = size > (1 - WORTH) * before;
  const { leads, isFiner } = finer(sieve.setup, {
    fields: sieve.fields,
    leads: sieve.fields.map(({ lead }, f) => keptAxis(lead, left[f] ?? NOTHING_KEPT)),
    strains: sieve.strains,
    most: isSettled ? PATIENT : QUICK,
  });
  if (isSettled && !isFiner) return undefined;
  return { leads, size: isFiner ? Number.POSITIVE_INFINITY : size };
}
