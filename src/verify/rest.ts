import type { Motor } from "../machine/catalogue.ts";
import type { LimitId } from "../machine/limit.ts";
import type { Shaft } from "./shaft.ts";

/** A limit by its two numbers, or the column that is missing for it. */
export type Finding =
  | { readonly id: LimitId; readonly demand: number; readonly allowed: number }
  | { readonly id: LimitId; readonly missing: string; readonly asked: boolean };

/** Stretches of the cycle in order: torque held at rest, or null where the axis moves, and how long. */
function stretchesOf({ direction, torque, sampled }: Shaft): { held: number | null; time: number }[] {
  const { time } = sampled.grid;
  const found: { held: number | null; time: number }[] = [];
  for (let k = 1; k < time.length; k++) {
    const step = (time[k] ?? 0) - (time[k - 1] ?? 0);
    if (step <= 0) continue;
    const rests = direction[k] === 0 && direction[k - 1] === 0;
    const held = rests ? Math.abs(torque[k] ?? 0) : null;
    const last = found.at(-1);
    if (last !== undefined && last.held === held) found[found.length - 1] = { held, time: last.time + step };
    else found.push({ held, time: step });
  }
  return found;
}

/** The largest torque that some window of rest longer than a time never falls below [N·m]; 0: there is none. */
function heldLonger(shaft: Shaft, longerThan: number): number {
  const stretches = stretchesOf(shaft);
  if (stretches.every(({ held }) => held !== null)) return Math.min(...stretches.map(({ held }) => held ?? 0));
  let best = 0;
  for (let first = 0; first < stretches.length; first++) {
    let [least, time] = [Infinity, 0];
    for (let k = first; k < first + stretches.length; k++) {
      const stretch = stretches[k % stretches.length];
      if (stretch === undefined || stretch.held === null) break;
      least = Math.min(least, stretch.held);
      time += stretch.time;
      if (time > longerThan) best = Math.max(best, least);
    }
  }
  return best;
}

/**
 * Torque at standstill: the one phase that carries the current gets twice its mean heat, so T0/√2 where the catalogue
 * says nothing. Common practice, no source.
 *
 * @param derating - of the stall torque
 */
export function restFindings(shaft: Shaft, motor: Motor, ratio: number, derating: number): Finding[] {
  const id = "motor.standstill_torque";
  if (heldLonger(shaft, 0) <= 1e-6) return [];
  if (motor.windingTime === undefined) return [{ id, missing: "winding_time", asked: false }];
  const torque = heldLonger(shaft, motor.windingTime);
  if (torque <= 1e-6) return [];
  const allowed = (motor.standstillTorque ?? motor.stallTorque * Math.SQRT1_2) * derating;
  return [{ id, demand: torque / ratio, allowed }];
}
