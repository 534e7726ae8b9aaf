import type { Drive } from "../../machine/catalogue.ts";
import type { LimitId } from "../../machine/limit.ts";
import type { Mechanism, ScrewCheck, ScrewEnds } from "../../machine/mechanism.ts";
import { checked } from "./judgement.ts";
import type { JudgeLimit } from "./motor-limits.ts";

/** Steel: modulus of elasticity [Pa] and density [kg/m³]. Source: usual handbook values, from memory. */
const STEEL = { modulus: 2.06e11, density: 7850 };

/**
 * First root λ of the frequency equation of a uniform beam by how its ends are held.
 *
 * Fixed-free cos λ·cosh λ = −1; supported-supported sin λ = 0; fixed-supported tan λ = tanh λ; fixed-fixed cos λ·cosh λ = 1.
 * Source: Euler-Bernoulli beam; S. Timoshenko, Vibration Problems in Engineering (from memory).
 */
const ROOTS: Readonly<Record<ScrewEnds, number>> = {
  "fixed-free": 1.8751040687119611,
  "supported-supported": Math.PI,
  "fixed-supported": 3.926602312047919,
  "fixed-fixed": 4.730040744862704,
};

/** Share of the critical speed that may be used. Source: common practice, no source. */
const USABLE = 0.8;

/**
 * First critical speed in bending of a round steel shaft under its own weight [rad/s]:
 * ω = (λ/L)²·√(E·I/(ρ·A)), √(I/A) = d/4.
 *
 * Source: Euler-Bernoulli beam; S. Dunkerley, On the whirling and vibration of shafts, Phil. Trans. R. Soc. 185 (1894).
 */
export function criticalSpeed({ diameter, length, ends }: ScrewCheck): number {
  return (ROOTS[ends] / length) ** 2 * (diameter / 4) * Math.sqrt(STEEL.modulus / STEEL.density);
}

/** Largest speed of the screw against 80 % of its critical speed [rad/s]; the same for every pick. Source: see `criticalSpeed`. */
const screwSpeed: JudgeLimit = ({ duty: { axis, peakSpeed } }) => {
  const allowed = allowedScrewSpeed(axis.mechanism);
  if (allowed === undefined) return undefined;
  return checked("axis.critical_speed", { demand: peakSpeed.value, allowed, unit: "rad/s", time: peakSpeed.at });
};

/** 80 % of a screw's critical speed [rad/s]; undefined where the problem does not give its data. Source: common practice, no source. */
export function allowedScrewSpeed(mechanism: Mechanism): number | undefined {
  const screw = "check" in mechanism ? mechanism.check : undefined;
  return screw === undefined ? undefined : USABLE * criticalSpeed(screw);
}

/** Half of the 60° electrical for which six-step commutation leaves the current where it is [rad]. */
const HALF_STEP = Math.PI / 6;

/**
 * Ripple of the torque, peak to peak, as a share of its largest value [1]: 1 − cos 30° = 13.4 % where constant currents in
 * 120° blocks meet a sinusoidal voltage; none where the current is sinusoidal as well.
 *
 * Within a step the torque follows cos x, x from −30° to 30°, which a commutation error moves as a whole.
 * Source: torque of two phases in series on a sinusoidal back-EMF, √3·cos x (textbook of electric drives); derivation.
 *
 * @param error - of the commutation, electrical [rad]
 */
export function torqueRippleOf({ commutation }: Pick<Drive, "commutation">, error: number): number {
  if (commutation === "sinusoidal") return 0;
  const [nearest, farthest] = [Math.max(0, Math.abs(error) - HALF_STEP), Math.abs(error) + HALF_STEP];
  return Math.cos(nearest) - Math.cos(farthest);
}

/** Commutation ripple of the torque against what the axis bears [1]; only where it asks. Source: see `torqueRippleOf`. */
const torqueRipple: JudgeLimit = ({ duty: { axis }, drive }) => {
  const { torqueRipple: allowed, commutationError } = axis.needs;
  if (allowed === undefined) return undefined;
  return checked("axis.torque_ripple", { demand: torqueRippleOf(drive, commutationError), allowed, unit: "1" });
};

/** Limits of the mechanism and of how smoothly it is driven. Source: see each limit. */
export const AXIS_LIMITS: Readonly<Partial<Record<LimitId, JudgeLimit>>> = {
  "axis.critical_speed": screwSpeed,
  "axis.torque_ripple": torqueRipple,
};
