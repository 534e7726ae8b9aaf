import type { JudgedPair } from "../candidates/judge-axis.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import type { Visit } from "./axis-columns.ts";
import type { Field } from "./field.ts";
import { eachScored, type Scoring } from "./pricing.ts";

/** A candidate with what it costs. */
export interface Scored extends Visit {
  readonly score: number;
}

/** Cheapest candidates that a selection holds beside one for every part. */
const CHEAPEST = 60;

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
    visit: (l, p, drive, inductor, at, score) => {
      const look = looks[l]!;
      const { motor, gearbox } = look.judged.pairs[p]!;
      const isBetter =
        score < best.motor.score[motor]! ||
        score < best.gearbox.score[gearbox + 1]! ||
        score < best.drive.score[drive]! ||
        score < best.inductor.score[inductor + 1]! ||
        score < cheapest.limit();
      const key = isBetter || keep.size > 0 ? keyOf({ motor, gearbox }, drive, inductor) : 0;
      if (!isBetter && !keep.has(key)) return;
      const found: Scored = { look, index: p, drive, inductor, case: look.cases[at]!, score };
      take(best.motor, motor, found);
      take(best.gearbox, gearbox + 1, found);
      take(best.drive, drive, found);
      take(best.inductor, inductor + 1, found);
      cheapest.offer(found);
      if (keep.has(key)) takeNamed(named, key, found);
    },
  });
  const parts = Object.values(best).flatMap(({ found }) => found.filter((one) => one !== undefined));
  return distinct([...parts, ...cheapest.list, ...named.values()], keyOf);
}

interface Slots {
  readonly score: Float64Array;
  readonly found: (Scored | undefined)[];
}

function slots(count: number): Slots {
  return {
    score: new Float64Array(count).fill(Number.POSITIVE_INFINITY),
    found: Array.from({ length: count }, () => undefined),
  };
}

function take({ score, found }: Slots, at: number, one: Scored): void {
  if (one.score >= score[at]!) return;
  score[at] = one.score;
  found[at] = one;
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
