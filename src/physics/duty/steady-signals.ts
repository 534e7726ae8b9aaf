import type { Scalar } from "../../maths/scalar.ts";
import { GRAVITY } from "../constants.ts";
import { isSelfLocking, type SteadyMechanism, travelPerRadian } from "../mechanism/travel.ts";
import { positionAt } from "../motion/curve.ts";
import type { MotionPiece } from "../motion/cycle.ts";
import { type Blend, blended, keepsSign, type Placed, scaledBlend } from "./blend.ts";
import { forcePerCarriedKilogram, imbalanceTorque } from "./load-force.ts";
import { type ForcedSpan, forcedSpans, type Line, type Setting, wayOf } from "./setting.ts";
import { FLOW, flowOf, type SignalPiece } from "./signal-piece.ts";
import { cutAtZeros, inParts, type Span } from "./spans.ts";

/** An axis whose ratio stays, on one piece of its motion. */
interface SteadySetting extends Setting {
  readonly mechanism: SteadyMechanism;
  /** κ */
  readonly travel: number;
}

/** Motion along the axis alone. */
const STILL: Blend = Object.freeze({ acceleration: 0, speed: 0, constant: 0, slope: 0, swing: 0, angle: 0 });

/**
 * Signals of an axis whose ratio stays, on one piece of its motion. Source: see `signalsOf`.
 *
 * @param isRest - the piece stands still
 */
export function steadyPieces(setting: Setting, mechanism: SteadyMechanism, isRest: boolean): SignalPiece[] {
  const steady = { ...setting, mechanism, travel: travelPerRadian(mechanism) };
  const spans = forcedSpans(setting);
  if (isRest) return spans.map((span) => restPiece(steady, span));
  const turning = wayOf(setting);
  return spans.flatMap((span) =>
    smoothSpans(steady, span).flatMap((part) => turningPieces(steady, { ...part, applied: span.applied }, turning)),
  );
}

function placedOf({ curve, from }: MotionPiece): Placed {
  return { curve, origin: from };
}

function restPiece(setting: SteadySetting, { from, to, applied }: ForcedSpan): SignalPiece {
  const { axis, piece, travel, mechanism } = setting;
  const placed = placedOf(piece);
  const torqueBlend = isSelfLocking(mechanism) ? STILL : heldBlend(setting, applied);
  const torque = blended(placed, torqueBlend);
  const perKilogram = travel * forcePerCarriedKilogram(axis, axis.motion[piece.segment], 0);
  return {
    from,
    to,
    turning: 0,
    isSteady: torqueBlend.slope === 0,
    flow: FLOW.rest,
    acceleration: () => 0,
    speed: () => 0,
    torque,
    // What a measured shaft holds at rest is all that is known to hang on it.
    hanging: mechanism.kind === "measured" ? torque : hangingTorque(setting),
    perKilogram: () => perKilogram,
    loadInertia: loadInertiaOf(setting),
    blends: { placed, torque: torqueBlend, perTravel: 0 },
  };
}

/** At rest the position stays: so does what hangs. */
function heldBlend(setting: SteadySetting, applied: Line): Blend {
  const { piece, state, travel } = setting;
  const held = hangingTorque(setting)(piece.from) + (state.constant - state.hanging + applied.constant) * travel;
  return { ...STILL, constant: held, slope: applied.slope * travel };
}

function loadInertiaOf({ state, travel }: SteadySetting): SignalPiece["loadInertia"] {
  const inertia = state.mass * travel ** 2;
  return { least: inertia, most: inertia };
}

function hangingTorque({ axis, piece, state, travel }: SteadySetting): Scalar {
  if (axis.load.imbalance === 0) {
    const hangs = state.hanging * travel;
    return () => hangs;
  }
  return (t) => (state.hanging + imbalanceTorque(axis.load, positionAt(piece.curve, t - piece.from))) * travel;
}

/** Spans short enough for the quadrature: a quarter wave of the law, one radian of an imbalance. */
function smoothSpans({ axis, piece }: SteadySetting, span: Span): Span[] {
  const { curve, from } = piece;
  const waves = curve.wave === undefined ? 1 : (curve.wave.frequency * (span.to - span.from)) / (Math.PI / 2);
  const turned =
    axis.load.imbalance === 0 ? 1 : Math.abs(positionAt(curve, span.to - from) - positionAt(curve, span.from - from));
  return inParts(span, Math.max(waves, turned));
}

function cutBlend(placed: Placed, blend: Blend, span: Span): readonly Span[] {
  return keepsSign(placed, blend, span) ? [span] : cutAtZeros([span], blended(placed, blend));
}

function turningPieces(setting: SteadySetting, span: ForcedSpan, turning: -1 | 1): SignalPiece[] {
  const placed = placedOf(setting.piece);
  if (setting.mechanism.kind === "measured") {
    const torqueBlend = { ...STILL, ...span.applied };
    return cutBlend(placed, torqueBlend, span).map((bit) => movingPiece(setting, { ...bit, turning, torqueBlend }));
  }
  const forceBlend = forceOf(setting, turning, span.applied);
  const force = blended(placed, forceBlend);
  return cutBlend(placed, forceBlend, span).flatMap((part) => {
    const helped = force((part.from + part.to) / 2) * turning > 0;
    const torqueBlend = torqueOf(setting, { force: forceBlend, turning, helped });
    return cutBlend(placed, torqueBlend, part).map((bit) => movingPiece(setting, { ...bit, turning, torqueBlend }));
  });
}

function forceOf({ axis: { load }, state }: SteadySetting, turning: -1 | 1, applied: Line): Blend {
  return {
    acceleration: state.mass,
    speed: load.viscous,
    constant: turning * state.friction + state.constant + applied.constant,
    slope: applied.slope,
    swing: load.imbalance === 0 ? 0 : GRAVITY * Math.sin(load.tilt) * load.imbalance,
    angle: load.imbalanceAngle,
  };
}

interface Flowing {
  readonly force: Blend;
  readonly turning: -1 | 1;
  /** Power flows to the load. */
  readonly helped: boolean;
}

function torqueOf({ mechanism, travel }: SteadySetting, { force, turning, helped }: Flowing): Blend {
  const { efficiency, backEfficiency, inertia, dragTorque } = mechanism;
  const factor = helped ? travel / efficiency : travel * backEfficiency;
  return scaledBlend(force, factor, { acceleration: inertia / travel, constant: turning * dragTorque });
}

interface Turning extends Span {
  readonly turning: -1 | 1;
  readonly torqueBlend: Blend;
}

function movingPiece(setting: SteadySetting, { from, to, turning, torqueBlend }: Turning): SignalPiece {
  const { axis, piece, travel, mechanism } = setting;
  const placed = placedOf(piece);
  const torque = blended(placed, torqueBlend);
  const worst = travel * Math.max(1 / mechanism.efficiency, Math.abs(mechanism.backEfficiency));
  const acceleration = blended(placed, { ...STILL, acceleration: 1 });
  const segment = axis.motion[piece.segment];
  return {
    from,
    to,
    turning,
    isSteady: false,
    flow: flowOf(torque((from + to) / 2), turning),
    acceleration: blended(placed, { ...STILL, acceleration: 1 / travel }),
    speed: blended(placed, { ...STILL, speed: 1 / travel }),
    torque,
    hanging: mechanism.kind === "measured" ? () => 0 : hangingTorque(setting),
    perKilogram: (t) => worst * forcePerCarriedKilogram(axis, segment, acceleration(t)),
    loadInertia: loadInertiaOf(setting),
    blends: { placed, torque: torqueBlend, perTravel: 1 / travel },
  };
}
