import type { Axis } from "../../machine/problem.ts";
import { isSteadyMechanism } from "../mechanism/travel.ts";
import type { Cycle, MotionPiece } from "../motion/cycle.ts";
import { linkedPieces } from "./linked-signals.ts";
import { settingOf } from "./setting.ts";
import type { SignalPiece } from "./signal-piece.ts";
import { steadyPieces } from "./steady-signals.ts";

/**
 * Signals of an axis over its period, cut where anything changes its form.
 *
 * F = m·a + m·g·sin(incline) + sgn(v)·(μ·m·g·cos(incline) + F_c) + c·v + F_ext − F_counterbalance
 * τ_in = J_in·θ'' + φ(F)·κ + τ_drag·sgn(θ'); φ(F) = F/η where F·v > 0, F·η_back where F·v < 0, F at rest
 * Source: common practice, no source; checked against the worked examples of the references.
 *
 * @param carried - mass riding on the axis [kg]
 */
export function signalsOf(axis: Axis, cycle: Cycle, carried: number): SignalPiece[] {
  const { mechanism } = axis;
  return cycle.pieces.flatMap((piece) => {
    const setting = settingOf(axis, piece, carried);
    return isSteadyMechanism(mechanism)
      ? steadyPieces(setting, mechanism, isRest(piece))
      : linkedPieces(setting, mechanism, isRest(piece));
  });
}

function isRest({ curve }: MotionPiece): boolean {
  return (curve.wave?.amplitude ?? 0) === 0 && curve.polynomial.slice(1).every((c) => c === 0);
}
