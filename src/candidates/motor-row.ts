import type { Motor } from "../machine/catalogue.ts";
import type { Axis, Site } from "../machine/problem.ts";
import { type MotorRating, motorRating } from "../physics/limits/rating.ts";
import { type HeatRules, restfulHeat } from "./judge-heat.ts";

/** A motor as one axis sees it: everything that does not depend on the gearbox, worked out once. */
export interface MotorRow {
  readonly index: number;
  readonly motor: Motor;
  readonly rating: MotorRating;
  /** Motor, brake and coupling [kg·m²]. */
  readonly inertia: number;
  /** Motor and brake [kg·m²]. */
  readonly rotorInertia: number;
  /** [H] */
  readonly phaseInductance: number;
  /** Mean heat up to which its winding cannot get too hot on the duty [N²·m²]. */
  readonly restfulHeat: number;
}

export function motorRow(
  axis: Axis,
  { site, rules }: { site: Site; rules: HeatRules },
  { motor, index }: { motor: Motor; index: number },
): MotorRow {
  const rotorInertia = motor.rotorInertia + motor.brakeInertia;
  const rating = motorRating(motor, axis.needs, site);
  return {
    index,
    motor,
    rating,
    rotorInertia,
    phaseInductance: motor.inductance / 2,
    restfulHeat: restfulHeat(motor, rating, rules),
    inertia: rotorInertia + axis.mechanism.couplingInertia,
  };
}
