import type { Duty } from "./duty.ts";
import { NODES_PER_PIECE, type Nodes, nodesOf } from "./nodes.ts";
import type { SignalPiece } from "./signal-piece.ts";
import type { Span } from "./spans.ts";

/** Means of an axis's basis signals over some spans of its cycle, still divided by the whole cycle. */
export interface SpanDuty extends Pick<Duty, "gram" | "power" | "meanSquareSpeed"> {
  readonly strides: Strides;
}

/** Integrals of the basis signals over stretches on which none of them changes its form, divided by the cycle. */
export interface Strides {
  readonly count: number;
  readonly flow: Uint8Array;
  /** θ'' */
  readonly acceleration: Float64Array;
  /** τ_in */
  readonly torque: Float64Array;
  /** sgn θ' */
  readonly turning: Float64Array;
  /** Most that τ_in changes per kilogram carried. */
  readonly perKilogram: Float64Array;
}

/**
 * Gram matrix, mean shaft power and mean square speed over spans only; exact, because the quadrature stops at their ends.
 *
 * Source: as for the whole cycle (`dutyOf`).
 */
export function spanDuty({ pieces, nodes, period }: Duty, spans: readonly Span[]): SpanDuty {
  const sums: Sums = { gram: new Float64Array(25), power: new Float64Array(5), meanSquareSpeed: 0 };
  const parts = partsIn(pieces, spans);
  const cut = nodesOf(
    parts.flatMap(({ index, from, to, isWhole }) => (isWhole ? [] : [{ ...pieces[index]!, from, to }])),
  );
  const strides = newStrides(parts.length);
  let seen = 0;
  parts.forEach(({ index, from, to, isWhole }, stride) => {
    const { flow, turning } = pieces[index]!;
    strides.flow[stride] = flow;
    strides.turning[stride] = (turning * (to - from)) / period;
    const block = isWhole ? index : seen++;
    addStride({ sums, strides, stride, period }, isWhole ? nodes : cut, block * NODES_PER_PIECE);
  });
  return { ...sums, strides };
}

interface Sums {
  readonly gram: Float64Array;
  readonly power: Float64Array;
  meanSquareSpeed: number;
}

interface PiecePart extends Span {
  /** Of the piece. */
  readonly index: number;
  readonly isWhole: boolean;
}

/** Parts of pieces that lie in the spans. */
function partsIn(pieces: readonly SignalPiece[], spans: readonly Span[]): PiecePart[] {
  const parts: PiecePart[] = [];
  for (const span of spans) {
    for (let index = 0; index < pieces.length; index++) {
      const piece = pieces[index]!;
      if (piece.to <= span.from || piece.from >= span.to) continue;
      const [from, to] = [Math.max(span.from, piece.from), Math.min(span.to, piece.to)];
      if (to > from) parts.push({ index, from, to, isWhole: from === piece.from && to === piece.to });
    }
  }
  return parts;
}

function newStrides(count: number): Strides {
  const column = (): Float64Array => new Float64Array(count);
  return {
    count,
    flow: new Uint8Array(count),
    acceleration: column(),
    torque: column(),
    turning: column(),
    perKilogram: column(),
  };
}

interface Adding {
  readonly sums: Sums;
  readonly strides: Strides;
  /** Index of the stretch. */
  readonly stride: number;
  readonly period: number;
}

/** Adds a stretch, node by node from the first of its nodes. Hot. */
function addStride({ sums, strides, stride, period }: Adding, nodes: Nodes, first: number): void {
  for (let k = first; k < first + NODES_PER_PIECE; k++) {
    const weight = nodes.weight[k]! / period;
    addBasis(sums, nodes, k, weight);
    sums.meanSquareSpeed += weight * nodes.speed[k]! * nodes.speed[k]!;
    strides.acceleration[stride]! += weight * nodes.acceleration[k]!;
    strides.torque[stride]! += weight * nodes.torque[k]!;
    strides.perKilogram[stride]! += weight * nodes.perKilogram[k]!;
  }
}

/**
 * Adds weight · b·bᵀ at a node to a Gram matrix and weight · speed · b to a power vector; the other basis signals are zero
 * there. Hot. Source: definition of the Gram form.
 */
export function addBasis(
  { gram, power }: { gram: Float64Array; power: Float64Array },
  nodes: Nodes,
  node: number,
  weight: number,
): void {
  const a = nodes.acceleration[node]!;
  const y = nodes.torque[node]!;
  const z = nodes.turning[node]!;
  const speed = nodes.speed[node]!;
  const k = 1 + nodes.flow[node]!;
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
