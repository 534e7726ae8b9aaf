import type { JudgedPair } from "../candidates/judge-axis.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import type { Visit } from "./axis-columns.ts";
import type { Field } from "./field.ts";
import { eachScored, type Scoring } from "./pricing.ts";
import { limitOf, newCheapest, newSlots, offer, type Scored, scoredOf, take, takenOf } from "./slots.ts";

/** Cheapest candidates that a selection holds beside one for every part. */
const CHEAPEST = 120;

/** A number for each candidate of an axis, the same in every judging of it. */
export type KeyOf = (pair: Pick<JudgedPair, "motor" | "gearbox">, drive: number, inductor: number) => number;

export function keysOf({ gearboxes, drives, inductors }: Catalogue): KeyOf {
  const sizes = { gearbox: gearboxes.length + 1, drive: drives.length, inductor: inductors.length + 1 };
  return ({ motor, gearbox }, drive, inductor) =>
    ((motor * sizes.gearbox + gearbox + 1) * sizes.drive + drive) * sizes.inductor + inductor + 1;
}

/** The key of a packed candidate. */
export function visitKey(keyOf: KeyOf, { look, index, drive, inductor }: Visit): number {
  return keyOf(look.judged.pairs[index] ?? { motor: -1, gearbox: -1 }, drive, inductor);
}

/**
 * A selection of a field's candidates: the cheapest with each part, the cheapest of all, and those named.
 *
 * @param keep - keys of candidates that are wanted in any case
 */
export function coverOf(
  field: Field,
  scoring: Scoring,
  { keep, keyOf }: { keep: ReadonlySet<number>; keyOf: KeyOf },
): Scored[] {
  const { catalogue } = scoring;
  const cheapest = newCheapest(CHEAPEST);
  const best = {
    motor: newSlots(catalogue.motors.length),
    gearbox: newSlots(catalogue.gearboxes.length + 1),
    drive: newSlots(catalogue.drives.length),
    inductor: newSlots(catalogue.inductors.length + 1),
  };
  const named = new Map<number, Scored>();
  const { looks } = field.lead;
  eachScored(field, scoring, {
    bounds: { limit: Number.POSITIVE_INFINITY },
    visit: (seen) => {
      const pair = looks[seen.look]!.judged.pairs[seen.pair]!;
      take(best.motor, pair.motor, seen);
      take(best.gearbox, pair.gearbox + 1, seen);
      take(best.drive, seen.drive, seen);
      take(best.inductor, seen.inductor + 1, seen);
      if (seen.score < limitOf(cheapest)) offer(cheapest, seen);
      if (keep.size === 0) return;
      const key = keyOf(pair, seen.drive, seen.inductor);
      if (keep.has(key)) takeNamed(named, key, scoredOf(field, seen));
    },
  });
  const taken = [...Object.values(best), cheapest].flatMap((one) => takenOf(one, field));
  return distinct([...taken, ...named.values()], keyOf);
}

function takeNamed(named: Map<number, Scored>, key: number, found: Scored): void {
  const before = named.get(key);
  if (before === undefined || found.score < before.score) named.set(key, found);
}

function distinct(found: readonly Scored[], keyOf: KeyOf): Scored[] {
  const kept = new Map<string, Scored>();
  for (const one of found) kept.set(`${visitKey(keyOf, one)} ${one.case}`, one);
  return [...kept.values()];
}
