import { integrate } from "../../maths/quadrature.ts";
import type { Instant, Span } from "./bus-power.ts";
import type { PairPower, PowerPiece } from "./pair-power.ts";

/** Power of a pair as base and current: what a drive adds is `loss_per_amp · current`. */
export interface PowerFigures {
  /** [W] or, integrated, [W] of the cycle's mean. */
  readonly base: number;
  /** [A] */
  readonly current: number;
}

/** Power at an instant, from the side given. Source: see `pairPower`. */
export function figuresAt({ pieces }: PairPower, { time, inside }: Instant): PowerFigures {
  const piece = pieceAt(pieces, inside);
  if (piece === undefined) return { base: 0, current: 0 };
  return { base: piece.base(time), current: piece.current(time) };
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

/** Mean over the whole cycle. Source: definition. */
export function meanFigures({ pieces, period }: PairPower): PowerFigures {
  let [base, current] = [0, 0];
  for (const piece of pieces) {
    base += integrate(piece.base, piece.from, piece.to);
    current += integrate(piece.current, piece.from, piece.to);
  }
  return { base: base / period, current: current / period };
}

/** Integral over spans of the cycle, divided by its length: the spans' share of the mean. Source: definition. */
export function partOfMean({ pieces, period }: PairPower, spans: readonly Span[]): PowerFigures {
  let [base, current] = [0, 0];
  for (const span of spans) {
    for (const piece of pieces) {
      const [from, to] = [Math.max(span.from, piece.from), Math.min(span.to, piece.to)];
      if (to <= from) continue;
      base += integrate(piece.base, from, to);
      current += integrate(piece.current, from, to);
    }
  }
  return { base: base / period, current: current / period };
}
