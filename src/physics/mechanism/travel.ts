import type { Mechanism } from "../../machine/mechanism.ts";

/** A mechanism whose ratio does not change with its position. */
export type SteadyMechanism = Exclude<Mechanism, { readonly kind: "winder" | "crank" }>;

/** Whether the ratio stays. Source: definition. */
export function isSteadyMechanism(mechanism: Mechanism): mechanism is SteadyMechanism {
  return mechanism.kind !== "winder" && mechanism.kind !== "crank";
}

/**
 * κ: travel of the output per radian of the mechanism's input shaft [m/rad]; 1 for rotary axes and measured shafts.
 *
 * κ = lead/2π for screws, diameter/2 for belt, rack and rollers
 * Source: one lead per turn; rolling without slip. Common practice, no source.
 */
export function travelPerRadian(mechanism: SteadyMechanism): number {
  if ("lead" in mechanism) return mechanism.lead / (2 * Math.PI);
  return "diameter" in mechanism ? mechanism.diameter / 2 : 1;
}

/** True where a load on the output cannot turn the input. Source: common practice, no source. */
export function isSelfLocking(mechanism: Mechanism): boolean {
  return mechanism.backEfficiency <= 0;
}
