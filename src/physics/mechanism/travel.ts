import { InternalFault } from "../../faults/fault.ts";
import type { Mechanism } from "../../machine/problem.ts";

/**
 * κ: travel of the output per radian of the mechanism's input shaft [m/rad]; 1 for rotary axes.
 *
 * κ = lead/2π for screws, diameter/2 for belt, rack and rollers
 * Source: one lead per turn; rolling without slip. Common practice, no source.
 *
 * @throws InternalFault for a kind this version does not solve (the reader turns those down)
 */
export function travelPerRadian(mechanism: Mechanism): number {
  if ("lead" in mechanism) return mechanism.lead / (2 * Math.PI);
  if ("diameter" in mechanism) return mechanism.diameter / 2;
  if (mechanism.kind === "rotary") return 1;
  throw new InternalFault(`travelPerRadian: ${mechanism.kind} is not solved`);
}

/** True where a load on the output cannot turn the input. Source: common practice, no source. */
export function isSelfLocking(mechanism: Mechanism): boolean {
  return mechanism.backEfficiency <= 0;
}
