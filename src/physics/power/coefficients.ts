import { GAUSS_16 } from "../../maths/quadrature.ts";
import { peakOn } from "../../maths/scalar.ts";
import { NODES_PER_PIECE } from "../duty/nodes.ts";
import type { Span } from "../duty/spans.ts";
import type { Instant } from "./bus-power.ts";
import { motorDraw, type PairPower, type PowerFigures, type PowerPiece, type WholePiece } from "./pair-power.ts";

/** Least power with a drive [W]. Source: see `pairPower`. */
export function leastPower({ base, current, looseBase, looseCurrent }: PowerFigures, lossPerAmp: number): number {
  return base - looseBase + lossPerAmp * Math.max(0, current - looseCurrent);
}

/** Most power with a drive [W]. Source: see `pairPower`. */
export function mostPower({ base, current, looseBase, looseCurrent }: PowerFigures, lossPerAmp: number): number {
  return base + looseBase + lossPerAmp * (current + looseCurrent);
}

/** Power at an instant, from the side given. Source: see `pairPower`. */
export function figuresAt({ pieces }: PairPower, { time, inside }: Instant): PowerFigures {
  const figures = noFigures();
  pieceAt(pieces, inside)?.read(time, figures);
  return figures;
}

function noFigures(): PowerFigures {
  return { base: 0, current: 0, looseBase: 0, looseCurrent: 0 };
}

function pieceAt(pieces: readonly PowerPiece[], time: number): PowerPiece | undefined {
  let [low, high] = [0, pieces.length - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((pieces[middle]?.to ?? 0) < time) low = middle + 1;
    else high = middle;
  }
  return pieces[low];
}

/** Integral over spans of the cycle, divided by its length: the spans' share of the mean. Source: definition. */
export function shareOfMean({ pieces, period }: PairPower, spans: readonly Span[]): PowerFigures {
  const [sums, figures] = [noFigures(), noFigures()];
  for (const span of spans) {
    for (const piece of pieces) {
      const from = Math.max(span.from, piece.from);
      const to = Math.min(span.to, piece.to);
      if (to <= from) continue;
      if (piece.whole !== undefined && from === piece.from && to === piece.to) addWhole(sums, piece.whole);
      else addIntegral(sums, piece, { from, to, figures });
    }
  }
  return {
    base: sums.base / period,
    current: sums.current / period,
    looseBase: sums.looseBase / period,
    looseCurrent: sums.looseCurrent / period,
  };
}

/** Adds ∫ over a whole piece of the duty of all figures, from the duty's own nodes. Hot. Source: see `pairPower`. */
function addWhole(sums: PowerFigures, { index, signals, factors, draw }: WholePiece): void {
  const { inertia, flow, drag } = factors;
  const { ratio, copper, currentPerTorque, reach } = draw;
  const end = (index + 1) * NODES_PER_PIECE;
  let [base, torques, looseBase, looseTorques] = [0, 0, 0, 0];
  for (let k = index * NODES_PER_PIECE; k < end; k++) {
    const weight = signals.weight[k]!;
    const speed = signals.speed[k]!;
    const through = flow[signals.flow[k]!]! * signals.torque[k]!;
    const torque = inertia * signals.acceleration[k]! + through + drag * signals.turning[k]!;
    const moved = reach * signals.perKilogram[k]!;
    const size = Math.abs(torque);
    base += weight * motorDraw(draw, torque, speed);
    torques += weight * size;
    looseBase += weight * moved * (Math.abs(speed) * ratio + copper * (2 * size + moved));
    looseTorques += weight * moved;
  }
  sums.base += base;
  sums.current += torques * currentPerTorque;
  sums.looseBase += looseBase;
  sums.looseCurrent += looseTorques * currentPerTorque;
}

/** Adds ∫ over [from, to] of all figures; read into room that is reused. Hot. */
function addIntegral(
  sums: PowerFigures,
  { read }: PowerPiece,
  { from, to, figures }: Span & { readonly figures: PowerFigures },
): void {
  const { nodes, weights } = GAUSS_16;
  const half = (to - from) / 2;
  const middle = (to + from) / 2;
  let [base, current, looseBase, looseCurrent] = [0, 0, 0, 0];
  for (let i = 0; i < nodes.length; i++) {
    const weight = half * weights[i]!;
    read(middle + half * nodes[i]!, figures);
    base += weight * figures.base;
    current += weight * figures.current;
    looseBase += weight * figures.looseBase;
    looseCurrent += weight * figures.looseCurrent;
  }
  sums.base += base;
  sums.current += current;
  sums.looseBase += looseBase;
  sums.looseCurrent += looseCurrent;
}

/** Mean over the whole cycle. Source: definition. */
export function meanFigures(pair: PairPower): PowerFigures {
  return shareOfMean(pair, [{ from: 0, to: pair.period }]);
}

/** Largest and smallest power of a pair with its drive over its own period [W]. Source: extreme value of a smooth function. */
export function extremes({ pieces }: PairPower, lossPerAmp: number): { most: number; least: number } {
  let [most, least] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  for (const { from, to, power } of pieces) {
    most = Math.max(most, peakOn((t) => power(t, lossPerAmp), from, to, { floor: most }).value);
    least = Math.min(least, -peakOn((t) => -power(t, lossPerAmp), from, to, { floor: -least }).value);
  }
  return { most, least };
}
