import type { Axis } from "../../machine/problem.ts";
import type { Scalar } from "../../maths/scalar.ts";
import { isSelfLocking, travelPerRadian } from "../mechanism/travel.ts";
import { positionAt, speedAt } from "../motion/curve.ts";
import type { Cycle, MotionPiece } from "../motion/cycle.ts";
import { imbalanceTorque, loadState } from "./load-force.ts";

/** A stop from one instant, at the mechanism's input shaft; u runs from 1, full speed, to 0, rest. */
export interface LoadStop {
  /** θ' as the stop begins [rad/s]. */
  readonly speed: number;
  /** θ'' all through it [rad/s²]. */
  readonly acceleration: number;
  readonly turning: -1 | 0 | 1;
  /** Force of the load, whose sign decides which way the efficiency acts [N], rotary [N·m]. */
  readonly force: Scalar;
  /** τ_in [N·m] */
  readonly torque: Scalar;
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
 * Stops of an axis that goes evenly from its speed to rest, by the instant at which the stop begins; the load is that of
 * the segment in which it does.
 *
 * Source: as for `signalsOf`.
 */
export function stopStretches(stopping: Stopping, cycle: Cycle): StopStretch[] {
  return cycle.pieces.map((piece) => {
    const turning = senseOf(stopping.axis, piece);
    return {
      from: piece.from,
      to: piece.to,
      stopAt: (t) => stopFrom(stopping, piece, { turning, after: t - piece.from }),
    };
  });
}

/** Pieces go one way from end to end; near their ends rounding must not turn them round. */
function senseOf(axis: Axis, { curve, from, to, segment }: MotionPiece): -1 | 0 | 1 {
  const spec = axis.motion[segment];
  const middle = speedAt(curve, (to - from) / 2);
  if (middle === 0) return 0;
  return (spec?.kind === "move" ? spec.distance : middle) > 0 ? 1 : -1;
}

function stopFrom(
  { axis, carried, time }: Stopping,
  piece: MotionPiece,
  { turning, after }: { turning: -1 | 0 | 1; after: number },
): LoadStop {
  const { mechanism, load } = axis;
  const travel = travelPerRadian(mechanism);
  const speed = speedAt(piece.curve, after);
  const state = loadState(axis, axis.motion[piece.segment], carried);
  const steady = state.constant + turning * state.friction - (state.mass * speed) / time;
  const position = positionAt(piece.curve, after);
  // Way gone when the speed is down to the share u: v·T·(1 − u²)/2.
  const swing = (u: number): number => imbalanceTorque(load, position + (speed * time * (1 - u * u)) / 2);
  const force = (u: number): number => steady + load.viscous * speed * u + swing(u);
  const acceleration = -speed / (travel * time);
  const torque = (u: number): number => {
    if (turning === 0) return isSelfLocking(mechanism) ? 0 : force(u) * travel;
    const helped = force(u) * turning > 0;
    const through = helped ? force(u) / mechanism.efficiency : force(u) * mechanism.backEfficiency;
    return through * travel + mechanism.dragTorque * turning + mechanism.inertia * acceleration;
  };
  return { speed: speed / travel, acceleration, turning, force, torque };
}
