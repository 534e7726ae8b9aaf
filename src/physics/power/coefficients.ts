import { integrate } from "../../maths/quadrature.ts";
import { peakOn } from "../../maths/scalar.ts";
import type { Span } from "../duty/spans.ts";
import type { Instant } from "./bus-power.ts";
import type { PairPower, PowerPiece } from "./pair-power.ts";

/** Power of a pair as base and current: a drive adds `loss_per_amp · current`. */
export interface PowerFigures {
  /** At an instant, or its share of the cycle's mean [W]. */
  readonly base: number;
  /** [A] */
  readonly current: number;
  /** What carried mass can move the two by; 0 where it is known. */
  readonly looseBase: number;
  readonly looseCurrent: number;
}

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
  const piece = pieceAt(pieces, inside);
  if (piece === undefined) return { base: 0, current: 0, looseBase: 0, looseCurrent: 0 };
  const { base, current, loose } = piece;
  return {
    base: base(time),
    current: current(time),
    looseBase: loose === undefined ? 0 : loose.base(time),
    looseCurrent: loose === undefined ? 0 : loose.current(time),
  };
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
  let [base, current, looseBase, looseCurrent] = [0, 0, 0, 0];
  for (const span of spans) {
    for (const piece of pieces) {
      const [from, to] = [Math.max(span.from, piece.from), Math.min(span.to, piece.to)];
      if (to <= from) continue;
      base += integrate(piece.base, from, to);
      current += integrate(piece.current, from, to);
      if (piece.loose === undefined) continue;
      looseBase += integrate(piece.loose.base, from, to);
      looseCurrent += integrate(piece.loose.current, from, to);
    }
  }
  return {
    base: base / period,
    current: current / period,
    looseBase: looseBase / period,
    looseCurrent: looseCurrent / period,
  };
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
