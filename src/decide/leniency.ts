import type { Limit, LimitId } from "../machine/limit.ts";
import type { EvaluatedOrder } from "./evaluate.ts";

/** What an axis, bus or the order breaks: every limit it fails, and all limits as worked out. */
export interface Breach {
  readonly failed: readonly LimitId[];
  readonly limits: readonly Limit[];
}

/** Limits that may be broken, to see what they cost. Nothing is let pass by default. */
export interface Leniency {
  readonly axis: (machine: number, axis: number, breach: Breach) => boolean;
  /** One limit of one bus. */
  readonly bus: (machine: number, bus: number, limit: LimitId) => boolean;
}

/** Lets nothing pass. */
export const STRICT: Leniency = { axis: () => false, bus: () => false };

/** True where an answer breaks nothing that is not let pass. */
export function stands({ machines, money }: EvaluatedOrder, leniency: Leniency): boolean {
  if (money.failed.length > 0) return false;
  return machines.every(({ axes, buses }, m) => {
    const axesStand = axes.every(({ judgement }, a) => judgement.failed.length === 0 || leniency.axis(m, a, judgement));
    const busesStand = buses.every(
      ({ judgement }, b) => !judgement.familyClash && judgement.failed.every((limit) => leniency.bus(m, b, limit)),
    );
    return axesStand && busesStand;
  });
}
