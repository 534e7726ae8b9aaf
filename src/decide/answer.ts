import type { PickParts } from "../physics/limits/pick-duty.ts";
import type { SupplyOption } from "./supply-options.ts";

/** A complete answer: parts for every axis and a supply for every bus, by machine and index. */
export interface OrderAnswer {
  readonly machines: readonly MachineAnswer[];
}

export interface MachineAnswer {
  readonly axes: readonly PickParts[];
  readonly buses: readonly SupplyOption[];
}

/** Mass that rides along with an axis's parts: motor with its brake, and gearbox [kg]. */
export function ridingMass({ motor, gearbox }: Pick<PickParts, "motor" | "gearbox">): number {
  return motor.mass + (gearbox?.mass ?? 0);
}
