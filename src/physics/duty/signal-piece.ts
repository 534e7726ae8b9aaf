import type { Scalar } from "../../maths/scalar.ts";
import type { Blend, Placed } from "./blend.ts";

/** Which way power flows through the gearbox: index of the factor that refers input-shaft torque to the motor. Source: definition. */
export const FLOW = { motoring: 0, regenerating: 1, rest: 2 } as const;
/** One of the three. */
export type Flow = (typeof FLOW)[keyof typeof FLOW];

/**
 * A stretch of machine time on which every signal of the axis is smooth and neither speed, load force nor input torque
 * changes sign. Signals at the mechanism's input shaft.
 */
export interface SignalPiece {
  readonly from: number;
  readonly to: number;
  /** Sign of the speed; 0 at rest. */
  readonly turning: -1 | 0 | 1;
  /** Every signal is constant. */
  readonly isSteady: boolean;
  readonly flow: Flow;
  /** θ'' [rad/s²] */
  readonly acceleration: Scalar;
  /** θ' [rad/s] */
  readonly speed: Scalar;
  /** τ_in [N·m] */
  readonly torque: Scalar;
  /** Weight and imbalance less counterbalance, held at the input shaft without losses [N·m]. */
  readonly hanging: Scalar;
  /** Most that τ_in changes per kilogram carried [N·m/kg]. */
  readonly perKilogram: Scalar;
  /** Least and most at the input shaft, the mechanism's own excluded: m·κ² [kg·m²]. */
  readonly loadInertia: { readonly least: number; readonly most: number };
  /** The signals as blends of one curve, where the ratio stays: a shorter way to values. */
  readonly blends?: TorqueBlend;
}

/** The motion the signals come from, along the axis, and τ_in as a blend of it. */
export interface TorqueBlend {
  readonly placed: Placed;
  readonly torque: Blend;
  /** 1/κ [rad/m]; 0 at rest. */
  readonly perTravel: number;
}

/** Which way power flows at a torque and a speed. Source: definition. */
export function flowOf(torque: number, turning: number): Flow {
  const power = torque * turning;
  if (power === 0) return FLOW.rest;
  return power > 0 ? FLOW.motoring : FLOW.regenerating;
}
