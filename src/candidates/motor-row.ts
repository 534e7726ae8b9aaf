import type { Motor } from "../machine/catalogue.ts";
import type { Site } from "../machine/problem.ts";
import type { Duty } from "../physics/duty/duty.ts";
import { windingCrest } from "../physics/limits/heat-limits.ts";
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
  /** How far the winding's heat can exceed its mean on the duty, as a factor; 1 where its time constant is not known. */
  readonly crest: number;
}

export function motorRow(
  { axis, period }: Pick<Duty, "axis" | "period">,
  site: Site,
  { motor, index }: { motor: Motor; index: number },
): MotorRow {
  const rotorInertia = motor.rotorInertia + motor.brakeInertia;
  return {
    index,
    motor,
    rating: motorRating(motor, axis.needs, site),
    rotorInertia,
    crest: motor.windingTime === undefined ? 1 : windingCrest(motor, motor.windingTime, period),
    inertia: rotorInertia + axis.mechanism.couplingInertia,
  };
}
