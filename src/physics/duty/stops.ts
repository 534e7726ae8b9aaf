import type { Measured, Mechanism } from "../../machine/mechanism.ts";
import type { Axis } from "../../machine/problem.ts";
import { linkageOf, tensionOf } from "../mechanism/linkage.ts";
import { isSelfLocking } from "../mechanism/travel.ts";
import { accelerationAt, positionAt, speedAt } from "../motion/curve.ts";
import type { Cycle, MotionPiece } from "../motion/cycle.ts";
import { imbalanceTorque, loadState } from "./load-force.ts";
import { tableForceAt, valueAt, wayOf } from "./setting.ts";

/** A stop from one instant; u runs from 1, full speed, to 0, rest. */
export interface LoadStop {
  readonly turning: -1 | 0 | 1;
  readonly at: (u: number) => StopAt;
  /** τ_in that holds the axis where the stop ends [N·m]; of a measured shaft nobody knows it: absent. */
  readonly held?: number;
  /** Equal parts of u on each of which the signals are smooth enough for a quadrature. */
  readonly panels: number;
}

/** A stop where some share of the speed is left, at the mechanism's input shaft. */
export interface StopAt {
  /** θ' [rad/s] */
  readonly speed: number;
  /** θ'' [rad/s²] */
  readonly acceleration: number;
  /** Changes its sign where the load's power does. */
  readonly force: number;
  /** τ_in [N·m] */
  readonly torque: number;
}

/** A stretch of machine time on which stops depend smoothly on when they begin. */
export interface StopStretch {
  readonly from: number;
  readonly to: number;
  readonly stopAt: (t: number) => LoadStop;
}

/** How an axis stops. */
export interface Stopping {
  readonly axis: Axis;
  /** Mass riding on it [kg]. */
  readonly carried: number;
  /** [s] */
  readonly time: number;
}

/**
 * Stops of an axis that goes evenly from its speed to rest, by the instant at which the stop begins; load and force are those
 * of that instant.
 *
 * Source: as for `signalsOf`.
 */
export function stopStretches(stopping: Stopping, cycle: Cycle): StopStretch[] {
  return cycle.pieces.map((piece) => {
    const { axis } = stopping;
    const isMoving = speedAt(piece.curve, (piece.to - piece.from) / 2) !== 0;
    const turning = isMoving ? wayOf({ axis, piece }) : 0;
    return {
      from: piece.from,
      to: piece.to,
      stopAt: (t) => stopFrom(stopping, piece, { turning, after: t - piece.from }),
    };
  });
}

/** How often the ratio changes much over a stop that begins at full speed: a crank each half radian. */
function turnedIn({ kind }: Mechanism, way: number): number {
  return kind === "crank" ? Math.abs(way) / 0.5 : kind === "winder" ? 4 : 1;
}

function stopFrom(stopping: Stopping, piece: MotionPiece, at: Beginning): LoadStop {
  const { mechanism } = stopping.axis;
  return mechanism.kind === "measured"
    ? measuredStop(mechanism, piece, { ...at, time: stopping.time })
    : loadedStop(stopping, mechanism, piece, at);
}

interface Beginning {
  readonly turning: -1 | 0 | 1;
  /** Time since the piece began [s]. */
  readonly after: number;
}

/** What was measured at the instant, its inertia now slowed down as the stop does. */
function measuredStop(
  { torque: table, inertia }: Measured,
  { curve, listed }: MotionPiece,
  { turning, after, time }: Beginning & { readonly time: number },
): LoadStop {
  const [speed, before] = [speedAt(curve, after), accelerationAt(curve, after)];
  const acceleration = -speed / time;
  const torque = valueAt(table, listed + after) + (turning === 0 ? 0 : inertia * (acceleration - before));
  return { turning, at: (u) => ({ speed: speed * u, acceleration, force: torque, torque }), panels: 1 };
}

function loadedStop(
  { axis, carried, time }: Stopping,
  mechanism: Exclude<Mechanism, Measured>,
  piece: MotionPiece,
  { turning, after }: Beginning,
): LoadStop {
  const [position, speed] = [positionAt(piece.curve, after), speedAt(piece.curve, after)];
  const state = loadState(axis, axis.motion[piece.segment], carried);
  const steady = state.constant + tableForceAt(axis, piece, after) + tensionOf(mechanism);
  // Way gone when the speed is down to the share u: v·T·(1 − u²)/2.
  const placeAt = (u: number): number => position + (speed * time * (1 - u * u)) / 2;
  const linkage = linkageOf(mechanism);
  const at = (u: number): StopAt => {
    const place = placeAt(u);
    const {
      lever,
      loadSpeed,
      loadAcceleration,
      shaftSpeed,
      shaftAcceleration,
      turning: roll,
    } = linkage({
      position: place,
      speed: speed * u,
      acceleration: -speed / time,
    });
    const rubbing = turning * Math.sign(lever) * state.friction + axis.load.viscous * loadSpeed;
    const force = (steady + rubbing + state.mass * loadAcceleration + imbalanceTorque(axis.load, place)) * lever;
    const torque = throughMechanism(mechanism, turning, { force, acceleration: shaftAcceleration, roll });
    return { speed: shaftSpeed, acceleration: shaftAcceleration, force, torque };
  };
  const end = placeAt(0);
  const { lever } = linkage({ position: end, speed: 0, acceleration: 0 });
  return {
    turning,
    at,
    held: isSelfLocking(mechanism) ? 0 : (steady + imbalanceTorque(axis.load, end)) * lever,
    panels: Math.max(1, Math.ceil(turnedIn(mechanism, speed * time))),
  };
}

/** τ_in against a force that is given through the lever [N·m]. */
function throughMechanism(
  mechanism: Exclude<Mechanism, Measured>,
  turning: -1 | 0 | 1,
  { force, acceleration, roll }: { force: number; acceleration: number; roll: number },
): number {
  if (turning === 0) return isSelfLocking(mechanism) ? 0 : force;
  const through = force * turning > 0 ? force / mechanism.efficiency : force * mechanism.backEfficiency;
  return through + mechanism.dragTorque * turning + (mechanism.inertia + roll) * acceleration;
}
