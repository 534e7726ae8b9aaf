import { rootsInside, type Scalar } from "../../maths/scalar.ts";
import { between, type Span } from "../duty/spans.ts";
import { motorTorque, type PickDuty } from "./pick-duty.ts";

/** Torque that counts as the peak, as a share of the largest. Common practice, no source. */
const NEAR = 0.95;

/**
 * Longest stretch at a time on which the motor gives 95 % of its largest torque or more, over the end of the period, too [s].
 *
 * Source: definition; the share is common practice, no source.
 */
export function timeAtPeak({ duty, factors, peakTorque }: PickDuty): number {
  const level = NEAR * peakTorque.value;
  if (level === 0) return 0;
  const high = duty.pieces.flatMap((piece) => {
    const torque = motorTorque(piece, factors);
    return spansAbove((t) => Math.abs(torque(t)) - level, piece);
  });
  return longest(high, duty.period);
}

function spansAbove(signal: Scalar, { from, to }: Span): Span[] {
  const borders = [from, ...rootsInside(signal, from, to), to];
  return between(borders).filter((span) => signal((span.from + span.to) / 2) > 0);
}

/** Spans that touch are one stretch; one that runs over the end goes on at the beginning. */
function longest(spans: readonly Span[], period: number): number {
  const near = 1e-9 * period;
  let [most, begin, end] = [0, 0, Number.NEGATIVE_INFINITY];
  const again = spans.map(({ from, to }) => ({ from: from + period, to: to + period }));
  for (const { from, to } of [...spans, ...again]) {
    if (from > end + near) begin = from;
    end = to;
    most = Math.max(most, end - begin);
  }
  return Math.min(most, period);
}
