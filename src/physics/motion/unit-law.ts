import type { LawName } from "../../machine/problem.ts";
import { peakOn } from "../../maths/scalar.ts";
import { accelerationAt, type Curve, curveOf, positionAt, scaleCurve, speedAt } from "./curve.ts";
import { type LawShape, MOTION_LAWS } from "./motion-law.ts";

/** One exact stretch of motion. */
export interface CurvePiece {
  readonly length: number;
  readonly curve: Curve;
}

/** Curves of a law over unit distance in unit time, joined in position and speed. Source: acceleration integrated twice. */
export function unitLaw(law: LawName, shape: LawShape): CurvePiece[] {
  const pieces: CurvePiece[] = [];
  let [position, speed] = [0, 0];
  for (const stretch of MOTION_LAWS[law].stretches(shape)) {
    if (stretch.length <= 1e-12) continue;
    const curve = curveOf(stretch, position, speed);
    pieces.push({ length: stretch.length, curve });
    position = positionAt(curve, stretch.length);
    speed = speedAt(curve, stretch.length);
  }
  return pieces.map(({ length, curve }) => ({ length, curve: scaleCurve(curve, 1 / position, 1) }));
}

/** Curves of a law over a signed distance in a time. Source: q(t) = s·q₁(t/T). */
export function lawOver(law: LawName, shape: LawShape, move: { distance: number; time: number }): CurvePiece[] {
  return unitLaw(law, shape).map(({ length, curve }) => ({
    length: length * move.time,
    curve: scaleCurve(curve, move.distance, move.time),
  }));
}

/** Largest speed and acceleration over unit distance in unit time: Cv and Ca. Source: definition in VDI 2143 sheet 1 (1980). */
export function peakValues(law: LawName, shape: LawShape): { speed: number; acceleration: number } {
  const pieces = unitLaw(law, shape);
  const largest = (value: (curve: Curve, t: number) => number): number =>
    Math.max(...pieces.map(({ curve, length }) => peakOn((t) => Math.abs(value(curve, t)), 0, length).value));
  return { speed: largest(speedAt), acceleration: largest(accelerationAt) };
}
