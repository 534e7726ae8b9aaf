import type { Visit } from "./axis-columns.ts";
import type { Field } from "./field.ts";
import type { Seen } from "./pricing.ts";

/** A candidate with what it costs. */
export interface Scored extends Visit {
  readonly score: number;
}

/** A candidate visited, to be kept. */
export function scoredOf({ lead }: Pick<Field, "lead">, { look: l, pair, drive, inductor, at, score }: Seen): Scored {
  const look = lead.looks[l]!;
  return { look, index: pair, drive, inductor, case: look.cases[at]!, score };
}

/** Candidates visited, packed: most are soon outdone. An empty slot costs Infinity. */
export interface Slots {
  readonly score: Float64Array;
  /** FIELDS indices to a slot. */
  readonly found: Int32Array;
}

const FIELDS = 5;

export function newSlots(count: number): Slots {
  return {
    score: new Float64Array(count).fill(Number.POSITIVE_INFINITY),
    found: new Int32Array(FIELDS * count),
  };
}

/** Puts a candidate into a slot if it is cheaper than what is there. Hot. */
export function take(slots: Slots, slot: number, seen: Seen): void {
  if (seen.score < slots.score[slot]!) put(slots, slot, seen);
}

function put({ score, found }: Slots, slot: number, seen: Seen): void {
  score[slot] = seen.score;
  const first = FIELDS * slot;
  found[first] = seen.look;
  found[first + 1] = seen.pair;
  found[first + 2] = seen.drive;
  found[first + 3] = seen.inductor;
  found[first + 4] = seen.at;
}

/** What the slots hold. */
export function takenOf({ score, found }: Slots, field: Pick<Field, "lead">): Scored[] {
  return Array.from(score).flatMap((own, slot) => {
    if (own === Number.POSITIVE_INFINITY) return [];
    const [look, pair, drive, inductor, at] = found.subarray(FIELDS * slot, FIELDS * (slot + 1));
    return scoredOf(field, { look: look!, pair: pair!, drive: drive!, inductor: inductor!, at: at!, score: own });
  });
}

/** The cheapest candidates so far, cheapest first. */
export interface Cheapest extends Slots {
  count: number;
}

export function newCheapest(size: number): Cheapest {
  return { ...newSlots(size), count: 0 };
}

/** What another candidate must cost less than. Hot. */
export function limitOf({ score, count }: Cheapest): number {
  return count < score.length ? Number.POSITIVE_INFINITY : score[count - 1]!;
}

/** Lets a candidate that costs less than the limit in. Of equals the first one stays in front. */
export function offer(cheapest: Cheapest, seen: Seen): void {
  const { score, found, count } = cheapest;
  let at = Math.min(count, score.length - 1);
  while (at > 0 && seen.score < score[at - 1]!) at--;
  score.copyWithin(at + 1, at);
  found.copyWithin(FIELDS * (at + 1), FIELDS * at);
  put(cheapest, at, seen);
  cheapest.count = Math.min(count + 1, score.length);
}
