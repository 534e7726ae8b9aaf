import type { Axis } from "../../machine/problem.ts";
import { rootsInside, type Scalar } from "../../maths/scalar.ts";
import { GRAVITY } from "../constants.ts";
import { isSelfLocking, travelPerRadian } from "../mechanism/travel.ts";
import { positionAt, speedAt } from "../motion/curve.ts";
import type { Cycle, MotionPiece } from "../motion/cycle.ts";
import { type Blend, blended, keepsSign, type Placed, scaledBlend } from "./blend.ts";
import { forcePerCarriedKilogram, imbalanceTorque, type LoadState, loadState } from "./load-force.ts";

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
  /** At the input shaft, mechanism excluded: m·κ² [kg·m²]. */
  readonly loadInertia: number;
  /** The motion the signals come from, along the axis, and τ_in as a blend of it. */
  readonly placed: Placed;
  readonly torqueBlend: Blend;
  /** 1/κ [rad/m]; 0 at rest. */
  readonly perTravel: number;
}

/** Motion along the axis alone. */
const ACCELERATION: Blend = Object.freeze({ acceleration: 1, speed: 0, constant: 0, swing: 0, angle: 0 });
const SPEED: Blend = Object.freeze({ acceleration: 0, speed: 1, constant: 0, swing: 0, angle: 0 });

/**
 * Signals of an axis over its period, cut where anything changes its form.
 *
 * F = m·a + m·g·sin(incline) + sgn(v)·(μ·m·g·cos(incline) + F_c) + c·v + F_ext − F_counterbalance
 * τ_in = J_in·θ'' + φ(F)·κ + τ_drag·sgn(v); φ(F) = F/η where F·v > 0, F·η_back where F·v < 0, F at rest
 * Source: common practice, no source; checked against the worked examples of the references.
 *
 * @param carried - mass riding on the axis [kg]
 */
export function signalsOf(axis: Axis, cycle: Cycle, carried: number): SignalPiece[] {
  return cycle.pieces.flatMap((piece) => {
    const setting = settingOf(axis, piece, carried);
    return isRest(piece) ? [restPiece(setting)] : movingPieces(setting);
  });
}

interface Setting {
  readonly axis: Axis;
  readonly piece: MotionPiece;
  readonly state: LoadState;
  readonly travel: number;
}

function settingOf(axis: Axis, piece: MotionPiece, carried: number): Setting {
  const state = loadState(axis, axis.motion[piece.segment], carried);
  return { axis, piece, state, travel: travelPerRadian(axis.mechanism) };
}

function isRest({ curve }: MotionPiece): boolean {
  return (curve.wave?.amplitude ?? 0) === 0 && curve.polynomial.slice(1).every((c) => c === 0);
}

function restPiece(setting: Setting): SignalPiece {
  const { axis, piece, state, travel } = setting;
  // At rest the position stays: so does what hangs.
  const hangs = hangingTorque(setting)(piece.from);
  const held = isSelfLocking(axis.mechanism) ? 0 : hangs + (state.constant - state.hanging) * travel;
  const perKilogram = travel * forcePerCarriedKilogram(axis, axis.motion[piece.segment], 0);
  return {
    from: piece.from,
    to: piece.to,
    turning: 0,
    flow: FLOW.rest,
    acceleration: () => 0,
    speed: () => 0,
    torque: () => held,
    hanging: () => hangs,
    perKilogram: () => perKilogram,
    loadInertia: state.mass * travel ** 2,
    placed: placedOf(piece),
    torqueBlend: { acceleration: 0, speed: 0, constant: held, swing: 0, angle: 0 },
    perTravel: 0,
  };
}

function placedOf({ curve, from }: MotionPiece): Placed {
  return { curve, origin: from };
}

function hangingTorque({ axis, piece, state, travel }: Setting): Scalar {
  if (axis.load.imbalance === 0) {
    const hangs = state.hanging * travel;
    return () => hangs;
  }
  return (t) => (state.hanging + imbalanceTorque(axis.load, positionAt(piece.curve, t - piece.from))) * travel;
}

function movingPieces(setting: Setting): SignalPiece[] {
  const turning = turningOf(setting);
  return smoothSpans(setting).flatMap((part) => turningPieces(setting, part, turning));
}

