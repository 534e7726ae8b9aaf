import type { JudgedPair } from "../candidates/judge-axis.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import type { Visit } from "./axis-columns.ts";
import type { Field } from "./field.ts";
import { eachScored, type Scoring, type Seen } from "./pricing.ts";

/** A candidate with what it costs. */
export interface Scored extends Visit {
  readonly score: number;
}

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
  const cheapest = cheapestList(CHEAPEST);
  const best = {
    motor: slots(catalogue.motors.length),
    gearbox: slots(catalogue.gearboxes.length + 1),
    drive: slots(catalogue.drives.length),
    inductor: slots(catalogue.inductors.length + 1),
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
      if (seen.score < cheapest.limit()) cheapest.offer(scoredOf(field, seen));
      if (keep.size === 0) return;
      const key = keyOf(pair, seen.drive, seen.inductor);
      if (keep.has(key)) takeNamed(named, key, scoredOf(field, seen));
    },
  });
  const parts = Object.values(best).flatMap((one) => takenOf(one, field));
  return distinct([...parts, ...cheapest.list, ...named.values()], keyOf);
}

/** A candidate visited, to be kept. */
export function scoredOf({ lead }: Pick<Field, "lead">, { look: l, pair, drive, inductor, at, score }: Seen): Scored {
  const look = lead.looks[l]!;
  return { look, index: pair, drive, inductor, case: look.cases[at]!, score };
}

/** The cheapest candidate with each of some parts, packed: most are soon outdone. */
interface Slots {
  readonly score: Float64Array;
  /** FIELDS indices to a slot. */
  readonly found: Int32Array;
}

const FIELDS = 5;

function slots(count: number): Slots {
  return {
    score: new Float64Array(count).fill(Number.POSITIVE_INFINITY),
    found: new Int32Array(FIELDS * count),
  };
}

/** Hot. */
function take({ score, found }: Slots, slot: number, seen: Seen): void {
  if (seen.score >= score[slot]!) return;
  score[slot] = seen.score;
  const first = FIELDS * slot;
  found[first] = seen.look;
  found[first + 1] = seen.pair;
  found[first + 2] = seen.drive;
  found[first + 3] = seen.inductor;
  found[first + 4] = seen.at;
}

function takenOf({ score, found }: Slots, field: Field): Scored[] {
  return Array.from(score).flatMap((own, slot) => {
    if (own === Number.POSITIVE_INFINITY) return [];
    const [look, pair, drive, inductor, at] = found.subarray(FIELDS * slot, FIELDS * (slot + 1));
    return scoredOf(field, { look: look!, pair: pair!, drive: drive!, inductor: inductor!, at: at!, score: own });
  });
}

function takeNamed(named: Map<number, Scored>, key: number, found: Scored): void {
  const before = named.get(key);
  if (before === undefined || found.score < before.score) named.set(key, found);
}

/** The cheapest candidates so far, cheapest first. */
export interface CheapestList {
  readonly list: readonly Scored[];
  /** What another must cost less than. */
  readonly limit: () => number;
  readonly offer: (found: Scored) => void;
}

export function cheapestList(count: number): CheapestList {
  const list: Scored[] = [];
  const limit = (): number => (list.length < count ? Number.POSITIVE_INFINITY : (list.at(-1)?.score ?? 0));
  const offer = (found: Scored): void => {
    if (found.score >= limit()) return;
    let at = list.length;
    while (at > 0 && found.score < (list[at - 1]?.score ?? 0)) at--;
    list.splice(at, 0, found);
    if (list.length > count) list.pop();
  };
  return { list, limit, offer };
}

function distinct(found: readonly Scored[], keyOf: KeyOf): Scored[] {
  const kept = new Map<string, Scored>();
  for (const one of found) kept.set(`${visitKey(keyOf, one)} ${one.case}`, one);
  return [...kept.values()];
}
