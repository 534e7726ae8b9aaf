import { rootsInside, type Scalar } from "../../maths/scalar.ts";

/** A part of the cycle [s]. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/** Cuts spans where a signal passes through zero. Source: definition. */
export function cutAtZeros(spans: readonly Span[], signal: Scalar): Span[] {
  return spans.flatMap(({ from, to }) => between([from, ...rootsInside(signal, from, to), to]));
}

/** The spans between borders in order. Source: definition. */
export function between(borders: readonly number[]): Span[] {
  return borders.slice(1).map((to, k) => ({ from: borders[k] ?? to, to }));
}

/** Spans in order, those that touch joined. Source: definition. */
export function joinedSpans(spans: readonly Span[]): Span[] {
  const joined: { from: number; to: number }[] = [];
  for (const { from, to } of spans) {
    const last = joined.at(-1);
    if (last !== undefined && last.to === from) last.to = to;
    else joined.push({ from, to });
  }
  return joined;
}

/** A span in equal parts, as few as make `size` of them at most 1. Source: definition. */
export function inParts({ from, to }: Span, size: number): Span[] {
  const count = Math.max(1, Math.ceil(size - 1e-9));
  const border = (k: number): number => (k === count ? to : from + ((to - from) * k) / count);
  return Array.from({ length: count }, (_, k) => ({ from: border(k), to: border(k + 1) }));
}
