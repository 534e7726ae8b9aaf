import type { Motor } from "../machine/catalogue.ts";
import { crestFactor } from "../physics/limits/first-order.ts";
import {
  largestSquareTorque,
  largestWindingHeat,
  meanWindingHeat,
  windingCrest,
  windingTemperatureAt,
} from "../physics/limits/heat-limits.ts";
import { torqueFactors } from "../physics/limits/pick-duty.ts";
import type { MotorRating } from "../physics/limits/rating.ts";
import type { DriveDemand, DriveRow } from "./judge-drives.ts";
import type { Pair, PairTorque } from "./judge-pair.ts";
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

/** Winding temperature: by its mean heat where that alone is too little or too much, else exactly. */
export function seeTemperature(scan: Scan, pair: Pair, torque: PairTorque): void {
  const { row, geared, duty, gearbox } = pair;
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
  const source = { motor, rating, duty, ratio: geared.ratio, factors: torqueFactors(duty, motor, gearbox) };
  const heat = largestWindingHeat(source, motor.windingTime, mean).value;
  see(scan, TEMPERATURE, used(leastOf(heat, (duty.slack.peak * geared.reach) / rating.alignment)));
}

/** A pair that asks something of a drive, and its largest heats by time constant: drives of a series share theirs. */
export interface OverloadQuestion {
  readonly demand: DriveDemand;
  readonly pair: Pair;
  /** Made when the first one is worked out. */
  heats: Map<number, number> | undefined;
}

/** Overload of a drive beyond its restful current: by the mean where that alone is too much, else exactly. */
export function seeOverload(scan: Scan, row: DriveRow, question: OverloadQuestion): void {
  const { demand, pair } = question;
  const mean = (demand.continuous / row.continuous) ** 2;
  if (row.overloadTime === undefined || mean > (scan.thresholds[OVERLOAD] ?? 1)) {
    see(scan, OVERLOAD, mean);
    return;
  }
  const { duty, geared, gearbox } = pair;
  const { motor, rating } = pair.row;
  const perTorque = (rating.currentPerTorque * (1 + duty.axis.needs.currentMargin)) / row.continuous;
  const source = { duty, factors: torqueFactors(duty, motor, gearbox) };
  question.heats ??= new Map();
  const heat = question.heats.get(row.overloadTime) ?? largestSquareTorque(source, row.overloadTime).value;
  question.heats.set(row.overloadTime, heat);
  see(scan, OVERLOAD, leastOf(heat, duty.slack.peak * geared.reach) * perTorque ** 2);
}
