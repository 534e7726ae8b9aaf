import { InternalFault } from "../faults/fault.ts";
import type { Gearbox, Motor } from "../machine/catalogue.ts";
import { type Duty, dutyOf } from "../physics/duty/duty.ts";
import { type SpanDuty, spanDuty } from "../physics/duty/span-duty.ts";
import type { Span } from "../physics/duty/spans.ts";
import { meanSquareTorque, torqueFactors } from "../physics/limits/pick-duty.ts";
import { type MotorRating, motorRating } from "../physics/limits/rating.ts";
import type { Instant } from "../physics/power/bus-power.ts";
import {
  extremes,
  figuresAt,
  leastPower,
  mostPower,
  type PowerFigures,
  shareOfMean,
} from "../physics/power/coefficients.ts";
import { type PairPower, pairPower, speedLossFactor } from "../physics/power/pair-power.ts";
import type { AxisColumn, AxisColumns } from "./axis-columns.ts";

/** What is read off the power of a column. */
export type Reading =
  | { readonly kind: "instant"; readonly instant: Instant }
  | { readonly kind: "share"; readonly spans: readonly Span[] };

/** Which of the three sums of a bus is meant; they differ in how axes outside the cycle count. */
export type Sum = "drawn" | "braked" | "billed";

/** Power of the candidates of one axis; pairs are worked out when first asked for. */
export interface PowerBook {
  /**
   * Least value of sign · power over the carried masses of the column's case, or at one mass [W].
   *
   * @param mass - undefined: any of its case
   */
  readonly least: (column: AxisColumn, sign: 1 | -1, question: PowerQuestion) => number;
}

export interface PowerQuestion {
  readonly reading: Reading;
  readonly sum: Sum;
  readonly mass: number | undefined;
}

/**
 * A power book for an axis.
 *
 * @param cycle - of its machine [s]: readings are shares of it, whatever the axis's own period
 */
export function powerBook(axis: AxisColumns, cycle: number): PowerBook {
  const pairs = new Map<string, PairPower>();
  const exact = new Map<number, Duty>();
  const pairIn = (column: AxisColumn, duty: Duty, key: string): PairPower => {
    const known = pairs.get(key);
    if (known !== undefined) return known;
    const made = powerOfColumn(axis, column, duty);
    pairs.set(key, made);
    return made;
  };
  const dutyAt = (mass: number): Duty => {
    const known = exact.get(mass) ?? dutyOf(axis.setup.axis, axis.setup.cycle, { low: mass, high: mass });
    exact.set(mass, known);
    return known;
  };
  const powerOf = (column: AxisColumn, mass: number | undefined): PairPower => {
    if (mass !== undefined && axis.setup.riders.length > 0)
      return pairIn(column, dutyAt(mass), `${column.pair} at ${mass}`);
    const duty = axis.duties[column.case];
    if (duty === undefined) throw new InternalFault("powerBook: a column of no case");
    return pairIn(column, duty, `${column.pair} ${column.case}`);
  };
  const { inCycle } = axis.setup.axis;
  return {
    least: (column, sign, { reading, sum, mass }) =>
      leastOf(powerOf(column, mass), column.drive.lossPerAmp, { sign, reading, sum, cycle, inCycle }),
  };
}

function powerOfColumn({ setup }: AxisColumns, { motor, gearbox }: AxisColumn, duty: Duty): PairPower {
  const rating = motorRating(motor, setup.axis.needs, setup.site);
  return pairPower({ duty, motor, rating, factors: torqueFactors(duty, motor, gearbox), ratio: gearbox?.ratio ?? 1 });
}

interface Look {
  readonly sign: 1 | -1;
  readonly reading: Reading;
  readonly sum: Sum;
  readonly cycle: number;
  readonly inCycle: boolean;
}

function leastOf(pair: PairPower, lossPerAmp: number, { sign, reading, sum, cycle, inCycle }: Look): number {
  if (!inCycle) return sign * outside(pair, lossPerAmp, sum) * weightOf(reading, cycle);
  const figures = reading.kind === "instant" ? figuresAt(pair, reading.instant) : shareOfMean(pair, reading.spans);
  return sign > 0 ? leastPower(figures, lossPerAmp) : -mostPower(figures, lossPerAmp);
}

