import type { Scalar } from "../../maths/scalar.ts";
import type { LoadStop } from "../duty/stops.ts";
import type { PickDuty } from "../limits/pick-duty.ts";
import type { Draw } from "./capacitor-fall.ts";
import { powerDraw } from "./pair-power.ts";
import { stopBorders, stopPower } from "./stop-energy.ts";

/** An axis from the instant at which the mains fail: it stops in its ramp, and is then held or let alone. */
export interface Path {
  /** [s] */
  readonly ramp: number;
  /** Until when it is held [s]; the ramp's end where nothing hangs. */
  readonly grip: number;
  /** Over the time since the mains failed, within the ramp, without fixed losses [W]. */
  readonly braking: Scalar;
  /** Times within the ramp at which that changes its form [s]. */
  readonly borders: () => readonly number[];
  /** At rest afterwards [W]. */
  readonly held: number;
}

/** How an axis stops and is held. */
export interface Dying {
  readonly pick: PickDuty;
  readonly ramp: number;
  readonly hold?: number;
}

/**
 * An axis through its stop, then at rest with what hangs on it; a measured shaft with the most it is known to hold.
 *
 * Source: as for `pairPower`.
 */
export function pathOf({ pick, ramp, hold = 0 }: Dying, stop: LoadStop): Path {
  const [, , atRest] = pick.factors.flow;
  const torque = atRest * (stop.held ?? pick.duty.hangingTorque);
  const power = stopPower(pick, stop);
  // At a standstill everything is constant.
  const steady = stop.turning === 0 ? power(1) : undefined;
  return {
    ramp,
    grip: ramp + hold,
    braking: (t) => steady ?? power(1 - t / ramp),
    borders: () => stopBorders(pick, stop).map((share) => ramp * (1 - share)),
    held: powerDraw(pick)(torque, 0, pick.drive.lossPerAmp),
  };
}

/** What axes draw together, stretch by stretch until a time. Source: sum of powers. @param fixedLoss - all the time [W] */
export function drawsOf(paths: readonly Path[], until: number, fixedLoss: number): Draw[] {
  return phasesOf(paths, until, (path) => path.borders()).map(({ from, to }) => ({
    from,
    to,
    power: powerWithin(paths, { from, to }, fixedLoss),
  }));
}

/** Steps of the ramps by which instants are compared; the one chosen is worked out exactly. */
const STEPS = 16;

/** Energies drawn one after the other until a time, roughly, by parabolas [J]. Source: Simpson's rule, each half apart. */
export function sampledDraw(paths: readonly Path[], until: number, fixedLoss: number): number[] {
  const ramps = Math.min(until, Math.max(0, ...paths.map(({ ramp }) => ramp)));
  const energies: number[] = [];
  for (const { from, to } of phasesOf(paths, until, () => [])) {
    const power = powerWithin(paths, { from, to }, fixedLoss);
    if (from >= ramps) {
      energies.push((to - from) * power(from));
      continue;
    }
    const pairs = Math.ceil((STEPS * (to - from)) / (2 * ramps));
    const step = (to - from) / (2 * pairs);
    let first = power(from);
    for (let k = 1; k < 2 * pairs; k += 2) {
      const [middle, last] = [power(from + k * step), power(from + (k + 1) * step)];
      energies.push((step * (5 * first + 8 * middle - last)) / 12, (step * (5 * last + 8 * middle - first)) / 12);
      first = last;
    }
  }
  return energies;
}

interface Phase {
  readonly from: number;
  readonly to: number;
}

/** Time cut where an axis comes to rest or its brake grips, and at further borders. */
function phasesOf(paths: readonly Path[], until: number, further: (path: Path) => readonly number[]): Phase[] {
  const cuts = paths.flatMap((path) => [path.ramp, path.grip, ...further(path)]);
  const inside = [...new Set(cuts)].filter((t) => t > 0 && t < until).toSorted((a, b) => a - b);
  const borders = [0, ...inside, until];
  return until > 0 ? borders.slice(1).map((to, k) => ({ from: borders[k] ?? 0, to })) : [];
}

/** Power of all axes together within a phase [W]. */
function powerWithin(paths: readonly Path[], { from, to }: Phase, fixedLoss: number): Scalar {
  const braking = paths.filter(({ ramp }) => ramp >= to);
  const held = paths.filter(({ ramp, grip }) => ramp <= from && grip >= to);
  const steady = held.reduce((sum, path) => sum + path.held, fixedLoss);
  return (t) => braking.reduce((sum, path) => sum + path.braking(t), steady);
}
