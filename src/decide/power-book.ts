import { entryOf } from "../faults/entry-of.ts";
import type { Gearbox, Motor } from "../machine/catalogue.ts";
import type { Duty } from "../physics/duty/duty.ts";
import { type SpanDuty, type Strides, spanDuty } from "../physics/duty/span-duty.ts";
import type { Span } from "../physics/duty/spans.ts";
import { meanSquareTorque, type TorqueFactors, torqueFactors } from "../physics/limits/pick-duty.ts";
import { type MotorRating, motorRating } from "../physics/limits/rating.ts";
import type { Instant } from "../physics/power/bus-power.ts";
import { extremes, figuresAt, leastPower, mostPower, shareOfMean } from "../physics/power/coefficients.ts";
import { type PairPower, type PowerFigures, pairPower, speedLossFactor } from "../physics/power/pair-power.ts";
import type { AxisColumn, AxisColumns } from "./axis-columns.ts";
import { dutiesOf, type RunDuties } from "./judged-axis.ts";
import type { PowerMemory } from "./power-memory.ts";
import { remembered } from "./remembered.ts";
import type { Run } from "./setup.ts";

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
  /** In which of the machine's runs: 0 is the normal cycle. */
  readonly run: number;
}

/**
 * A power book for an axis.
 *
 * @param runs - of its machine: readings are shares of their cycles, whatever the axis's own period
 */
export function powerBook(axis: AxisColumns, runs: readonly Run[], memory: Pick<PowerMemory, "pair">): PowerBook {
  const exact = new Map<number, RunDuties>();
  const pairOn = (column: AxisColumn, duty: Duty): KnownPair =>
    memory.pair(duty, column.pair, () => ({ power: powerOfColumn(axis, column, duty), shares: new Map() }));
  const dutiesAt = (mass: number): RunDuties =>
    remembered(exact, mass, () => dutiesOf(axis.setup, { low: mass, high: mass }));
  const powerOf = (column: AxisColumn, mass: number | undefined, run: number): KnownPair => {
    if (mass !== undefined && axis.setup.riders.length > 0) return pairOn(column, entryOf(dutiesAt(mass), run));
    return pairOn(column, entryOf(entryOf(axis.duties, column.case), run));
  };
  return {
    least: (column, sign, { reading, sum, mass, run }) => {
      const { inCycle } = entryOf(axis.setup.runs, run).axis;
      const { cycle } = entryOf(runs, run);
      return leastOf(powerOf(column, mass, run), column.drive.lossPerAmp, { sign, reading, sum, cycle, inCycle });
    },
  };
}

/** The power of a motor with its gearbox, and shares of its mean that were asked for: drives have these in common. */
export interface KnownPair {
  readonly power: PairPower;
  readonly shares: Map<readonly Span[], PowerFigures>;
}

function shareIn({ power, shares }: KnownPair, spans: readonly Span[]): PowerFigures {
  return remembered(shares, spans, () => shareOfMean(power, spans));
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

function leastOf(pair: KnownPair, lossPerAmp: number, { sign, reading, sum, cycle, inCycle }: Look): number {
  if (!inCycle) return sign * outside(pair.power, lossPerAmp, sum) * weightOf(reading, cycle);
  const figures = reading.kind === "instant" ? figuresAt(pair.power, reading.instant) : shareIn(pair, reading.spans);
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

/** Spans of a cycle over which power is counted, their share of it, and the share of the time the machine runs it. */
export interface Taken {
  readonly spans: readonly Span[];
  readonly share: number;
  readonly weight: number;
}

/** By run of the machine. */
export type TakenRuns = readonly Taken[];

/** What the quick bound on mean power reads of a duty: its means over the counted spans. */
export interface QuickDuty {
  readonly duty: Duty;
  readonly means: SpanDuty;
}

/** The means of a duty over the counted spans; outside the cycle, the counted share of its own. */
export function quickDuty(duty: Duty, { spans, share }: Pick<Taken, "spans" | "share">): QuickDuty {
  const whole = [{ from: 0, to: duty.period }];
  if (duty.axis.inCycle) return { duty, means: spanDuty(duty, share === 1 ? whole : spans) };
  return { duty, means: scaled(spanDuty(duty, whole), share) };
}

function scaled({ gram, power, meanSquareSpeed, strides }: SpanDuty, share: number): SpanDuty {
  return {
    gram: gram.map((value) => value * share),
    power: power.map((value) => value * share),
    meanSquareSpeed: meanSquareSpeed * share,
    strides: {
      ...strides,
      acceleration: strides.acceleration.map((value) => value * share),
      torque: strides.torque.map((value) => value * share),
      turning: strides.turning.map((value) => value * share),
      perKilogram: strides.perKilogram.map((value) => value * share),
    },
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
  const torque = leastTorque(means.strides, factors, loose);
  return {
    base: shaft - reach * ratio * duty.slack.power + copper + speedLoss,
    current: torque * rating.currentPerTorque,
  };
}

/** Σ|∫τ| over the strides less what carried mass can take off each: at most ∫|τ| [N·m]. Hot. */
function leastTorque(strides: Strides, { inertia, flow, drag }: TorqueFactors, loose: number): number {
  let sum = 0;
  for (let k = 0; k < strides.count; k++) {
    const through = flow[strides.flow[k]!]! * strides.torque[k]!;
    const along = Math.abs(inertia * strides.acceleration[k]! + through + drag * strides.turning[k]!);
    const least = along - loose * strides.perKilogram[k]!;
    if (least > 0) sum += least;
  }
  return sum;
}
