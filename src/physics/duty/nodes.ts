import { GAUSS_16 } from "../../maths/quadrature.ts";
import type { SignalPiece } from "./signal-piece.ts";

/** Nodes of a piece, one after the other. Source: as for `nodesOf`. */
export const NODES_PER_PIECE: number = GAUSS_16.nodes.length;

/** Signals of an axis at the quadrature nodes of all its pieces, 16 to a piece: hot loops read these. */
export interface Nodes {
  readonly count: number;
  /** Weight of the node [s]; weights of all nodes sum to the period. */
  readonly weight: Float64Array;
  readonly time: Float64Array;
  readonly acceleration: Float64Array;
  readonly speed: Float64Array;
  readonly torque: Float64Array;
  readonly perKilogram: Float64Array;
  readonly turning: Int8Array;
  readonly flow: Int8Array;
}

/** Nodes of the pieces, in their order. Source: Gauss-Legendre quadrature, NIST DLMF 3.5(v). */
export function nodesOf(pieces: readonly SignalPiece[]): Nodes {
  const { nodes, weights } = GAUSS_16;
  const count = pieces.length * nodes.length;
  const column = (): Float64Array => new Float64Array(count);
  const [weight, time, acceleration, speed, torque, perKilogram] = [
    column(),
    column(),
    column(),
    column(),
    column(),
    column(),
  ];
  const [turning, flow] = [new Int8Array(count), new Int8Array(count)];
  pieces.forEach((piece, p) => {
    const half = (piece.to - piece.from) / 2;
    nodes.forEach((node, j) => {
      const k = p * nodes.length + j;
      const t = piece.from + half * (1 + node);
      weight[k] = half * (weights[j] ?? 0);
      time[k] = t;
      acceleration[k] = piece.acceleration(t);
      speed[k] = piece.speed(t);
      torque[k] = piece.torque(t);
      perKilogram[k] = piece.perKilogram(t);
      turning[k] = piece.turning;
      flow[k] = piece.flow;
    });
  });
  return { count, weight, time, acceleration, speed, torque, perKilogram, turning, flow };
}
