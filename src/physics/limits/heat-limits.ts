import type { Drive, Motor } from "../../machine/catalogue.ts";
import type { LimitId } from "../../machine/limit.ts";
import { type Peak, rootsInside } from "../../maths/scalar.ts";
import type { Duty } from "../duty/duty.ts";
import { crestFactor, type HeatPiece, largestResponse, type Response } from "./first-order.ts";
import { checked, unchecked } from "./judgement.ts";
import type { JudgeLimit } from "./motor-limits.ts";
import { type TorqueFactors, torqueAndSpeed } from "./pick-duty.ts";
import { cabinetFactor, type MotorRating } from "./rating.ts";

/** What a motor does on a duty, as far as heat goes. */
export interface HeatSource {
  readonly duty: Duty;
  readonly factors: TorqueFactors;
}

/** A motor behind its gearbox. */
export interface WindingSource extends HeatSource {
  readonly motor: Motor;
  readonly rating: MotorRating;
  readonly ratio: number;
}

/** What torque and mechanism speed count in a heat. */
export interface HeatWeights {
  /** On τ_m². */
  readonly torque: number;
  /** On θ'². */
  readonly speed: number;
}

function heatPieces({ duty, factors }: HeatSource, weights: HeatWeights): HeatPiece[] {
  return duty.pieces.map((piece) => {
    const read = torqueAndSpeed(piece, factors);
    const both = { torque: 0, speed: 0 };
    const heat = (t: number): number => {
      read(t, both);
      return weights.torque * both.torque * both.torque + weights.speed * both.speed * both.speed;
    };
    return { from: piece.from, to: piece.to, isSteady: piece.isSteady, heat };
  });
}

/** τ²/cos²δ + β·n²: what heats the winding [N²·m²]. Source: as for the continuous torque. */
export function windingWeights({ rating, ratio }: Pick<WindingSource, "rating" | "ratio">): HeatWeights {
  return { torque: 1 / rating.alignment ** 2, speed: rating.speedLoss * ratio ** 2 };
}

/** Responses that make up the winding's rise: of the winding itself and, where it is known, of the housing. Source: see `largestWindingHeat`. */
export function windingResponses({ windingShare, housingTime }: Motor, windingTime: number): Response[] {
  const winding = { time: windingTime, weight: windingShare };
  return housingTime === undefined ? [winding] : [winding, { time: housingTime, weight: 1 - windingShare }];
}

/** ⟨τ²⟩/cos²δ + β·⟨n²⟩ [N²·m²], from the means of the motor's squares. Source: as for the continuous torque. */
export function meanWindingHeat(
  { alignment, speedLoss }: MotorRating,
  meanSquareTorque: number,
  meanSquareSpeed: number,
): number {
  return meanSquareTorque / (alignment * alignment) + speedLoss * meanSquareSpeed;
}

/**
 * Largest w·x_w + (1 − w)·x_h over the period [N²·m²]: x_w and x_h follow the heat τ²/cos²δ + β·n² with the time constants
 * of winding and housing; without the housing's, x_h is the mean.
 *
 * Source: two-body model of a motor's heating; textbook of electric drives. Share of the winding: common practice, no source.
 *
 * @param mean - of the heat
 */
export function largestWindingHeat(source: WindingSource, windingTime: number, mean: number): Peak {
  const { motor } = source;
  const largest = largestResponse(heatPieces(source, windingWeights(source)), windingResponses(motor, windingTime));
  const steady = motor.housingTime === undefined ? (1 - motor.windingShare) * mean : 0;
  return { at: largest.at, value: largest.value + steady };
}

/** No winding heat exceeds its mean by more than this factor. Source: largest value of the periodic kernel. */
export function windingCrest(motor: Motor, windingTime: number, period: number): number {
  const responses = windingResponses(motor, windingTime);
  const steady = motor.housingTime === undefined ? 1 - motor.windingShare : 0;
  return responses.reduce((sum, { time, weight }) => sum + weight * crestFactor(period, time), steady);
}

/** Temperature of a winding at a heat [°C]: ambient + (limit − reference ambient)·heat/(T0·altitude)². Source: rise in proportion to losses. */
export function windingTemperatureAt({ ambient, risePerHeat }: MotorRating, heat: number): number {
  return ambient + risePerHeat * heat;
}

