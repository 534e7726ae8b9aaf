import { GAUSS_16 } from "../../maths/quadrature.ts";
import type { Duty } from "./duty.ts";
import type { SignalPiece } from "./signal-piece.ts";
import type { Span } from "./spans.ts";

/** Means of an axis's basis signals over some spans of its cycle, still divided by the whole cycle. */
export interface SpanDuty extends Pick<Duty, "gram" | "power" | "meanSquareSpeed"> {
  readonly strides: readonly Stride[];
}

/** Integrals of the basis signals over a stretch on which none of them changes its form, divided by the cycle. */
export interface Stride {
  readonly flow: SignalPiece["flow"];
  /** θ'' */
  readonly acceleration: number;
  /** τ_in */
  readonly torque: number;
  /** sgn θ' */
  readonly turning: number;
  /** Most that τ_in changes per kilogram carried. */
  readonly perKilogram: number;
}

/**
 * Gram matrix, mean shaft power and mean square speed over spans only; exact, because the quadrature stops at their ends.
 *
 * Source: as for the whole cycle (`dutyOf`).
 */
export function spanDuty({ pieces, period }: Duty, spans: readonly Span[]): SpanDuty {
  const strides: Stride[] = [];
  const sums = { gram: new Float64Array(25), power: new Float64Array(5), meanSquareSpeed: 0, strides };
  for (const span of spans) {
    for (const piece of pieces) {
      const [from, to] = [Math.max(span.from, piece.from), Math.min(span.to, piece.to)];
      if (to > from) strides.push(addPiece(sums, piece, { from, to, period }));
    }
  }
  return sums;
}

function addPiece(
  sums: { gram: Float64Array; power: Float64Array; meanSquareSpeed: number },
  piece: SignalPiece,
  { from, to, period }: Span & { period: number },
): Stride {
  const half = (to - from) / 2;
  const { flow, turning } = piece;
  const stride = { flow, acceleration: 0, torque: 0, turning: (turning * (to - from)) / period, perKilogram: 0 };
  GAUSS_16.nodes.forEach((node, j) => {
    const t = from + half * (1 + node);
    const weight = (half * (GAUSS_16.weights[j] ?? 0)) / period;
    const [speed, acceleration, torque] = [piece.speed(t), piece.acceleration(t), piece.torque(t)];
    sums.meanSquareSpeed += weight * speed * speed;
    addBasis(sums, { acceleration, torque, piece, weight, speed });
    stride.acceleration += weight * acceleration;
    stride.torque += weight * torque;
    stride.perKilogram += weight * piece.perKilogram(t);
  });
  return stride;
}

/** Basis signals at an instant; all others are zero. */
export interface BasisAt {
  readonly acceleration: number;
  readonly torque: number;
  /** Which way power flows (`FLOW`), and which way the axis goes. */
  readonly piece: { readonly flow: number; readonly turning: number };
  readonly weight: number;
  readonly speed: number;
}

/** Adds weight · b·bᵀ to a Gram matrix and weight · speed · b to a power vector. Hot. Source: definition of the Gram form. */
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
