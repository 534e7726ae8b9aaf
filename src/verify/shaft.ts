import type { Mechanism, TimeSeries } from "../machine/mechanism.ts";
import type { Axis, DwellSegment, Segment } from "../machine/problem.ts";
import { type Linked, linkedAt } from "./linkage.ts";
import type { Sampled, State } from "./motion.ts";

/** Standard gravity [m/s²]. Source: CGPM 1901. */
const G = 9.80665;

/** What a motor or gearbox sees of an axis, at every node. */
export interface Shaft {
  readonly sampled: Sampled;
  /** Travel of the output per radian of the input shaft, largest and least of the cycle; 1 for a crank. */
  readonly kappa: number;
  readonly leastKappa: number;
  /** θ' and θ'' of the mechanism's input shaft [rad/s, rad/s²]. */
  readonly speed: Float64Array;
  readonly acceleration: Float64Array;
  /** τ_in [N·m]. */
  readonly torque: Float64Array;
  readonly direction: Int8Array;
  readonly weight: Float64Array;
  /** Largest |gravity + imbalance − counterbalance|·κ over the cycle [N·m at the mechanism's shaft]. */
  readonly staticTorque: number;
  /** Load, payload, carried parts and roll at the mechanism's shaft, smallest and largest state of the cycle [kg·m²]. */
  readonly leastLoad: number;
  readonly mostLoad: number;
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

/** An axis at one node. */
interface Node {
  readonly state: State;
  readonly linked: Linked;
  /** Signs of the load's speed and of the shaft's. */
  readonly way: number;
  readonly turning: number;
  /** Time since the segment began, and since the list of segments did [s]. */
  readonly since: number;
  readonly listed: number;
}

/** A table by straight lines; after its last row it stays. */
function valueAt({ times, values }: TimeSeries, time: number): number {
  let k = 0;
  while (k < times.length - 2 && (times[k + 1] ?? 0) <= time) k++;
  const [t0 = 0, t1 = t0, v0 = 0, v1 = v0] = [times[k], times[k + 1], values[k], values[k + 1]];
  return t1 <= t0 ? v0 : v0 + (v1 - v0) * Math.min(1, Math.max(0, (time - t0) / (t1 - t0)));
}

/** Force of the load at one node, what of it holds at rest [N or N·m], and the mass moved [kg or kg·m²]. */
function loadForce(
  { load, mechanism }: Axis,
  segment: Segment | undefined,
  carried: number,
  at: Node,
): { force: number; held: number; m: number } {
  const { force: pushed, payload, frictionForce, frictionCoefficient } = segment ?? PLAIN;
  const m = load.mass + payload + carried;
  const [weightForce, normal] =
    mechanism.kind === "rotary"
      ? [G * Math.sin(load.tilt) * load.imbalance * Math.cos(at.state.q + load.imbalanceAngle), 0]
      : [m * G * Math.sin(load.incline), m * G * Math.cos(load.incline)];
  const friction = (frictionCoefficient ?? load.frictionCoefficient) * normal + (frictionForce ?? load.frictionForce);
  const held = weightForce - load.counterbalance;
  const outer = load.force + pushed + tablesAt(load.forceTable, segment?.forceTable, at) + tensionOf(mechanism);
  return { force: m * at.linked.a + held + at.way * friction + load.viscous * at.linked.v + outer, held, m };
}

function tablesAt(whole: TimeSeries | undefined, own: TimeSeries | undefined, { listed, since }: Node): number {
  return (whole === undefined ? 0 : valueAt(whole, listed)) + (own === undefined ? 0 : valueAt(own, since));
}

function tensionOf(mechanism: Mechanism): number {
  return mechanism.kind === "winder" ? mechanism.tension : 0;
}

/** What one node asks of the input shaft: torque [N·m], what hangs there [N·m], load [kg·m²]. */
function nodeOf(axis: Axis, segment: Segment | undefined, carried: number, at: Node): AtNode {
  const { mechanism } = axis;
  if (mechanism.kind === "measured") {
    const torque = valueAt(mechanism.torque, at.listed);
    return { torque, held: at.turning === 0 ? torque : 0, load: 0 };
  }
  const { lever, acceleration, roll } = at.linked;
  const { force, held, m } = loadForce(axis, segment, carried, at);
  const inertial = (mechanism.inertia + roll) * acceleration;
  const torque = inertial + throughMechanism(force, at.way, mechanism) * lever + mechanism.dragTorque * at.turning;
  return { torque, held: held * lever, load: m * lever ** 2 + roll };
}

interface AtNode {
  readonly torque: number;
  readonly held: number;
  readonly load: number;
}

/**
 * Torque of the mechanism's input shaft.
 *
 * F = m·a + m·g·sin(incline) + sgn(v)·(μ·m·g·cos(incline) + F_c) + c·v + F_ext − F_counterbalance;
 * rotary: J·a + g·sin(tilt)·imbalance·cos(q + angle) in place of the terms with m.
 * τ_in = J_in·θ'' + φ(F)·κ + τ_drag·sgn(θ')
 *
 * @param carried - mass of parts riding on the axis [kg]
 */
export function shaftOf(axis: Axis, carried: number, sampled: Sampled): Shaft {
  const n = sampled.speed.length;
  const [speed, acceleration, torque] = [new Float64Array(n), new Float64Array(n), new Float64Array(n)];
  const most = { staticTorque: 0, leastLoad: Infinity, mostLoad: -Infinity, kappa: 0, leastKappa: Infinity };
  for (let k = 0; k < n; k++) {
    const at = nodeAt(axis.mechanism, sampled, k);
    const own = nodeOf(axis, axis.motion[sampled.segment[k] ?? -1], carried, at);
    const kappa = axis.mechanism.kind === "crank" ? 1 : at.linked.lever;
    speed[k] = at.linked.speed;
    acceleration[k] = at.linked.acceleration;
    torque[k] = own.torque;
    most.staticTorque = Math.max(most.staticTorque, Math.abs(own.held));
    most.leastLoad = Math.min(most.leastLoad, own.load);
    most.mostLoad = Math.max(most.mostLoad, own.load);
    most.kappa = Math.max(most.kappa, kappa);
    most.leastKappa = Math.min(most.leastKappa, kappa);
  }
  const { direction, grid } = sampled;
  return { sampled, speed, acceleration, torque, direction, weight: grid.weight, ...most };
}

function nodeAt(mechanism: Mechanism, sampled: Sampled, k: number): Node {
  const state = { q: sampled.position[k] ?? 0, v: sampled.speed[k] ?? 0, a: sampled.acceleration[k] ?? 0 };
  const turning = sampled.direction[k] ?? 0;
  const linked = linkedAt(mechanism, state);
  const way = turning * Math.sign(linked.lever);
  return { state, linked, turning, way, since: sampled.since[k] ?? 0, listed: sampled.listed[k] ?? 0 };
}
