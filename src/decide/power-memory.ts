import type { Duty } from "../physics/duty/duty.ts";
import type { LookPower } from "./field.ts";
import type { Look } from "./judged-axis.ts";
import { type KnownPair, type QuickDuty, quickDuty, type Taken, type TakenRuns } from "./power-book.ts";

/** Keeps what was worked out of powers, so that questions much alike pay for what differs only. */
export interface PowerMemory {
  /** Means of a duty over the counted spans. */
  readonly quick: (duty: Duty, taken: Taken) => QuickDuty;
  /** Powers of an axis's candidates over the counted spans. */
  readonly power: (look: Look, taken: TakenRuns, make: () => LookPower) => LookPower;
  /** Exact powers on a duty that were asked for, by motor with gearbox as columns number them. Filled in by who asks. */
  readonly pairs: (duty: Duty) => Map<number, KnownPair>;
}

export function powerMemory(): PowerMemory {
  const duties = new WeakMap<Duty, WeakMap<Taken, QuickDuty>>();
  const looks = new WeakMap<Look, WeakMap<TakenRuns, LookPower>>();
  const pairs = new WeakMap<Duty, Map<number, KnownPair>>();
  return {
    pairs: (duty) => {
      const own = pairs.get(duty) ?? new Map<number, KnownPair>();
      pairs.set(duty, own);
      return own;
    },
    quick: (duty, taken) => remembered(duties, { key: duty, taken }, () => quickDuty(duty, taken)),
    power: (look, taken, make) => remembered(looks, { key: look, taken }, make),
  };
}

function remembered<K extends object, T extends object, V>(
  store: WeakMap<K, WeakMap<T, V>>,
  { key, taken }: { key: K; taken: T },
  make: () => V,
): V {
  const own = store.get(key) ?? new WeakMap<T, V>();
  store.set(key, own);
  const known = own.get(taken);
  if (known !== undefined) return known;
  const made = make();
  own.set(taken, made);
  return made;
}
