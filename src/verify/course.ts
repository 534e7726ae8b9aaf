import type { Axis } from "../machine/problem.ts";
import type { AxisOracle } from "./axis-oracle.ts";
import { hotResistance, ratioOf } from "./duty.ts";
import type { Course } from "./empty-bus.ts";
import { type AxisPick, currentOf } from "./evaluate-pick.ts";
import type { Grid } from "./motion.ts";
import { heldTorque, stopPowers } from "./stop.ts";

/** One axis of a bus without mains, in all runs of its machine. */
export interface Dying {
  /** Its index in the machine. */
  readonly a: number;
  readonly pick: AxisPick;
  /** Mass riding on it [kg]. */
  readonly carried: number;
  /** In which it stops [s]. */
  readonly ramp: number;
  /** Held so long afterwards; Infinity: for ever; absent: let alone [s]. */
  readonly hold?: number;
}

/** What an axis takes from a node on: its stop step by step, then what holds it. */
export function courseFrom(
  { axis, shaft: shaftAt }: AxisOracle,
  { pick, carried, ramp, hold }: Dying,
  node: number,
  grid?: Grid,
): Course {
  const shaft = shaftAt(carried, grid);
  const stop = { node, time: ramp, carried };
  const [times, taken] = [[0], [0]];
  if (ramp > 0) {
    const powers = stopPowers(axis, shaft, pick, stop);
    const step = ramp / powers.length;
    for (const [k, power] of powers.entries()) {
      times.push(k === powers.length - 1 ? ramp : (k + 1) * step);
      taken.push((taken.at(-1) ?? 0) + step * power);
    }
  }
  if (hold === undefined) return { times, taken, after: 0 };
  const watts = holdingPower(axis, pick, heldTorque(axis, shaft, stop));
  if (hold === Infinity) return { times, taken, after: watts };
  if (hold > 0) {
    times.push(ramp + hold);
    taken.push((taken.at(-1) ?? 0) + hold * watts);
  }
  return { times, taken, after: 0 };
}

/** Copper and drive loss at rest [W]. */
function holdingPower({ needs }: Axis, { motor, gearbox, drive }: AxisPick, torque: number): number {
  const current = currentOf(motor, torque / ratioOf(gearbox), Math.cos(needs.commutationError));
  return 3 * hotResistance(motor) * current ** 2 + drive.lossPerAmp * current;
}
