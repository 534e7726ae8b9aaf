import type { Motor } from "../../machine/catalogue.ts";
import { rootsInside } from "../../maths/scalar.ts";
import type { Both } from "../duty/blend.ts";
import type { Duty } from "../duty/duty.ts";
import type { Nodes } from "../duty/nodes.ts";
import type { SignalPiece } from "../duty/signal-piece.ts";
import { motorTorque, type TorqueFactors, torqueAndSpeed } from "../limits/pick-duty.ts";
import type { MotorRating } from "../limits/rating.ts";

/** What a motor on its gearbox draws from the bus, smooth on each piece of machine time, drive excluded. */
export interface PairPower {
  /** [s] */
  readonly period: number;
  readonly pieces: readonly PowerPiece[];
}

/** A piece of a duty, and what turns its signals at the nodes of the duty into power. */
export interface WholePiece {
  readonly index: number;
  readonly signals: Nodes;
  readonly factors: TorqueFactors;
  readonly draw: DrawFactors;
}

/** Power of a pair at an instant, or its share of a mean: a drive adds `loss_per_amp · current`. */
export interface PowerFigures {
  /** Shaft power, copper loss and speed loss [W]. */
  base: number;
  /** Of the motor [A rms]. */
  current: number;
  /** What carried mass can move the two by within the duty's range; 0 where it is known. */
  looseBase: number;
  looseCurrent: number;
}

/** A stretch of machine time on which power and current are smooth. */
export interface PowerPiece {
  readonly from: number;
  readonly to: number;
  /** The piece of the duty that this is the whole of. */
  readonly whole: WholePiece | undefined;
  /** Writes the figures at an instant. */
  readonly read: (t: number, figures: PowerFigures) => void;
  /** base + lossPerAmp·current [W]. */
  readonly power: (t: number, lossPerAmp: number) => number;
}

/** A motor with its gearbox on a duty, as far as power goes. */
export interface PowerPair {
  readonly duty: Duty;
  readonly motor: Motor;
  readonly rating: MotorRating;
  readonly factors: TorqueFactors;
  readonly ratio: number;
}

/**
 * P = τ·ω + 3·R_hot·I² + 3·R_hot·β·ω²/Kt², I = |τ|/(Kt·cos δ) [W]; negative when regenerating.
 *
 * Source: power balance; the speed loss is the heat the continuous rule books. Common practice, no source.
 */
export function pairPower(pair: PowerPair): PairPower {
  const { duty, factors } = pair;
  const { period, pieces, nodes: signals } = duty;
  const draw = drawFactors(pair);
  return {
    period,
    pieces: pieces.flatMap((piece, index) => powerPieces(piece, { index, signals, factors, draw })),
  };
}

/** Constants of the power of a motor behind a ratio. Source: see `pairPower`. */
interface LossFactors {
  readonly ratio: number;
  /** 3·R_hot·I²/τ² [W/(N·m)²] */
  readonly copper: number;
  /** By the speed of the input shaft [W·s²/rad²]. */
  readonly speedLoss: number;
  /** [A/(N·m)] */
  readonly currentPerTorque: number;
}

/** The same of a pair on a duty. */
export interface DrawFactors extends LossFactors {
  /** Most that a change of τ_in within the duty's range of carried mass moves τ_m, per change of it for a kilogram [kg]; 0 where the mass is known. */
  readonly reach: number;
}

function drawFactors(pair: PowerPair): DrawFactors {
  const { duty, factors } = pair;
  const reach = duty.massHalf === 0 ? 0 : duty.massHalf * Math.max(...factors.flow.map(Math.abs));
  return { ...lossFactors(pair), reach };
}

type DrivenMotor = Pick<PowerPair, "motor" | "rating" | "ratio">;

function lossFactors({ motor, rating, ratio }: DrivenMotor): LossFactors {
  return {
    ratio,
    copper: 3 * rating.hotResistance * rating.currentPerTorque ** 2,
    speedLoss: speedLossFactor(motor, rating) * ratio ** 2,
    currentPerTorque: rating.currentPerTorque,
  };
}

/** P without the drive, at a torque of the motor and a speed of the input shaft [W]. Hot. Source: see `pairPower`. */
export function motorDraw({ ratio, copper, speedLoss }: LossFactors, torque: number, speed: number): number {
  return torque * speed * ratio + copper * torque * torque + speedLoss * speed * speed;
}

/** P at a torque of the motor and a speed of the input shaft [W], loss of the drive included. Source: see `pairPower`. */
export function powerDraw(driven: DrivenMotor): PowerDraw {
  return drawBy(lossFactors(driven));
}

function drawBy(factors: LossFactors): PowerDraw {
  return (torque, speed, lossPerAmp) =>
    motorDraw(factors, torque, speed) + lossPerAmp * (Math.abs(torque) * factors.currentPerTorque);
}

type PowerDraw = (torque: number, speed: number, lossPerAmp: number) => number;

function powerPieces(piece: SignalPiece, all: WholePiece): PowerPiece[] {
  const { factors } = all;
  const torque = motorTorque(piece, factors);
  const readBoth = torqueAndSpeed(piece, factors);
  const draw = drawBy(all.draw);
  const loosen = loosening(all.draw, piece);
  const both = { torque: 0, speed: 0 };
  const power: PowerPiece["power"] = (t, lossPerAmp) => {
    readBoth(t, both);
    return draw(both.torque, both.speed, lossPerAmp);
  };
  const read: PowerPiece["read"] = (t, figures) => {
    readBoth(t, both);
    figures.base = motorDraw(all.draw, both.torque, both.speed);
    figures.current = Math.abs(both.torque) * all.draw.currentPerTorque;
    loosen?.(t, both, figures);
  };
  const borders = [piece.from, ...rootsInside(torque, piece.from, piece.to, 8), piece.to];
  const whole = borders.length === 2 ? all : undefined;
  return borders.slice(1).map((to, k) => ({ from: borders[k] ?? piece.from, to, whole, read, power }));
}

/** |P(τ + δ) − P(τ)| ≤ δ·|ω| + 3·R_hot·(2·|τ|·δ + δ²)·c², δ the most that carried mass moves τ at this instant. */
function loosening(
  { ratio, copper, currentPerTorque, reach }: DrawFactors,
  piece: SignalPiece,
): ((t: number, both: Readonly<Both>, figures: PowerFigures) => void) | undefined {
  if (reach === 0) return undefined;
  return (t, { torque, speed }, figures) => {
    const moved = reach * piece.perKilogram(t);
    figures.looseBase = moved * (Math.abs(speed) * ratio + copper * (2 * Math.abs(torque) + moved));
    figures.looseCurrent = moved * currentPerTorque;
  };
}

/** 3·R_hot·β/Kt²: loss per square of motor speed [W·s²/rad²]. Source: see `pairPower`. */
export function speedLossFactor(motor: Motor, { hotResistance, speedLoss }: MotorRating): number {
  return (3 * hotResistance * speedLoss) / motor.torqueConstant ** 2;
}
