import { advanceCurve } from "./curve.ts";
import type { CurvePiece } from "./unit-law.ts";

/** A way back shorter than this share of the piece is rounding. */
const TURN = 1e-6;

/**
 * A piece without a wave, cut where its speed changes sign: near its ends rounding must not turn it round.
 *
 * Source: quadratic formula; for positions of the third degree at most.
 */
export function oneWay(piece: CurvePiece): CurvePiece[] {
  const { length, curve } = piece;
  const turns = turnsOf(curve.polynomial).filter((t) => t > TURN * length && t < (1 - TURN) * length);
  const [first = 0, second] = turns.toSorted((a, b) => a - b);
  if (turns.length === 0 || (second !== undefined && second - first <= TURN * length)) return [piece];
  const borders = [0, first, ...(second === undefined ? [] : [second]), length];
  return borders
    .slice(1)
    .map((to, k) => ({ length: to - (borders[k] ?? 0), curve: advanceCurve(curve, borders[k] ?? 0) }));
}

/** Where the speed c₁ + 2·c₂·t + 3·c₃·t² passes through zero. Source: quadratic formula without cancellation. */
function turnsOf([, c1 = 0, c2 = 0, c3 = 0]: readonly number[]): number[] {
  const [a, b, c] = [3 * c3, 2 * c2, c1];
  if (a === 0) return b === 0 ? [] : [-c / b];
  const root = b * b - 4 * a * c;
  if (root <= 0) return [];
  const q = -(b + (b < 0 ? -1 : 1) * Math.sqrt(root)) / 2;
  return [q / a, c / q];
}