interface Span {
  readonly from: number;
  readonly to: number;
}

/** Pieces go one way from end to end; near the ends of a move rounding must not turn it round. */
function turningOf({ axis, piece }: Setting): -1 | 1 {
  const segment = axis.motion[piece.segment];
  const way = segment?.kind === "move" ? segment.distance : speedAt(piece.curve, (piece.to - piece.from) / 2);
  return way > 0 ? 1 : -1;
}

/** Spans short enough for the quadrature: a quarter wave of the law, one radian of an imbalance. */
function smoothSpans({ axis, piece: { curve, from, to } }: Setting): Span[] {
  const length = to - from;
  const waves = curve.wave === undefined ? 1 : (curve.wave.frequency * length) / (Math.PI / 2);
  const turned = axis.load.imbalance === 0 ? 1 : Math.abs(positionAt(curve, to - from) - positionAt(curve, 0));
  const count = Math.max(1, Math.ceil(Math.max(waves, turned) - 1e-9));
  return Array.from({ length: count }, (_, k) => ({
    from: from + (length * k) / count,
    to: k === count - 1 ? to : from + (length * (k + 1)) / count,
  }));
}

function cut(spans: readonly Span[], signal: Scalar): Span[] {
  return spans.flatMap(({ from, to }) => {
    const borders = [from, ...rootsInside(signal, from, to), to];
    return borders.slice(1).map((end, k) => ({ from: borders[k] ?? from, to: end }));
  });
}

function cutBlend(placed: Placed, blend: Blend, span: Span): readonly Span[] {
  return keepsSign(placed, blend, span) ? [span] : cut([span], blended(placed, blend));
}

function turningPieces(setting: Setting, span: Span, turning: -1 | 1): SignalPiece[] {
  const placed = placedOf(setting.piece);
  const forceBlend = forceOf(setting, turning);
  const force = blended(placed, forceBlend);
  return cutBlend(placed, forceBlend, span).flatMap((part) => {
    const helped = force((part.from + part.to) / 2) * turning > 0;
    const torqueBlend = torqueOf(setting, { force: forceBlend, turning, helped });
    const torque = blended(placed, torqueBlend);
    return cutBlend(placed, torqueBlend, part).map((bit) =>
      movingPiece(setting, { ...bit, turning, torque, torqueBlend }),
    );
  });
}

function forceOf({ axis: { load }, state }: Setting, turning: -1 | 1): Blend {
  return {
    acceleration: state.mass,
    speed: load.viscous,
    constant: turning * state.friction + state.constant,
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

function torqueOf({ axis, travel }: Setting, { force, turning, helped }: Flowing): Blend {
  const { efficiency, backEfficiency, inertia, dragTorque } = axis.mechanism;
  const factor = helped ? travel / efficiency : travel * backEfficiency;
  return scaledBlend(force, factor, { acceleration: inertia / travel, constant: turning * dragTorque });
}

interface Turning extends Span {
  readonly turning: -1 | 1;
  readonly torque: Scalar;
  readonly torqueBlend: Blend;
}

function movingPiece(setting: Setting, { from, to, turning, torque, torqueBlend }: Turning): SignalPiece {
  const { axis, piece, state, travel } = setting;
  const placed = placedOf(piece);
  const power = torque((from + to) / 2) * turning;
  const { efficiency, backEfficiency } = axis.mechanism;
  const worst = travel * Math.max(1 / efficiency, Math.abs(backEfficiency));
  const acceleration = blended(placed, ACCELERATION);
  const segment = axis.motion[piece.segment];
  return {
    from,
    to,
    turning,
    flow: power > 0 ? FLOW.motoring : power < 0 ? FLOW.regenerating : FLOW.rest,
    acceleration: blended(placed, { ...SPEED, acceleration: 1 / travel, speed: 0 }),
    speed: blended(placed, { ...SPEED, speed: 1 / travel }),
    torque,
    hanging: hangingTorque(setting),
    perKilogram: (t) => worst * forcePerCarriedKilogram(axis, segment, acceleration(t)),
    loadInertia: state.mass * travel ** 2,
    placed,
    torqueBlend,
    perTravel: 1 / travel,
  };
}
