import type { Axis } from "../machine/problem.ts";
import { betaOf, hotResistance, motorTorque, ratioOf } from "./duty.ts";
import type { AxisPick } from "./evaluate-pick.ts";
import type { Sampled } from "./motion.ts";
import { type Shaft, shaftOf } from "./shaft.ts";

const STEPS = 200;

/** The stop from a node as a motion of its own, with the load of the segment it begins in; forces from tables stay. */
function stopMotion(sampled: Sampled, { node, time }: { readonly node: number; readonly time: number }): Sampled {
  const speed = sampled.speed[node] ?? 0;
  const begin = sampled.position[node] ?? 0;
  const span = new Float64Array(STEPS).map((_, k) => ((k + 0.5) * time) / STEPS);
  const always = (value: number): Float64Array => new Float64Array(STEPS).fill(value);
  return {
    ...sampled,
    position: span.map((t) => begin + speed * (t - t ** 2 / (2 * time))),
    speed: span.map((t) => speed * (1 - t / time)),
    acceleration: always(-speed / time),
    direction: new Int8Array(STEPS).fill(sampled.direction[node] ?? 0),
    segment: new Int32Array(STEPS).fill(sampled.segment[node] ?? -1),
    since: always(sampled.since[node] ?? 0),
    listed: always(sampled.listed[node] ?? 0),
  };
}

/** A stop: from a node of the shaft's grid, in so much time [s], with so much mass riding on the axis [kg]. */
export interface Stop {
  readonly node: number;
  readonly time: number;
  readonly carried: number;
}

/** Energy that an axis gives back while it goes evenly from the speed of a node to rest, by stepping through the stop [J]. */
export function stoppedEnergy(axis: Axis, shaft: Shaft, pick: AxisPick, at: Stop): number {
  const step = at.time / STEPS;
  return -stopPowers(axis, shaft, pick, at).reduce((sum, power) => sum + step * power, 0);
}

/** Power drawn in the middle of each of the equal steps of a stop, fixed losses aside [W]. */
export function stopPowers(axis: Axis, shaft: Shaft, pick: AxisPick, at: Stop): Float64Array {
  const { node, time, carried } = at;
  const { sampled } = shaft;
  const stop = stopMotion(sampled, at);
  const stopped = shaftOf(axis, carried, stop);
  const more = measuredMore(axis, shaft, { node, time });
  const { motor, gearbox, drive } = pick;
  const cosine = Math.cos(axis.needs.commutationError);
  const resistance = hotResistance(motor);
  return new Float64Array(STEPS).map((_, k) => {
    const input = {
      torque: (stopped.torque[k] ?? 0) + more,
      acceleration: stopped.acceleration[k] ?? 0,
      direction: stop.direction[k] ?? 0,
    };
    const own = motorTorque(axis, motor, gearbox, input);
    const turning = ratioOf(gearbox) * (stopped.speed[k] ?? 0);
    const current = Math.abs(own) / (motor.torqueConstant * cosine);
    const heat = 3 * resistance * (current ** 2 + betaOf(motor) * (turning / motor.torqueConstant) ** 2);
    return own * turning + heat + drive.lossPerAmp * current;
  });
}

const one = (value: number | undefined): Float64Array => Float64Array.of(value ?? 0);

/** Torque at the input shaft that holds an axis where its stop ends [N·m]; of a measured shaft the most it holds at rest. */
export function heldTorque(axis: Axis, shaft: Shaft, { node, time, carried }: Stop): number {
  if (axis.mechanism.kind === "measured") return shaft.staticTorque;
  const { sampled } = shaft;
  const resting: Sampled = {
    ...sampled,
    position: one((sampled.position[node] ?? 0) + ((sampled.speed[node] ?? 0) * time) / 2),
    speed: one(0),
    acceleration: one(0),
    direction: Int8Array.of(0),
    segment: Int32Array.of(sampled.segment[node] ?? -1),
    since: one(sampled.since[node]),
    listed: one(sampled.listed[node]),
  };
  return shaftOf(axis, carried, resting).torque[0] ?? 0;
}

/** What a measured torque changes by, because its inertia is slowed down otherwise than it was when it was measured [N·m]. */
function measuredMore(
  { mechanism }: Axis,
  { sampled }: Shaft,
  { node, time }: { readonly node: number; readonly time: number },
): number {
  if (mechanism.kind !== "measured" || sampled.direction[node] === 0) return 0;
  return mechanism.inertia * (-(sampled.speed[node] ?? 0) / time - (sampled.acceleration[node] ?? 0));
}

/** About so many instants of a period are looked at first. */
const INSTANTS = 150;

/** Nodes spread over a period of so many. */
export function spreadNodes(count: number): number[] {
  const stride = Math.max(1, Math.floor(count / INSTANTS));
  return Array.from({ length: Math.ceil(count / stride) }, (_, k) => k * stride);
}

/** Every node between those that were looked at beside one. */
export function nodesNear(node: number, count: number): number[] {
  const stride = Math.max(1, Math.floor(count / INSTANTS));
  const first = Math.max(0, node - stride);
  return Array.from({ length: Math.min(count, node + stride + 1) - first }, (_, k) => first + k);
}

/** Energies of stops that begin at some nodes [J]. */
export function stopsAt(
  axis: Axis,
  shaft: Shaft,
  pick: AxisPick,
  { time, carried, nodes }: { time: number; carried: number; nodes: readonly number[] },
): Float64Array {
  return Float64Array.from(nodes, (node) => stoppedEnergy(axis, shaft, pick, { node, time, carried }));
}

/** Place of the largest number. */
export function largestAt(values: ArrayLike<number>): number {
  let best = 0;
  for (let k = 1; k < values.length; k++) if ((values[k] ?? 0) > (values[best] ?? 0)) best = k;
  return best;
}
