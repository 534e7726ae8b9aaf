import { outdoes, peakOn } from "../../maths/scalar.ts";
import type { StopStretch } from "../duty/stops.ts";
import type { PickDuty } from "../limits/pick-duty.ts";
import { type Capacitors, type Fall, fallOf } from "./capacitor-fall.ts";
import { drawsOf, type Path, pathOf, sampledDraw } from "./dying-axis.ts";

/** An axis of a bus whose mains fail. */
export interface Rider {
  readonly pick: PickDuty;
  /** In which it stops [s]. */
  readonly ramp: number;
  /** Its stops in that time. */
  readonly stretches: readonly StopStretch[];
  /**
   * How long its drive holds it afterwards, until its brake grips [s]. Infinity: it has no brake, or nobody knows its time.
   * Absent: nothing hangs on it.
   */
  readonly hold?: number;
}

/** A bus in one run of its machine, without mains. */
export interface DyingBus {
  /** Those in the machine's cycle, and those with a period of their own. */
  readonly inside: readonly Rider[];
  readonly outside: readonly Rider[];
  readonly period: number;
  /** Of all drive modules, all the time [W]. */
  readonly fixedLoss: number;
  readonly capacitors: Capacitors;
}

/** What happens at the worst instants at which the mains can fail. */
export interface RideDown extends Fall {
  /** When the mains fail so that the energy gets lowest, of what ends up empty so that control is lost soonest [s]. */
  readonly time: number;
}

/**
 * The mains of a bus fail: each axis goes evenly to rest in its ramp, a hanging one is then held until its brake grips; the
 * capacitors give what that takes, and get what braking gives back.
 *
 * Worst over all instants of the run, and the soonest loss of control over all instants: from a time at which control is lost
 * for some instant to the instant that takes most until then, and so on. Axes outside the cycle count at the instant at which
 * they take most until all is over.
 *
 * Source: power balance; common practice, no source.
 */
export function rideDown(bus: DyingBus): RideDown {
  const end = endOf([...bus.inside, ...bus.outside]);
  const outside = bus.outside.flatMap((rider) => worstAlone(rider, end.known));
  const fallFrom = (at: Instant): Fall =>
    fallOf(bus.capacitors, drawsOf([...pathsAt(bus.inside, at), ...outside], end.last, bus.fixedLoss));
  let instant = worstInstant(bus, outside, end.known);
  const deepest = fallFrom(instant);
  let { lost } = deepest;
  for (let round = 0; round < 20 && lost !== undefined; round++) {
    const next = worstInstant(bus, outside, lost);
    const sooner = fallFrom(next).lost;
    if (sooner === undefined || sooner >= lost * (1 - 1e-9)) break;
    lost = sooner;
    if (deepest.lowest === Number.NEGATIVE_INFINITY) instant = next;
  }
  return { ...deepest, time: instant.at, ...(lost === undefined ? {} : { lost }) };
}

/** When the last brake grips, for all that is known and in truth: Infinity where one never does [s]. */
function endOf(riders: readonly Rider[]): { known: number; last: number } {
  const ends = riders.flatMap(({ ramp, hold }) => (hold === undefined ? [] : [ramp + hold]));
  const last = Math.max(0, ...ends);
  const finite = [...riders.map(({ ramp }) => ramp), ...ends.filter(Number.isFinite)];
  return { last, known: Number.isFinite(last) ? last : Math.max(...finite) };
}

/** An instant of the cycle, and one of the stretch it belongs to: a border has two sides [s]. */
interface Instant {
  readonly at: number;
  readonly within: number;
}

function pathsAt(riders: readonly Rider[], { at, within }: Instant): Path[] {
  return riders.flatMap((rider) => {
    const stretch = rider.stretches.find(({ from, to }) => from <= within && within <= to);
    return stretch === undefined ? [] : [pathOf(rider, stretch.stopAt(at))];
  });
}

/** The instant of the cycle at which failing mains leave least energy until a time after them [s]; the earliest of equals. */
function worstInstant(bus: DyingBus, outside: readonly Path[], until: number): Instant {
  return worstOn(bus.inside, bus.period, (instant) => {
    const samples = sampledDraw([...pathsAt(bus.inside, instant), ...outside], until, bus.fixedLoss);
    const { start, most } = bus.capacitors;
    let [held, lowest] = [start, start];
    for (const energy of samples) {
      held = Math.min(most, held - energy);
      lowest = Math.min(lowest, held);
    }
    return -lowest;
  });
}

/** An axis with a period of its own, from the instant at which it takes most until a time. */
function worstAlone(rider: Rider, until: number): Path[] {
  const worst = worstOn([rider], rider.pick.duty.period, (instant) => {
    return sampledDraw(pathsAt([rider], instant), until, 0).reduce((sum, energy) => sum + energy, 0);
  });
  return pathsAt([rider], worst);
}

/** Where a value is largest over all instants of a period; the earliest of equals. */
function worstOn(riders: readonly Rider[], period: number, value: (instant: Instant) => number): Instant {
  const times = [0, period, ...riders.flatMap(({ stretches }) => stretches.flatMap(({ from, to }) => [from, to]))];
  const sorted = times.toSorted((a, b) => a - b);
  const borders = sorted.filter((t, k) => k === 0 || t - (sorted[k - 1] ?? 0) > 1e-12 * period);
  let best = { at: 0, within: 0, value: Number.NEGATIVE_INFINITY };
  for (const [k, to] of borders.slice(1).entries()) {
    const from = borders[k] ?? 0;
    const within = (from + to) / 2;
    const found = peakOn((at) => value({ at, within }), from, to, { samples: 8, floor: best.value });
    if (outdoes(found.value, best.value)) best = { ...found, within };
  }
  return best;
}
