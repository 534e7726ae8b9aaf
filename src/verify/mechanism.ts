import type { Drive, Gearbox, Motor } from "../machine/catalogue.ts";
import type { ScrewEnds } from "../machine/mechanism.ts";
import type { Axis } from "../machine/problem.ts";
import type { Finding } from "./rest.ts";
import type { Shaft } from "./shaft.ts";

/** Boundary condition of a bending beam, 0 at its roots, and where the first root lies. */
const BEAMS: Readonly<Record<ScrewEnds, readonly [(x: number) => number, number, number]>> = {
  "fixed-free": [(x) => Math.cos(x) * Math.cosh(x) + 1, 1, 3],
  "supported-supported": [(x) => Math.sin(x), 2, 4],
  "fixed-supported": [(x) => Math.cos(x) * Math.sinh(x) - Math.sin(x) * Math.cosh(x), 3, 5],
  "fixed-fixed": [(x) => Math.cos(x) * Math.cosh(x) - 1, 4, 6],
};

function bisected(f: (x: number) => number, low: number, high: number): number {
  let [a, b] = [low, high];
  for (let step = 0; step < 80; step++) {
    const middle = (a + b) / 2;
    if (f(a) * f(middle) <= 0) b = middle;
    else a = middle;
  }
  return (a + b) / 2;
}

/** First bending frequency of a steel bar, E = 206 GPa, 7850 kg/m³ [rad/s]. */
export function whirling(diameter: number, length: number, ends: ScrewEnds): number {
  const area = (Math.PI * diameter ** 2) / 4;
  const moment = (Math.PI * diameter ** 4) / 64;
  const [beam, low, high] = BEAMS[ends];
  return (bisected(beam, low, high) / length) ** 2 * Math.sqrt((206e9 * moment) / (7850 * area));
}

/** What a belt or pinion may pull at. */
interface Pulled {
  readonly motor: Motor;
  readonly gearbox: Gearbox | null;
}

function largest(values: Float64Array): number {
  return values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
}

/** Peak to peak of the torque of two phases in 120° blocks on sinusoidal voltages, over its peak, by stepping through a turn. */
export function blockRipple(error: number): number {
  const steps = 36_000;
  let [most, least] = [-Infinity, Infinity];
  for (let k = 0; k < steps; k++) {
    const angle = (2 * Math.PI * k) / steps;
    // The two phases that a commutation in error by so much would choose: those with the largest voltage between them.
    const seen = [0, 1, 2].map((p) => Math.sin(angle + error - (2 * Math.PI * p) / 3));
    const [high, low] = [seen.indexOf(Math.max(...seen)), seen.indexOf(Math.min(...seen))];
    const torque = Math.sin(angle - (2 * Math.PI * high) / 3) - Math.sin(angle - (2 * Math.PI * low) / 3);
    [most, least] = [Math.max(most, torque), Math.min(least, torque)];
  }
  return (most - least) / Math.sqrt(3);
}

/** Stepped through once for each error. */
const rippleAt = new Map<number, number>();

/** Ripple of the torque by commutation, where it is asked for. */
export function rippleFindings({ needs }: Axis, { commutation }: Drive): Finding[] {
  if (needs.torqueRipple === undefined) return [];
  const error = needs.commutationError;
  if (commutation === "six-step" && !rippleAt.has(error)) rippleAt.set(error, blockRipple(error));
  const demand = commutation === "six-step" ? (rippleAt.get(error) ?? 0) : 0;
  return [{ id: "axis.torque_ripple", demand, allowed: needs.torqueRipple }];
}

/**
 * Lowest frequency at which the load swings while the motor stands [Hz], by bisection of the determinant of two springs in a
 * row, motor end fixed and no mass between them.
 */
export function swinging({ load, kappa, own, gear }: Springs): number {
  const reduced = own * kappa ** 2;
  const determinant = (frequency: number): number => {
    const inertial = load * (2 * Math.PI * frequency) ** 2;
    return gear === null ? reduced - inertial : (gear + reduced) * (reduced - inertial) - reduced ** 2;
  };
  let high = 1;
  while (determinant(high) > 0) high *= 2;
  return bisected(determinant, 0, high);
}

/** Stiffness of mechanism [N/m] and gearbox [N·m/rad], the load's inertia at the shaft between them [kg·m²]. */
interface Springs {
  readonly load: number;
  readonly kappa: number;
  readonly own: number;
  readonly gear: number | null;
}

/** A control is wanted to be so much slower than the load's own swinging. */
export function resonanceFindings({ mechanism, needs }: Axis, shaft: Shaft, gearbox: Gearbox | null): Finding[] {
  if (needs.bandwidth === undefined || mechanism.stiffness === undefined) return [];
  const id = "axis.resonance";
  if (gearbox !== null && gearbox.stiffness === undefined) return [{ id, missing: "stiffness", asked: true }];
  const [own, gear] = [mechanism.stiffness, gearbox?.stiffness ?? null];
  // A roll is softest on its core or full; all others are softest with their largest load.
  const full = swinging({ load: mechanism.inertia + shaft.mostLoad, kappa: shaft.kappa, own, gear });
  const bare = swinging({ load: mechanism.inertia + shaft.leastLoad, kappa: shaft.leastKappa, own, gear });
  const allowed = Math.min(full, mechanism.kind === "winder" ? bare : full);
  return [{ id, demand: needs.bandwidth * (needs.resonanceFactor ?? 1), allowed }];
}

/** Radial force of belt or pinion on the shaft that drives it: the gearbox's, or the motor's own. */
export function shaftFindings({ mechanism }: Axis, shaft: Shaft, { motor, gearbox }: Pulled): Finding[] {
  if (mechanism.kind !== "belt" && mechanism.kind !== "rack") return [];
  const factor = mechanism.radialFactor ?? 0;
  if (factor === 0) return [];
  const id = gearbox === null ? "motor.shaft_load" : "gearbox.shaft_load";
  const allowed = gearbox === null ? motor.radialLoad : gearbox.radialLoad;
  if (allowed === undefined) return [{ id, missing: "radial_load", asked: false }];
  return [{ id, demand: (largest(shaft.torque) / (mechanism.diameter / 2)) * factor, allowed }];
}

/** Limits that hang on the mechanism. A screw may turn at 80 % of its critical speed: common practice, no source. */
export function mechanismFindings({ mechanism }: Axis, shaft: Shaft): Finding[] {
  const screw = "check" in mechanism ? mechanism.check : undefined;
  if (screw === undefined) return [];
  const allowed = 0.8 * whirling(screw.diameter, screw.length, screw.ends);
  return [{ id: "axis.critical_speed", demand: largest(shaft.speed), allowed }];
}