/**
 * Highest temperature of the winding in periodic steady state against its limit [°C]; no margin.
 *
 * Where the air is too thin to carry off any heat, the continuous torque allows nothing and speaks for it.
 * Source: see `largestWindingHeat`.
 */
const windingTemperature: JudgeLimit = (pick) => {
  const { motor, rating, rmsTorque, peakTorque, ratio, duty } = pick;
  if (motor.windingTime === undefined) return unchecked("motor.winding_temperature", "winding_time");
  if (!Number.isFinite(rating.risePerHeat)) return undefined;
  const largest = largestWindingHeat(
    pick,
    motor.windingTime,
    meanWindingHeat(rating, rmsTorque ** 2, ratio ** 2 * duty.meanSquareSpeed),
  );
  const weights = { torque: 1, speed: rating.speedLoss * ratio ** 2 };
  const most = peakTorque.value ** 2 + weights.speed * duty.peakSpeed.value ** 2;
  const level = rating.continuousTorque ** 2;
  return checked("motor.winding_temperature", {
    demand: windingTemperatureAt(rating, largest.value),
    allowed: motor.windingLimit,
    unit: "degC",
    time: largest.at,
    beside: {
      name: "time above continuous torque",
      value: most <= level ? 0 : timeAbove(heatPieces(pick, weights), level),
      unit: "s",
    },
  });
};

/** Time a heat stands above a level [s]. Source: definition. */
function timeAbove(pieces: readonly HeatPiece[], level: number): number {
  return pieces.reduce((sum, { from, to, isSteady, heat }) => {
    const borders = isSteady ? [from, to] : [from, ...rootsInside((t) => heat(t) - level, from, to), to];
    return borders.slice(1).reduce((time, end, k) => {
      const begin = borders[k] ?? from;
      return heat((begin + end) / 2) > level ? time + end - begin : time;
    }, sum);
  }, 0);
}

/**
 * Time constant of a drive's overload [s], τ_d = −peak_time/ln(1 − 1/k²), k = I_peak/I_cont of the catalogue: from cold, the
 * peak current takes just its peak time to full load.
 *
 * A drive whose peak current is its continuous one has no overload: undefined.
 * Source: overload time of a first-order body from cold, t = −τ·ln(1 − 1/k²); IEC 60255-149 for thermal relays (from memory).
 */
export function overloadTime({
  peakTime,
  peakCurrent,
  continuousCurrent,
}: Pick<Drive, "peakTime" | "peakCurrent" | "continuousCurrent">): number | undefined {
  const ratio = peakCurrent / continuousCurrent;
  return ratio > 1 ? -peakTime / Math.log1p(-1 / ratio ** 2) : undefined;
}

/** Largest response to τ_m² with one time constant, over the period [N²·m²]. Source: see `largestResponse`. */
export function largestSquareTorque(source: HeatSource, time: number): Peak {
  return largestResponse(heatPieces(source, { torque: 1, speed: 0 }), [{ time, weight: 1 }]);
}

/**
 * Largest overload state s in periodic steady state against 1: τ_d·ds/dt = (I/I_cont)² − s, I × (1 + current margin),
 * I_cont derated.
 *
 * Where the cabinet leaves no continuous current, `drive.continuous_current` allows nothing and speaks for it.
 * Source: first-order heating by the square of the current (i²t); common practice, no source.
 */
const driveOverload: JudgeLimit = (pick) => {
  const { duty, drive, rating, peakTorque, site } = pick;
  const time = overloadTime(drive);
  const continuous = drive.continuousCurrent * cabinetFactor(site);
  if (time === undefined || continuous === 0) return undefined;
  const perTorque = (rating.currentPerTorque * (1 + duty.axis.needs.currentMargin)) / continuous;
  const largest = largestSquareTorque(pick, time);
  const level = 1 / perTorque ** 2;
  const above = peakTorque.value ** 2 <= level ? 0 : timeAbove(heatPieces(pick, { torque: 1, speed: 0 }), level);
  return checked("drive.overload", {
    demand: largest.value * perTorque ** 2,
    allowed: 1,
    unit: "1",
    time: largest.at,
    beside: { name: "time above continuous current", value: above, unit: "s" },
  });
};

/** Limits of heat over time. Source: see each limit. */
export const HEAT_LIMITS: Readonly<Partial<Record<LimitId, JudgeLimit>>> = {
  "motor.winding_temperature": windingTemperature,
  "drive.overload": driveOverload,
};
