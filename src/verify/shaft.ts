import type { Axis, DwellSegment, Mechanism, Segment } from "../machine/problem.ts";
import type { Sampled, State } from "./motion.ts";

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

/** What the rest of the cycle after the list carries. */
const PLAIN: Pick<DwellSegment, "force" | "payload" | "frictionForce" | "frictionCoefficient"> = {
  force: 0,
  payload: 0,
};

/** Force of the load at one node, what of it holds at rest [N or N·m], and the mass moved [kg or kg·m²]. */
function loadForce(
  { load, mechanism }: Axis,
  segment: Segment | undefined,
  carried: number,
  at: State & { readonly direction: number },
): { force: number; held: number; m: number } {
  const { force: pushed, payload, frictionForce, frictionCoefficient } = { ...PLAIN, ...segment };
  const m = load.mass + payload + carried;
  const [weightForce, normal] =
    mechanism.kind === "rotary"
      ? [G * Math.sin(load.tilt) * load.imbalance * Math.cos(at.q + load.imbalanceAngle), 0]
      : [m * G * Math.sin(load.incline), m * G * Math.cos(load.incline)];
  const friction = (frictionCoefficient ?? load.frictionCoefficient) * normal + (frictionForce ?? load.frictionForce);
  const held = weightForce - load.counterbalance;
  const outer = load.force + pushed;
  return { force: m * at.a + held + at.direction * friction + load.viscous * at.v + outer, held, m };
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
  const { mechanism } = axis;
  const kappa = kappaOf(mechanism);
  const n = sampled.speed.length;
  const speed = new Float64Array(n);
  const acceleration = new Float64Array(n);
  const torque = new Float64Array(n);
  const extremes = { staticTorque: 0, leastMass: Infinity, mostMass: -Infinity };
  for (let k = 0; k < n; k++) {
    const at = {
      q: sampled.position[k] ?? 0,
      v: sampled.speed[k] ?? 0,
      a: sampled.acceleration[k] ?? 0,
      direction: sampled.direction[k] ?? 0,
    };
    const { v, a, direction: way } = at;
    const { force, held, m } = loadForce(axis, axis.motion[sampled.segment[k] ?? -1], carried, at);
    speed[k] = v / kappa;
    acceleration[k] = a / kappa;
    torque[k] =
      (mechanism.inertia * a) / kappa + throughMechanism(force, way, mechanism) * kappa + mechanism.dragTorque * way;
    extremes.staticTorque = Math.max(extremes.staticTorque, Math.abs(held) * kappa);
    extremes.leastMass = Math.min(extremes.leastMass, m);
    extremes.mostMass = Math.max(extremes.mostMass, m);
  }
  const { direction, grid } = sampled;
  return { sampled, kappa, speed, acceleration, torque, direction, weight: grid.weight, ...extremes };
}
