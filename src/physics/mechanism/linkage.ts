import type { Crank, Mechanism, Winder } from "../../machine/mechanism.ts";
import { isSteadyMechanism, travelPerRadian } from "./travel.ts";

/** Where a mechanism of changing ratio is, and how it moves: along its motion. */
export interface MotionAt {
  readonly position: number;
  readonly speed: number;
  readonly acceleration: number;
}

/** A mechanism of changing ratio at an instant. */
export interface LinkageAt {
  /** Torque at the input shaft per newton of load [m]. */
  readonly lever: number;
  /** Of the load [m/s], [m/s²]. */
  readonly loadSpeed: number;
  readonly loadAcceleration: number;
  /** θ' [rad/s], θ'' [rad/s²] */
  readonly shaftSpeed: number;
  readonly shaftAcceleration: number;
  /** What turns with the input shaft beside the mechanism's own inertia [kg·m²]. */
  readonly turning: number;
}

/**
 * A winder: R² = R₀² + h·L/π, ω = v/R, ω' = a/R − h·v²/(2π·R³), J = ½·π·ρ·b·(R⁴ − R_core⁴).
 *
 * Source: a spiral of thickness h laid down at line speed (area wound = h·L); inertia of a hollow cylinder.
 */
export function winderAt(winder: Winder, { position, speed, acceleration }: MotionAt): LinkageAt {
  const { coreDiameter, webWidth, webDensity, webThickness } = winder;
  const radius = rollRadius(winder, position);
  const shaftSpeed = speed / radius;
  return {
    lever: radius,
    loadSpeed: speed,
    loadAcceleration: acceleration,
    shaftSpeed,
    shaftAcceleration: acceleration / radius - (webThickness * speed * shaftSpeed) / (2 * Math.PI * radius ** 2),
    turning: (Math.PI / 2) * webDensity * webWidth * (radius ** 4 - (coreDiameter / 2) ** 4),
  };
}

/** R where so much web has been wound up since the start [m]. Source: see `winderAt`. */
export function rollRadius({ startDiameter, webThickness }: Winder, wound: number): number {
  return Math.sqrt((startDiameter / 2) ** 2 + (webThickness * wound) / Math.PI);
}

/**
 * A slider crank: x(θ) = r·cos θ + √(l² − (r·sin θ − e)²); lever x', v = x'·θ', a = x'·θ'' + x''·θ'².
 *
 * With the slider's mass m this is J·θ'' + ½·J'·θ'² for J = m·x'².
 * Source: kinematics of the slider crank, textbook of machine dynamics; differentiation.
 */
export function crankAt(crank: Crank, { position, speed, acceleration }: MotionAt): LinkageAt {
  const { radius, rod, offset, startAngle } = crank;
  const angle = startAngle + position;
  const [sine, cosine] = [Math.sin(angle), Math.cos(angle)];
  const across = radius * sine - offset;
  const along = Math.sqrt(rod * rod - across * across);
  const turned = radius * cosine;
  const lever = -radius * sine - (across * turned) / along;
  const bend = -turned - (turned * turned - across * radius * sine) / along - (across * turned) ** 2 / along ** 3;
  return {
    lever,
    loadSpeed: lever * speed,
    loadAcceleration: lever * acceleration + bend * speed * speed,
    shaftSpeed: speed,
    shaftAcceleration: acceleration,
    turning: 0,
  };
}

/** How a mechanism of any kind is at an instant. Source: see each kind. */
export function linkageOf(mechanism: Mechanism): (motion: MotionAt) => LinkageAt {
  if (!isSteadyMechanism(mechanism))
    return mechanism.kind === "winder"
      ? (motion) => winderAt(mechanism, motion)
      : (motion) => crankAt(mechanism, motion);
  const lever = travelPerRadian(mechanism);
  return ({ speed, acceleration }) => ({
    lever,
    loadSpeed: speed,
    loadAcceleration: acceleration,
    shaftSpeed: speed / lever,
    shaftAcceleration: acceleration / lever,
    turning: 0,
  });
}

/** Tension of a winder's web, which resists winding up [N]. Source: definition. */
export function tensionOf(mechanism: Mechanism): number {
  return mechanism.kind === "winder" ? mechanism.tension : 0;
}
