import type { Drive, Gearbox, Inductor, Motor } from "../../machine/catalogue.ts";
import type { Site } from "../../machine/problem.ts";
import type { Peak, Scalar } from "../../maths/scalar.ts";
import { type Blend, type Both, blended, bothOf, scaledBlend } from "../duty/blend.ts";
import { type Duty, supremum } from "../duty/duty.ts";
import type { SignalPiece, TorqueBlend } from "../duty/signal-piece.ts";
import { type BusVoltage, type MotorRating, motorRating } from "./rating.ts";

/** Parts of one axis. */
export interface PickParts {
  readonly motor: Motor;
  readonly gearbox: Gearbox | undefined;
  readonly drive: Drive;
  readonly inductor: Inductor | undefined;
}

/** Factors of the basis signals: τ_m = inertia·θ'' + flow[class]·τ_in + drag·sgn θ'. */
export interface TorqueFactors {
  /** (J_motor + J_brake + J_coupling + J_gearbox)·i [kg·m²]. */
  readonly inertia: number;
  /** 1/(iη), η_b/i, 1/i for motoring, regenerating, rest. */
  readonly flow: readonly [number, number, number];
  /** Drag of motor and gearbox at the motor shaft [N·m]. */
  readonly drag: number;
}

/** One axis with its parts: what they have to do, exactly. */
export interface PickDuty extends PickParts {
  readonly duty: Duty;
  readonly site: Site;
  readonly bus: BusVoltage;
  readonly rating: MotorRating;
  readonly ratio: number;
  readonly factors: TorqueFactors;
  /** √⟨τ_m²⟩ [N·m] */
  readonly rmsTorque: number;
  /** Largest |τ_m| [N·m] and when. */
  readonly peakTorque: Peak;
  /** Phase inductance with the series inductor [H]. */
  readonly phaseInductance: number;
}

/** Surroundings of an axis: site and its bus. */
export interface Surroundings {
  readonly site: Site;
  readonly bus: BusVoltage;
}

/** Factors for a motor and gearbox on a mechanism. Source: power flow through a gear with directional efficiency; common practice. */
export function torqueFactors(duty: Duty, motor: Motor, gearbox: Gearbox | undefined): TorqueFactors {
  const ratio = gearbox?.ratio ?? 1;
  const rotor = motor.rotorInertia + motor.brakeInertia + duty.axis.mechanism.couplingInertia;
  return {
    inertia: (rotor + (gearbox?.inertia ?? 0)) * ratio,
    flow: flowFactors(gearbox),
    drag: motor.frictionTorque + (gearbox?.dragTorque ?? 0),
  };
}

/** 1/(iη), η_b/i, 1/i; a self-locking gearbox never counts as holding. Source: common practice, no source. */
export function flowFactors(gearbox: Gearbox | undefined): readonly [number, number, number] {
  if (gearbox === undefined) return [1, 1, 1];
  const { ratio, efficiency, backEfficiency } = gearbox;
  return [1 / (ratio * efficiency), backEfficiency / ratio, 1 / ratio];
}

/** Puts an axis and its parts together. Source: see the figures it gathers. */
export function pickDuty(duty: Duty, parts: PickParts, { site, bus }: Surroundings): PickDuty {
  const factors = torqueFactors(duty, parts.motor, parts.gearbox);
  return {
    ...parts,
    duty,
    site,
    bus,
    rating: motorRating(parts.motor, duty.axis.needs, site),
    ratio: parts.gearbox?.ratio ?? 1,
    factors,
    rmsTorque: Math.sqrt(meanSquareTorque(duty, factors)),
    peakTorque: supremum(duty.pieces, (piece) => {
      const torque = motorTorque(piece, factors);
      return (t) => Math.abs(torque(t));
    }),
    phaseInductance: parts.motor.inductance / 2 + (parts.inductor?.inductance ?? 0),
  };
}

/** τ_m on one piece [N·m]. Source: torque balance at the motor shaft. */
export function motorTorque(piece: SignalPiece, factors: TorqueFactors): Scalar {
  if (piece.blends !== undefined) return blended(piece.blends.placed, motorBlend(piece, piece.blends, factors));
  const { inertia, flow, drag } = factors;
  const [through, steady] = [flow[piece.flow], drag * piece.turning];
  return (t) => inertia * piece.acceleration(t) + through * piece.torque(t) + steady;
}

/** Reads τ_m [N·m] and θ' [rad/s] of a piece at once. Source: torque balance at the motor shaft. */
export function torqueAndSpeed(piece: SignalPiece, factors: TorqueFactors): (t: number, both: Both) => void {
  if (piece.blends === undefined) {
    const torque = motorTorque(piece, factors);
    return (t, both) => {
      both.torque = torque(t);
      both.speed = piece.speed(t);
    };
  }
  const speed: Blend = { acceleration: 0, speed: piece.blends.perTravel, constant: 0, slope: 0, swing: 0, angle: 0 };
  return bothOf(piece.blends.placed, motorBlend(piece, piece.blends, factors), speed);
}

function motorBlend(
  { flow: way, turning }: SignalPiece,
  { torque, perTravel }: TorqueBlend,
  { inertia, flow, drag }: TorqueFactors,
): Blend {
  return scaledBlend(torque, flow[way], { acceleration: inertia * perTravel, constant: drag * turning });
}

/**
 * ⟨τ_m²⟩ = uᵀ·G·u [N²·m²]; products of two flows are 0, because power flows one way at a time. Hot.
 *
 * Source: the Gram form; mean of a square of a linear combination.
 */
export function meanSquareTorque({ gram }: Pick<Duty, "gram">, { inertia, flow, drag }: TorqueFactors): number {
  let sum = inertia * inertia * gram[0]! + 2 * inertia * drag * gram[4]! + drag * drag * gram[24]!;
  for (let k = 1; k <= 3; k++) {
    const through = flow[k - 1]!;
    sum += through * (2 * inertia * gram[k]! + through * gram[6 * k]! + 2 * drag * gram[5 * k + 4]!);
  }
  return Math.max(0, sum);
}
