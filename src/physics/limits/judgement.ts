import type { Judgement, Limit, LimitId, LimitUnit } from "../../machine/limit.ts";
import type { Needs } from "../../machine/problem.ts";

/** Rounding allowed when demand meets what is allowed. Source: common practice, no source. */
export const PASS_TOLERANCE = 1e-9;

interface Figures {
  readonly demand: number;
  readonly allowed: number;
  readonly unit: LimitUnit;
  readonly time?: number;
  readonly beside?: NonNullable<Limit["beside"]>;
}

/** A limit that was checked. 0/0 has utilisation 0; anything over 0 has none and fails. Source: common practice, no source. */
export function checked(id: LimitId, figures: Figures): Judgement {
  const { demand, allowed } = figures;
  return { kind: "checked", limit: { id, ...figures, utilisation: utilisationOf(demand, allowed) } };
}

/** demand / allowed, a demand below 0 (a temperature) counting as 0; null where nothing is allowed but something is asked. Source: common practice, no source. */
export function utilisationOf(demand: number, allowed: number): number | null {
  if (allowed > 0) return Math.max(0, demand / allowed);
  return demand === 0 ? 0 : null;
}

/** A limit that cannot be checked because a catalogue column is empty. Source: common practice, no source. */
export function unchecked(id: LimitId, missing: string): Judgement {
  return { kind: "not-checked", id, missing };
}

/**
 * True where a judgement lets the pick through: demand ≤ allowed·(1 + 1e-9), widened by `needs.relax`.
 *
 * A missing value passes unless the problem asks for that limit or rejects every unknown.
 * Source: common practice, no source.
 */
export function passes(judgement: Judgement, needs: Needs): boolean {
  const id = judgement.kind === "checked" ? judgement.limit.id : judgement.id;
  const relax = needs.relax[id];
  if (relax === null) return true;
  if (judgement.kind === "not-checked") return !needs.rejectUnknown && !isAsked(id, needs);
  const { utilisation } = judgement.limit;
  return utilisation !== null && utilisation <= (1 + (relax ?? 0)) * (1 + PASS_TOLERANCE);
}

/** True where the problem asks for a limit by a key in `needs`. Source: common practice, no source. */
function isAsked(id: LimitId, needs: Needs): boolean {
  const asked: Partial<Record<LimitId, unknown>> = {
    "motor.detent": needs.detent,
    "motor.speed_ripple": needs.speedRipple,
    "motor.resolution": needs.resolution,
    "gearbox.backlash": needs.backlash,
    "axis.torque_ripple": needs.torqueRipple,
    "axis.resonance": needs.bandwidth,
  };
  return asked[id] !== undefined;
}
