/** A sliding thread. */
export interface Thread {
  readonly lead: number;
  readonly pitchDiameter: number;
  readonly frictionCoefficient: number;
  readonly threadAngle: number;
}

/**
 * Efficiencies of a sliding screw from its thread, without a collar.
 *
 * λ = atan(lead / (π·d)), ρ = atan(f / cos φ), η = tan λ / tan(λ + ρ), η_back = tan(λ − ρ) / tan λ
 * Source: open statics book at adaptivebooks.org, "Screw threads", 5.6.1; η_back is the same balance solved for lowering.
 *
 * @param thread - lead > 0 [m], pitch diameter d > 0 [m], friction f ≥ 0 [1], flank half angle φ in [0, π/2) [rad]
 * @returns η in (0, 1], negative where the thread cannot be driven at all; η_back ≤ 0: self-locking
 */
export function screwEfficiencies(thread: Thread): { readonly efficiency: number; readonly backEfficiency: number } {
  const leadAngle = Math.atan(thread.lead / (Math.PI * thread.pitchDiameter));
  const frictionAngle = Math.atan(thread.frictionCoefficient / Math.cos(thread.threadAngle));
  return {
    efficiency: Math.tan(leadAngle) / Math.tan(leadAngle + frictionAngle),
    backEfficiency: Math.tan(leadAngle - frictionAngle) / Math.tan(leadAngle),
  };
}
