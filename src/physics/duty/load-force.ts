import type { Axis, Load, Segment } from "../../machine/problem.ts";
import { GRAVITY } from "../constants.ts";

/** What acts on an axis during one segment, mass (rotary: inertia) with payload and carried mass. */
export interface LoadState {
  /** [kg], rotary [kg·m²] */
  readonly mass: number;
  /** Constant friction plus friction of the weight [N], rotary [N·m]. */
  readonly friction: number;
  /** Weight along +, external force and counterbalance together [N], rotary [N·m]. */
  readonly constant: number;
  /** Weight along + less counterbalance, without external force [N]. */
  readonly hanging: number;
}

/**
 * Load during a segment; `undefined` for the rest of the cycle.
 *
 * Source: common practice, no source (statics on an incline).
 *
 * @param carried - mass of motors and gearboxes riding on the axis [kg]
 */
export function loadState(axis: Axis, segment: Segment | undefined, carried: number): LoadState {
  const { load } = axis;
  const mass = load.mass + carried + (segment?.payload ?? 0);
  const weight = axis.mechanism.kind === "rotary" ? 0 : mass * GRAVITY;
  const coefficient = segment?.frictionCoefficient ?? load.frictionCoefficient;
  const hanging = weight * Math.sin(load.incline) - load.counterbalance;
  return {
    mass,
    friction: (segment?.frictionForce ?? load.frictionForce) + coefficient * weight * Math.cos(load.incline),
    constant: hanging + load.force + (segment?.force ?? 0),
    hanging,
  };
}

/** Imbalance torque g·sin(tilt)·imbalance·cos(position + angle) [N·m]. Source: statics. */
export function imbalanceTorque(load: Load, position: number): number {
  if (load.imbalance === 0) return 0;
  return GRAVITY * Math.sin(load.tilt) * load.imbalance * Math.cos(position + load.imbalanceAngle);
}

/** Change of the load force per kilogram carried, at an acceleration: the most it can be [N/kg]. Source: common practice. */
export function forcePerCarriedKilogram(axis: Axis, segment: Segment | undefined, acceleration: number): number {
  const { incline, frictionCoefficient } = axis.load;
  const coefficient = segment?.frictionCoefficient ?? frictionCoefficient;
  const weight = Math.abs(Math.sin(incline)) + coefficient * Math.abs(Math.cos(incline));
  return Math.abs(acceleration) + GRAVITY * weight;
}
