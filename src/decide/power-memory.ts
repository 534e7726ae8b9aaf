import type { Duty } from "../physics/duty/duty.ts";
import type { LookPower } from "./field.ts";
import type { Look } from "./judged-axis.ts";
import { type KnownPair, type QuickDuty, quickDuty, type Taken, type TakenRuns } from "./power-book.ts";
import { remembered } from "./remembered.ts";

/** Keeps what was worked out of powers, so that questions much alike pay for what differs only. */
export interface PowerMemory {
  /** Means of a duty over the counted spans. */
  readonly quick: (duty: Duty, taken: Taken) => QuickDuty;
  /** Powers of an axis's candidates over the counted spans. */
  readonly power: (look: Look, taken: TakenRuns, make: () => LookPower) => LookPower;
  /** Exact powers on a duty of a motor with gearbox, as columns number them. */
  readonly pair: (duty: Duty, pair: number, make: () => KnownPair) => KnownPair;
}

export function powerMemory(): PowerMemory {
  const duties = new WeakMap<Duty, WeakMap<Taken, QuickDuty>>();
  const looks = new WeakMap<Look, WeakMap<TakenRuns, LookPower>>();
  const pairs = new WeakMap<Duty, Map<number, KnownPair>>();
  return {
    quick: (duty, taken) => {
      const own = remembered(duties, duty, () => new WeakMap<Taken, QuickDuty>());
      return remembered(own, taken, () => quickDuty(duty, taken));
    },
    power: (look, taken, make) => {
      const own = remembered(looks, look, () => new WeakMap<TakenRuns, LookPower>());
      return remembered(own, taken, make);
    },
    pair: (duty, pair, make) => {
      const own = remembered(pairs, duty, () => new Map<number, KnownPair>());
      return remembered(own, pair, make);
    },
  };
}