/** Share of the cycle a reading covers; an instant counts whole. */
export function weightOf(reading: Reading, period: number): number {
  if (reading.kind === "instant") return 1;
  return reading.spans.reduce((sum, { from, to }) => sum + to - from, 0) / period;
}

function outside(pair: PairPower, lossPerAmp: number, sum: Sum): number {
  if (sum === "billed") {
    const figures: PowerFigures = shareOfMean(pair, [{ from: 0, to: pair.period }]);
    return figures.base + lossPerAmp * figures.current;
  }
  const { most, least } = extremes(pair, lossPerAmp);
  return sum === "drawn" ? Math.max(0, most) : Math.min(0, least);
}

/** Spans of the cycle over which power is counted, and their share of it. */
export interface Taken {
  readonly spans: readonly Span[];
  readonly share: number;
}

/** What the quick bound on mean power reads of a duty: its means over the counted spans. */
export interface QuickDuty {
  readonly duty: Duty;
  readonly means: SpanDuty;
}

/** The means of a duty over the counted spans; outside the cycle, the counted share of its own. */
export function quickDuty(duty: Duty, { spans, share }: Taken): QuickDuty {
  const whole = [{ from: 0, to: duty.period }];
  if (duty.axis.inCycle) return { duty, means: spanDuty(duty, share === 1 ? whole : spans) };
  return { duty, means: scaled(spanDuty(duty, whole), share) };
}

function scaled({ gram, power, meanSquareSpeed, strides }: SpanDuty, share: number): SpanDuty {
  return {
    gram: gram.map((value) => value * share),
    power: power.map((value) => value * share),
    meanSquareSpeed: meanSquareSpeed * share,
    strides: strides.map(({ flow, acceleration, torque, turning, perKilogram }) => ({
      flow,
      acceleration: acceleration * share,
      torque: torque * share,
      turning: turning * share,
      perKilogram: perKilogram * share,
    })),
  };
}

/** A motor behind a gearbox (or none). */
export interface QuickPair {
  readonly motor: Motor;
  readonly rating: MotorRating;
  readonly gearbox: Gearbox | undefined;
}

/**
 * Power of a motor with gearbox over the counted spans, divided by the cycle, from below and in closed form: base [W] and
 * mean current [A] apart, without the drive's fixed loss.
 *
 * Shaft power and copper loss are exact where the carried mass is known; so is the mean current where torque keeps its sign
 * on each stride: ∫|τ| ≥ |∫τ|.
 */
export function quickFigures(
  { duty, means }: QuickDuty,
  { motor, rating, gearbox }: QuickPair,
): { base: number; current: number } {
  const factors = torqueFactors(duty, motor, gearbox);
  const ratio = gearbox?.ratio ?? 1;
  const { inertia: a, flow, drag: f } = factors;
  const { power } = means;
  const loadShaft = flow[0] * power[1]! + flow[1] * power[2]! + flow[2] * power[3]!;
  const shaft = (a * power[0]! + loadShaft + f * power[4]!) * ratio;
  const reach = Math.max(flow[0], Math.abs(flow[1]), flow[2]);
  const rms = Math.max(0, Math.sqrt(meanSquareTorque(means, factors)) - duty.slack.rms * reach);
  const copper = 3 * rating.hotResistance * (rating.currentPerTorque * rms) ** 2;
  const speedLoss = speedLossFactor(motor, rating) * ratio ** 2 * means.meanSquareSpeed;
  const loose = duty.massHalf * reach;
  let torque = 0;
  for (const stride of means.strides) {
    const along = a * stride.acceleration + flow[stride.flow] * stride.torque + f * stride.turning;
    torque += Math.max(0, Math.abs(along) - loose * stride.perKilogram);
  }
  return {
    base: shaft - reach * ratio * duty.slack.power + copper + speedLoss,
    current: torque * rating.currentPerTorque,
  };
}
