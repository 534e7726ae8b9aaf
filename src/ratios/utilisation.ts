import type { Gearbox } from "../machine/catalogue.ts";
import { LIMIT_IDS, type LimitId, type Unchecked } from "../machine/limit.ts";
import type { Needs } from "../machine/problem.ts";
import { type Duty, supremum } from "../physics/duty/duty.ts";
import { AXIS_LIMITS } from "../physics/limits/axis-limits.ts";
import { DRIVE_LIMITS } from "../physics/limits/drive-limits.ts";
import { HEAT_LIMITS } from "../physics/limits/heat-limits.ts";
import { passes } from "../physics/limits/judgement.ts";
import { type JudgeLimit, MOTOR_LIMITS } from "../physics/limits/motor-limits.ts";
import {
  meanSquareTorque,
  motorTorque,
  type PickDuty,
  type PickParts,
  torqueFactors,
} from "../physics/limits/pick-duty.ts";
import { type MotorRating, motorRating } from "../physics/limits/rating.ts";
import { REST_LIMITS } from "../physics/limits/rest-limits.ts";
import type { AxisWork } from "./subject.ts";

/** Limits of motor, drive and mechanism that a gearbox enters by its ratio and losses alone. */
const JUDGES: Readonly<Partial<Record<LimitId, JudgeLimit>>> = {
  ...MOTOR_LIMITS,
  ...HEAT_LIMITS,
  ...REST_LIMITS,
  ...DRIVE_LIMITS,
  ...AXIS_LIMITS,
};

/** Their ids in the order of the documentation. */
export const CURVE_LIMITS: readonly LimitId[] = LIMIT_IDS.filter((id) => JUDGES[id] !== undefined);

/** Of these, the ones that no drive enters, cheap ones first. */
export const MOTOR_CURVE_LIMITS: readonly LimitId[] = [
  "motor.continuous_torque",
  "motor.inertia_ratio",
  "motor.brake",
  "motor.detent",
  "motor.speed_ripple",
  "motor.resolution",
  "motor.standstill_torque",
  "axis.critical_speed",
  "motor.peak_torque",
  "motor.torque_at_speed",
  "motor.voltage",
  "motor.winding_temperature",
];

/** Parts at any ratio: the gearbox is an assumed one, whose own ratio does not count. */
export type Train = PickParts & { readonly gearbox: Gearbox };

/** The limits of a train as functions of the ratio. */
export interface TrainLimits {
  readonly needs: Needs;
  /**
   * Utilisation of a limit, the worst of all runs; Infinity where nothing is allowed or an unknown fails, undefined where
   * the limit does not apply or is not checked.
   */
  readonly use: (id: LimitId, ratio: number) => number | undefined;
  /** What was not checked so far, for want of which catalogue value. */
  readonly unchecked: ReadonlyMap<LimitId, Unchecked>;
}

/** A train on the axis. What is worked out at a ratio is kept. */
export function trainLimits(work: AxisWork, train: Train): TrainLimits {
  const { needs } = work.axis.axis;
  const rating = motorRating(train.motor, needs, work.axis.site);
  const picks = new Map<number, readonly PickDuty[]>();
  const uses = new Map<LimitId, Map<number, number | undefined>>();
  const unchecked = new Map<LimitId, Unchecked>();
  const use: TrainLimits["use"] = (id, ratio) => {
    const own = uses.get(id) ?? new Map<number, number | undefined>();
    uses.set(id, own);
    if (own.has(ratio)) return own.get(ratio);
    const known = picks.get(ratio) ?? work.duties.map((duty) => pickAt({ work, train, rating }, duty, ratio));
    picks.set(ratio, known);
    const found = worst(known.map((pick) => useOf(id, pick, unchecked)));
    own.set(ratio, found);
    return found;
  };
  return { needs, use, unchecked };
}

function worst(uses: readonly (number | undefined)[]): number | undefined {
  return uses.reduce((most, use) => (most === undefined || (use ?? 0) > most ? (use ?? most) : most), undefined);
}

function useOf(id: LimitId, pick: PickDuty, unchecked: Map<LimitId, Unchecked>): number | undefined {
  const judgement = JUDGES[id]?.(pick);
  if (judgement === undefined) return undefined;
  if (judgement.kind === "checked") return judgement.limit.utilisation ?? Number.POSITIVE_INFINITY;
  unchecked.set(id, { id, missing: judgement.missing });
  return passes(judgement, pick.duty.axis.needs) ? undefined : Number.POSITIVE_INFINITY;
}

interface Around {
  readonly work: AxisWork;
  readonly train: Train;
  readonly rating: MotorRating;
}

/** As `pickDuty`, but the peak, which takes a search, waits until it is asked for. */
function pickAt({ work, train, rating }: Around, duty: Duty, ratio: number): PickDuty {
  const { motor, inductor } = train;
  const gearbox = { ...train.gearbox, ratio };
  const factors = torqueFactors(duty, motor, gearbox);
  let peak: PickDuty["peakTorque"] | undefined;
  return {
    ...train,
    gearbox,
    duty,
    site: work.axis.site,
    bus: work.axis.voltage,
    rating,
    ratio,
    factors,
    rmsTorque: Math.sqrt(meanSquareTorque(duty, factors)),
    get peakTorque() {
      peak ??= supremum(duty.pieces, (piece) => {
        const torque = motorTorque(piece, factors);
        return (t) => Math.abs(torque(t));
      });
      return peak;
    },
    phaseInductance: motor.inductance / 2 + (inductor?.inductance ?? 0),
  };
}
