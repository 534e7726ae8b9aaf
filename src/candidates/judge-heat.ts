import { crestFactor } from "../physics/limits/first-order.ts";
import {
  largestSquareTorque,
  largestWindingHeat,
  meanWindingHeat,
  windingTemperatureAt,
} from "../physics/limits/heat-limits.ts";
import { torqueFactors } from "../physics/limits/pick-duty.ts";
import type { DriveDemand, DriveRow } from "./judge-drives.ts";
import type { Pair, PairTorque } from "./judge-pair.ts";
import { limitIndex, type Scan, see, share } from "./limit-scan.ts";

const TEMPERATURE = limitIndex("motor.winding_temperature");
const OVERLOAD = limitIndex("drive.overload");

/**
 * Least of a largest heat within the duty's range of carried mass: torques move by at most `loose` at each instant, and the
 * root of a weighted mean of squares by no more (Minkowski; the weights of a response sum to 1).
 */
function leastOf(heat: number, loose: number): number {
  return Math.max(0, Math.sqrt(heat) - loose) ** 2;
}

/** Winding temperature: by its mean heat where that alone is too much or cannot be, else exactly. */
export function seeTemperature(scan: Scan, pair: Pair, torque: PairTorque): void {
  const { row, geared, duty, gearbox } = pair;
  const { motor, rating, crest } = row;
  const { windingTime } = motor;
  if (windingTime === undefined) {
    if (duty.axis.needs.rejectUnknown) see(scan, TEMPERATURE, Number.POSITIVE_INFINITY);
    return;
  }
  if (!Number.isFinite(rating.risePerHeat)) return;
  const used = (heat: number): number => share(windingTemperatureAt(rating, heat), motor.windingLimit);
  const threshold = scan.thresholds[TEMPERATURE] ?? 1;
  const source = { motor, rating, duty, ratio: geared.ratio };
  const mean = meanWindingHeat(source, torque.meanSquare);
  if (used(mean) > threshold || used(mean * crest) <= threshold) {
    see(scan, TEMPERATURE, used(mean));
    return;
  }
  const factors = torqueFactors(duty, motor, gearbox);
  const heat = largestWindingHeat({ ...source, factors }, windingTime, mean).value;
  see(scan, TEMPERATURE, used(leastOf(heat, (duty.slack.peak * geared.reach) / rating.alignment)));
}

/** Drive overload: by the mean where that alone is too much or cannot be, else exactly. Hot up to there. */
export function seeOverload(scan: Scan, row: DriveRow, demand: DriveDemand, pair: Pair): void {
  const { overload, continuous } = row;
  if (overload === undefined || continuous === 0) return;
  const mean = (demand.continuous / continuous) ** 2;
  const threshold = scan.thresholds[OVERLOAD] ?? 1;
  if (mean > threshold || mean * overload.crest <= threshold) {
    see(scan, OVERLOAD, mean);
    return;
  }
  const { duty, geared, gearbox } = pair;
  const { motor, rating } = pair.row;
  const perTorque = (rating.currentPerTorque * (1 + duty.axis.needs.currentMargin)) / continuous;
  const source = { duty, factors: torqueFactors(duty, motor, gearbox) };
  const heat = largestSquareTorque(source, overload.time).value;
  see(scan, OVERLOAD, leastOf(heat, duty.slack.peak * geared.reach) * perTorque ** 2);
}

/** How a drive heats over time on a duty; undefined where it has no overload. */
export function overloadOf(time: number | undefined, period: number): DriveRow["overload"] {
  return time === undefined ? undefined : { time, crest: crestFactor(period, time) };
}
