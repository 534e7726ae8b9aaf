import type { Motor } from "../machine/catalogue.ts";
import type { Axis, Site } from "../machine/problem.ts";
import { type MotorRating, motorRating } from "../physics/limits/rating.ts";

/** A motor as one axis sees it: everything that does not depend on the gearbox, worked out once. */
export interface MotorRow {
  readonly index: number;
  readonly motor: Motor;
  readonly rating: MotorRating;
  /** Motor, brake and coupling [kg·m²]. */
  readonly inertia: number;
  /** Motor and brake [kg·m²]. */
  readonly rotorInertia: number;
}

export function motorRow(axis: Axis, site: Site, { motor, index }: { motor: Motor; index: number }): MotorRow {
  const rotorInertia = motor.rotorInertia + motor.brakeInertia;
  return {
    index,
    motor,
    rating: motorRating(motor, axis.needs, site),
    rotorInertia,
    inertia: rotorInertia + axis.mechanism.couplingInertia,
  };
}
