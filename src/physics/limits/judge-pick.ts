import { LIMIT_IDS, type Limit, type LimitId, type Unchecked } from "../../machine/limit.ts";
import { AXIS_LIMITS } from "./axis-limits.ts";
import { DRIVE_LIMITS } from "./drive-limits.ts";
import { GEARBOX_LIMITS } from "./gearbox-limits.ts";
import { HEAT_LIMITS } from "./heat-limits.ts";
import { passes } from "./judgement.ts";
import { cannotStart, type JudgeLimit, MOTOR_LIMITS } from "./motor-limits.ts";
import type { PickDuty } from "./pick-duty.ts";
import { RESONANCE_LIMITS } from "./resonance-limits.ts";
import { REST_LIMITS } from "./rest-limits.ts";
import { SHAFT_LIMITS } from "./shaft-limits.ts";

/** Every limit of a pick on its axis. */
export interface PickJudgement {
  readonly limits: readonly Limit[];
  readonly unchecked: readonly Unchecked[];
  /** Ids of the limits the pick fails, unknowns that fail included. */
  readonly failed: readonly LimitId[];
}

const ALL_LIMITS: Readonly<Partial<Record<LimitId, JudgeLimit>>> = {
  ...MOTOR_LIMITS,
  ...GEARBOX_LIMITS,
  ...DRIVE_LIMITS,
  ...HEAT_LIMITS,
  ...REST_LIMITS,
  ...AXIS_LIMITS,
  ...SHAFT_LIMITS,
  ...RESONANCE_LIMITS,
};

/** In the order of the documentation. */
const JUDGES: readonly JudgeLimit[] = LIMIT_IDS.flatMap((id) => ALL_LIMITS[id] ?? []);

/** Judges every limit of a pick that belongs to its axis alone, exactly. Source: see each limit. */
export function judgePick(pick: PickDuty): PickJudgement {
  const limits: Limit[] = [];
  const unknown: Unchecked[] = [];
  const failed: LimitId[] = [];
  for (const judge of JUDGES) {
    const judgement = judge(pick);
    if (judgement === undefined) continue;
    if (judgement.kind === "checked") limits.push(judgement.limit);
    else unknown.push({ id: judgement.id, missing: judgement.missing });
    if (!passes(judgement, pick.duty.axis.needs)) {
      failed.push(judgement.kind === "checked" ? judgement.limit.id : judgement.id);
    }
  }
  // Not to be relaxed: no figure of the brake makes such a motor start.
  if (cannotStart(pick) && !failed.includes("motor.brake")) failed.push("motor.brake");
  return { limits, unchecked: unknown, failed };
}
