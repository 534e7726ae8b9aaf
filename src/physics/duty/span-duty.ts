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
  GAUSS_16.nodes.forEach((node, j) => {
    const t = from + half * (1 + node);
    const weight = (half * (GAUSS_16.weights[j] ?? 0)) / period;
    const speed = piece.speed(t);
    sums.meanSquareSpeed += weight * speed * speed;
    addBasis(sums, { acceleration: piece.acceleration(t), torque: piece.torque(t), piece, weight, speed });
  });
}

/** Basis signals at an instant; all others are zero. */
export interface BasisAt {
  readonly acceleration: number;
  readonly torque: number;
  readonly piece: Pick<SignalPiece, "flow" | "turning">;
  readonly weight: number;
  readonly speed: number;
}

/** Adds weight · b·bᵀ to a Gram matrix and weight · speed · b to a power vector. Hot. */
export function addBasis(
  { gram, power }: { gram: Float64Array; power: Float64Array },
  { acceleration: a, torque: y, piece: { flow, turning: z }, weight, speed }: BasisAt,
): void {
  const k = 1 + flow;
  gram[0]! += weight * a * a;
  gram[k]! += weight * a * y;
  gram[4]! += weight * a * z;
  gram[5 * k]! += weight * a * y;
  gram[6 * k]! += weight * y * y;
  gram[5 * k + 4]! += weight * y * z;
  gram[20]! += weight * a * z;
  gram[20 + k]! += weight * y * z;
  gram[24]! += weight * z * z;
  power[0]! += weight * speed * a;
  power[k]! += weight * speed * y;
  power[4]! += weight * speed * z;
}
