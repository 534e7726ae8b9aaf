import { GAUSS_16 } from "../../maths/quadrature.ts";
import type { Duty } from "./duty.ts";
import type { SignalPiece } from "./signals.ts";

/** A part of the cycle [s]. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/** Means of an axis's basis signals over some spans of its cycle, still divided by the whole cycle. */
export type SpanDuty = Pick<Duty, "gram" | "power" | "meanSquareSpeed">;

/**
 * Gram matrix, mean shaft power and mean square speed over spans only; exact, because the quadrature stops at their ends.
 *
 * Source: as for the whole cycle (`dutyOf`).
 */
export function spanDuty({ pieces, period }: Duty, spans: readonly Span[]): SpanDuty {
  const sums = { gram: new Float64Array(25), power: new Float64Array(5), meanSquareSpeed: 0 };
  for (const span of spans) {
    for (const piece of pieces) {
      const [from, to] = [Math.max(span.from, piece.from), Math.min(span.to, piece.to)];
      if (to > from) addPiece(sums, piece, { from, to, period });
    }
  }
  return sums;
}

function addPiece(
  sums: { gram: Float64Array; power: Float64Array; meanSquareSpeed: number },
  piece: SignalPiece,
  { from, to, period }: Span & { period: number },
): void {
  const half = (to - from) / 2;
  const b = new Float64Array(5);
  GAUSS_16.nodes.forEach((node, j) => {
    const t = from + half * (1 + node);
    const weight = (half * (GAUSS_16.weights[j] ?? 0)) / period;
    const speed = piece.speed(t);
    b.fill(0);
    b[0] = piece.acceleration(t);
    b[1 + piece.flow] = piece.torque(t);
    b[4] = piece.turning;
    sums.meanSquareSpeed += weight * speed * speed;
    for (let r = 0; r < 5; r++) sums.power[r] = (sums.power[r] ?? 0) + weight * speed * (b[r] ?? 0);
    for (let e = 0; e < 25; e++)
      sums.gram[e] = (sums.gram[e] ?? 0) + weight * (b[Math.floor(e / 5)] ?? 0) * (b[e % 5] ?? 0);
  });
}
