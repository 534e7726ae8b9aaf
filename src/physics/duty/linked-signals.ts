import type { Crank, Winder } from "../../machine/mechanism.ts";
import { peakOn, type Scalar } from "../../maths/scalar.ts";
import { type LinkageAt, linkageOf, tensionOf } from "../mechanism/linkage.ts";
import { isSelfLocking } from "../mechanism/travel.ts";
import { accelerationAt, positionAt, speedAt } from "../motion/curve.ts";
import { type ForcedSpan, forcedSpans, type Setting } from "./setting.ts";
import { FLOW, flowOf, type SignalPiece } from "./signal-piece.ts";
import { cutAtZeros, inParts, type Span } from "./spans.ts";

/** A mechanism whose ratio changes with its position. */
export type Linked = Winder | Crank;

/** An axis on a span of its motion, its mechanism worked out at each instant. */
interface LinkedSpan extends Setting {
  readonly mechanism: Linked;
  readonly at: (t: number) => LinkageAt;
  /** Constant force, tension and tables [N]. */
  readonly steady: Scalar;
  readonly from: number;
  readonly to: number;
}

/**
 * Signals of an axis whose ratio changes with its position, on one piece of its motion. Source: see `signalsOf`, with the
 * kinematics of `winderAt` and `crankAt`.
 *
 * @param isRest - the piece stands still
 */
export function linkedPieces(setting: Setting, mechanism: Linked, isRest: boolean): SignalPiece[] {
  const at = linkageOn(setting, mechanism);
  return forcedSpans(setting).flatMap((span) => {
    const linked = { ...setting, mechanism, at, steady: steadyForce(setting, mechanism, span), ...span };
    if (isRest) return [restPiece(linked, span)];
    return smoothSpans(linked).flatMap(movingPieces);
  });
}

function linkageOn({ piece: { curve, from } }: Setting, mechanism: Linked): (t: number) => LinkageAt {
  const linkage = linkageOf(mechanism);
  return (t) =>
    linkage({
      position: positionAt(curve, t - from),
      speed: speedAt(curve, t - from),
      acceleration: accelerationAt(curve, t - from),
    });
}

/** What acts on the load whatever its motion: weight, external force, tension of the web [N]. */
function steadyForce({ state, piece }: Setting, mechanism: Linked, { applied }: ForcedSpan): Scalar {
  const steady = state.constant + tensionOf(mechanism);
  return (t) => steady + applied.constant + applied.slope * (t - piece.from);
}

function restPiece(linked: LinkedSpan, { applied }: ForcedSpan): SignalPiece {
  const { from, to, state, mechanism, at, steady } = linked;
  const { lever } = at(from);
  const held: Scalar = isSelfLocking(mechanism) ? () => 0 : (t) => steady(t) * lever;
  const hangs = state.hanging * lever;
  return {
    from,
    to,
    turning: 0,
    isSteady: applied.slope === 0 || isSelfLocking(mechanism),
    flow: FLOW.rest,
    acceleration: () => 0,
    speed: () => 0,
    torque: held,
    hanging: () => hangs,
    perKilogram: () => 0,
    loadInertia: inertiaOn(linked, 1),
  };
}

/** Load and roll as the input shaft feels them on a span. */
function inertiaOn({ at, state, from, to }: LinkedSpan, samples: number): SignalPiece["loadInertia"] {
  const felt: Scalar = (t) => {
    const { lever, turning } = at(t);
    return state.mass * lever * lever + turning;
  };
  const most = peakOn(felt, from, to, { samples }).value;
  return { least: -peakOn((t) => -felt(t), from, to, { samples }).value, most };
}

/** Most that a crank turns on a span [rad], and that a roll's area grows by, as a share. */
const TURN = 0.5;
const GROWTH = 0.25;

/** Spans short enough for the quadrature. */
function smoothSpans(linked: LinkedSpan): LinkedSpan[] {
  const { piece, mechanism, at, from, to } = linked;
  const waves = piece.curve.wave === undefined ? 1 : (piece.curve.wave.frequency * (to - from)) / (Math.PI / 2);
  const moved = (t: number): number => positionAt(piece.curve, t - piece.from);
  const areas = [at(from).lever ** 2, at(to).lever ** 2];
  const shape =
    mechanism.kind === "crank"
      ? Math.abs(moved(to) - moved(from)) / TURN
      : (Math.max(...areas) / Math.min(...areas) - 1) / GROWTH;
  return inParts({ from, to }, Math.max(waves, shape)).map((span) => ({ ...linked, ...span }));
}

/** Cut where the load turns round, where its force changes sign, and where the torque does. */
function movingPieces(linked: LinkedSpan): SignalPiece[] {
  const { at } = linked;
  return cutAtZeros([linked], (t) => at(t).lever).flatMap((oneWay) => {
    const span = { ...linked, ...oneWay };
    const [load, turning] = [waysOf(span).load, waysOf(span).shaft];
    const force = forceOn(span, load);
    return cutAtZeros([span], force).flatMap((part) => {
      const torque = torqueOn(span, { force, turning, isHelped: force(middleOf(part)) * load > 0 });
      return cutAtZeros([part], torque).map((bit) => movingPiece({ ...span, ...bit }, torque, turning));
    });
  });
}

function middleOf({ from, to }: Span): number {
  return (from + to) / 2;
}

function waysOf(span: LinkedSpan): { load: -1 | 1; shaft: -1 | 1 } {
  const { loadSpeed, shaftSpeed } = span.at(middleOf(span));
  return { load: loadSpeed > 0 ? 1 : -1, shaft: shaftSpeed > 0 ? 1 : -1 };
}

function forceOn({ axis: { load }, state, at, steady }: LinkedSpan, way: -1 | 1): Scalar {
  return (t) => {
    const { loadSpeed, loadAcceleration } = at(t);
    return state.mass * loadAcceleration + way * state.friction + load.viscous * loadSpeed + steady(t);
  };
}

function torqueOn(
  { mechanism, at }: LinkedSpan,
  { force, turning, isHelped }: { force: Scalar; turning: -1 | 1; isHelped: boolean },
): Scalar {
  const { efficiency, backEfficiency, inertia, dragTorque } = mechanism;
  const through = isHelped ? 1 / efficiency : backEfficiency;
  return (t) => {
    const { lever, shaftAcceleration, turning: roll } = at(t);
    return (inertia + roll) * shaftAcceleration + through * force(t) * lever + turning * dragTorque;
  };
}

function movingPiece(span: LinkedSpan, torque: Scalar, turning: -1 | 1): SignalPiece {
  const { from, to, at, state } = span;
  return {
    from,
    to,
    turning,
    isSteady: false,
    flow: flowOf(torque(middleOf(span)), turning),
    acceleration: (t) => at(t).shaftAcceleration,
    speed: (t) => at(t).shaftSpeed,
    torque,
    hanging: (t) => state.hanging * at(t).lever,
    perKilogram: () => 0,
    loadInertia: inertiaOn(span, 8),
  };
}
