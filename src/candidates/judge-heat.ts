import type { Motor } from "../machine/catalogue.ts";
import { crestFactor } from "../physics/limits/first-order.ts";
import {
  type HeatWeights,
  largestSquareTorque,
  largestWindingHeat,
  meanWindingHeat,
  windingCrest,
  windingResponses,
  windingTemperatureAt,
  windingWeights,
} from "../physics/limits/heat-limits.ts";
import { torqueFactors } from "../physics/limits/pick-duty.ts";
import type { MotorRating } from "../physics/limits/rating.ts";
import { type HeatRange, largestHeat } from "./heat-form.ts";
import type { DriveDemand, DriveRow } from "./judge-drives.ts";
import type { Pair } from "./judge-pair.ts";
import { limitIndex, type Scan, see, share } from "./limit-scan.ts";

const TEMPERATURE = limitIndex("motor.winding_temperature");
const OVERLOAD = limitIndex("drive.overload");

/** What heat is judged by on an axis: its limits' thresholds, its period [s] and whether unknowns fail. */
export interface HeatRules {
  readonly thresholds: Float64Array;
  readonly period: number;
  readonly rejectUnknown: boolean;
}

/** Mean heat up to which the winding's temperature cannot fail [N²·m²], because no response exceeds its mean by more. */
export function restfulHeat(motor: Motor, rating: MotorRating, rules: HeatRules): number {
  const { windingTime, windingLimit } = motor;
  if (windingTime === undefined) return rules.rejectUnknown ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY;
  if (!Number.isFinite(rating.risePerHeat)) return Number.POSITIVE_INFINITY;
  if (windingLimit <= 0) return Number.NEGATIVE_INFINITY;
  const rise = windingLimit * (rules.thresholds[TEMPERATURE] ?? 1) - rating.ambient;
  return rise / (rating.risePerHeat * windingCrest(motor, windingTime, rules.period));
}

/** RMS current with its margin up to which a drive's overload cannot fail [A]. @param continuous - derated [A] */
export function restfulCurrent(time: number | undefined, continuous: number, rules: HeatRules): number {
  if (time === undefined || continuous === 0) return Number.POSITIVE_INFINITY;
  return continuous * Math.sqrt((rules.thresholds[OVERLOAD] ?? 1) / crestFactor(rules.period, time));
}

/**
 * Least of a largest heat within the duty's range of carried mass: torques move by at most `loose` at each instant, and the
 * root of a weighted mean of squares by no more (Minkowski; the weights of a response sum to 1).
 */
function leastOf(heat: number, loose: number): number {
  return Math.max(0, Math.sqrt(heat) - loose) ** 2;
}

/** Winding temperature: by its mean heat where that alone is too little or too much, else by its largest. */
export function seeTemperature(scan: Scan, pair: Pair): void {
  const { row, geared, duty, gearbox, torque } = pair;
  const { motor, rating } = row;
  const mean = meanWindingHeat(rating, torque.meanSquare, geared.ratio * geared.ratio * duty.meanSquareSpeed);
  if (mean <= row.restfulHeat) return;
  if (motor.windingTime === undefined) {
    see(scan, TEMPERATURE, Number.POSITIVE_INFINITY);
    return;
  }
  const used = (heat: number): number => share(windingTemperatureAt(rating, heat), motor.windingLimit);
  if (used(mean) > (scan.thresholds[TEMPERATURE] ?? 1)) {
    see(scan, TEMPERATURE, used(mean));
    return;
  }
  const { windingTime, housingTime, windingShare } = motor;
  const source = { motor, rating, duty, ratio: geared.ratio, factors: torqueFactors(duty, motor, gearbox) };
  const loose = (duty.slack.peak * geared.reach) / rating.alignment;
  const beside = housingTime === undefined ? (1 - windingShare) * mean : 0;
  const weights = windingWeights(source);
  seeHeat(scan, TEMPERATURE, {
    range: largestHeat(pair.heatForms, windingResponses(motor, windingTime), { factors: source.factors, weights }),
    used: (heat) => used(leastOf(heat + beside, loose)),
    exact: () => largestWindingHeat(source, windingTime, mean).value - beside,
  });
}

/** A limit of a largest heat: its range, its exact value, and what share of the limit a heat uses. */
interface HeatQuestion {
  readonly range: HeatRange | undefined;
  readonly used: (heat: number) => number;
  readonly exact: () => number;
}

/** By the ends of the range where both say the same, else exactly. */
function seeHeat(scan: Scan, limit: number, { range, used, exact }: HeatQuestion): void {
  const threshold = scan.thresholds[limit] ?? 1;
  if (range !== undefined && used(range.most) <= threshold) return;
  see(scan, limit, used(range !== undefined && used(range.least) > threshold ? range.least : exact()));
}

/** A pair that asks something of a drive, and its largest heats by time constant: drives of a series share theirs. */
export interface OverloadQuestion {
  readonly demand: DriveDemand;
  readonly pair: Pair;
  /** Made when the first one is worked out. */
  heats: Map<number, KnownHeat> | undefined;
}

/** Overload of a drive beyond its restful current: by the mean where that alone is too much, else by its largest. */
export function seeOverload(scan: Scan, row: DriveRow, question: OverloadQuestion): void {
  const { demand, pair } = question;
  const mean = (demand.continuous / row.continuous) ** 2;
  if (row.overloadTime === undefined || mean > (scan.thresholds[OVERLOAD] ?? 1)) {
    see(scan, OVERLOAD, mean);
    return;
  }
  const { duty, geared, gearbox } = pair;
  const { motor, rating } = pair.row;
  const time = row.overloadTime;
  const perTorque = (rating.currentPerTorque * (1 + duty.axis.needs.currentMargin)) / row.continuous;
  const loose = duty.slack.peak * geared.reach;
  const source = { duty, factors: torqueFactors(duty, motor, gearbox) };
  question.heats ??= new Map();
  const heats = question.heats.get(time) ?? {
    range: largestHeat(pair.heatForms, [{ time, weight: 1 }], { factors: source.factors, weights: SQUARE_TORQUE }),
    exact: undefined,
  };
  question.heats.set(time, heats);
  seeHeat(scan, OVERLOAD, {
    range: heats.range,
    used: (heat) => leastOf(heat, loose) * perTorque ** 2,
    exact: () => (heats.exact ??= largestSquareTorque(source, time).value),
  });
}

const SQUARE_TORQUE: HeatWeights = { torque: 1, speed: 0 };

/** A largest heat: between which bounds, and exactly once it was asked for. */
interface KnownHeat {
  readonly range: HeatRange | undefined;
  exact: number | undefined;
}
