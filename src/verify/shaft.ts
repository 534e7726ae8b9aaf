import type { Axis, Mechanism } from "../machine/problem.ts";
import type { Sampled } from "./motion.ts";

/** Standard gravity [m/s²]. Source: CGPM 1901. */
const G = 9.80665;

/** Output per radian of the mechanism's input shaft [m/rad or 1]. */
function kappaOf(mechanism: Mechanism): number {
  if (mechanism.kind === "ball-screw" || mechanism.kind === "lead-screw") return mechanism.lead / (2 * Math.PI);
  if (mechanism.kind === "belt" || mechanism.kind === "rack" || mechanism.kind === "rollers")
    return mechanism.diameter / 2;
  if (mechanism.kind === "rotary") return 1;
  throw new Error(`the oracle does not know the mechanism ${mechanism.kind}`);
}

/** What a motor or gearbox sees of an axis, at every node. */
export interface Shaft {
  readonly sampled: Sampled;
  readonly kappa: number;
  /** θ' and θ'' of the mechanism's input shaft [rad/s, rad/s²]. */
  readonly speed: Float64Array;
  readonly acceleration: Float64Array;
  /** τ_in [N·m]. */
  readonly torque: Float64Array;
  readonly direction: Int8Array;
  readonly weight: Float64Array;
  /** Largest |gravity + imbalance − counterbalance|·κ over the cycle [N·m at the mechanism's shaft]. */
  readonly staticTorque: number;
  /** Mass (rotary: inertia) of load, payload and carried parts, smallest and largest state of the cycle. */
  readonly leastMass: number;
  readonly mostMass: number;
}

/** φ: directional efficiency. At rest x itself; a self-locking mechanism then holds itself. */
function throughMechanism(x: number, direction: number, mechanism: Mechanism): number {
  if (direction === 0) return mechanism.backEfficiency <= 0 ? 0 : x;
  return x * direction >= 0 ? x / mechanism.efficiency : x * mechanism.backEfficiency;
}

/**
 * Torque of the mechanism's input shaft.
 *
 * F = m·a + m·g·sin(incline) + sgn(v)·(μ·m·g·cos(incline) + F_c) + c·v + F_ext − F_counterbalance;
 * rotary: J·a + g·sin(tilt)·imbalance·cos(q + angle) in place of the terms with m.
 * τ_in = J_in·θ'' + φ(F)·κ + τ_drag·sgn(v)
 *
 * @param carried - mass of parts riding on the axis [kg]
 */
export function shaftOf(axis: Axis, carried: number, sampled: Sampled): Shaft {
  const { load, mechanism } = axis;
  const rotary = mechanism.kind === "rotary";
  const kappa = kappaOf(mechanism);
  const n = sampled.speed.length;
  const speed = new Float64Array(n);
  const acceleration = new Float64Array(n);
  const torque = new Float64Array(n);
  let staticTorque = 0;
  let leastMass = Infinity;
  let mostMass = -Infinity;
  for (let k = 0; k < n; k++) {
    const segment = axis.motion[sampled.segment[k] ?? -1];
    const direction = sampled.direction[k] ?? 0;
    const v = sampled.speed[k] ?? 0;
    const a = sampled.acceleration[k] ?? 0;
    const m = load.mass + (segment?.payload ?? 0) + carried;
    const weightForce = rotary
      ? G * Math.sin(load.tilt) * load.imbalance * Math.cos((sampled.position[k] ?? 0) + load.imbalanceAngle)
      : m * G * Math.sin(load.incline);
    const normal = rotary ? 0 : m * G * Math.cos(load.incline);
    const friction =
      (segment?.frictionCoefficient ?? load.frictionCoefficient) * normal +
      (segment?.frictionForce ?? load.frictionForce);
    const held = weightForce - load.counterbalance;
    const force = m * a + held + direction * friction + load.viscous * v + load.force + (segment?.force ?? 0);
    speed[k] = v / kappa;
    acceleration[k] = a / kappa;
    torque[k] =
      (mechanism.inertia * a) / kappa +
      throughMechanism(force, direction, mechanism) * kappa +
      mechanism.dragTorque * direction;
    staticTorque = Math.max(staticTorque, Math.abs(held) * kappa);
    leastMass = Math.min(leastMass, m);
    mostMass = Math.max(mostMass, m);
  }
  return {
    sampled,
    kappa,
    speed,
    acceleration,
    torque,
    direction: sampled.direction,
    weight: sampled.grid.weight,
    staticTorque,
    leastMass,
    mostMass,
  };
}
