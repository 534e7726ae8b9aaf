import type { Motor } from "../../machine/catalogue.ts";
import type { Bus, Needs, Site } from "../../machine/problem.ts";

/** What a motor may do on one axis, after derating. */
export interface MotorRating {
  /** Stall torque × alignment × ambient × altitude [N·m]. */
  readonly continuousTorque: number;
  /** Peak torque × alignment [N·m]. */
  readonly peakTorque: number;
  /** β of T_cont(n)² = T0² − β·n² [N²·m²·s²/rad²]. */
  readonly speedLoss: number;
  /** Phase resistance at the winding limit [ohm]. */
  readonly hotResistance: number;
  /** I = |τ| · this [A rms per N·m]. */
  readonly currentPerTorque: number;
  /** cos of the commutation error [1]. */
  readonly alignment: number;
  /** Around the motor [°C]. */
  readonly ambient: number;
  /** Rise of the winding above it, per heat τ²/cos²δ + β·n² [K/(N²·m²)]; Infinity where the air carries off nothing. */
  readonly risePerHeat: number;
}

/**
 * Deratings: cos δ on torque; √((limit − ambient)/(limit − reference)), at most 1; −1 % per 100 m above 1000 m.
 * R_hot = R_LL/2 · (234.5 + limit)/(234.5 + 25). At T0 × altitude the winding rises by limit − reference.
 * Source: copper constant 234.5 K, IEC 60034-1; deratings common practice, no source.
 */
export function motorRating(motor: Motor, needs: Needs, site: Site): MotorRating {
  const alignment = Math.cos(needs.commutationError);
  const share = (motor.windingLimit - site.ambient) / (motor.windingLimit - motor.referenceAmbient);
  const ambient = Math.min(1, Math.sqrt(Math.max(0, share)));
  return {
    continuousTorque: motor.stallTorque * alignment * ambient * altitudeFactor(site.altitude),
    peakTorque: motor.peakTorque * alignment,
    speedLoss: (motor.stallTorque ** 2 - motor.ratedTorque ** 2) / motor.ratedSpeed ** 2,
    hotResistance: hotResistance(motor.resistance / 2, motor.windingLimit),
    currentPerTorque: 1 / (motor.torqueConstant * alignment),
    alignment,
    ambient: site.ambient,
    risePerHeat:
      (motor.windingLimit - motor.referenceAmbient) / (motor.stallTorque * altitudeFactor(site.altitude)) ** 2,
  };
}

/** Copper resistance at a temperature from its value at 25 °C. Source: IEC 60034-1, constant 234.5 K. */
export function hotResistance(at25: number, temperature: number): number {
  return (at25 * (234.5 + temperature)) / (234.5 + 25);
}

/** −1 % per 100 m above 1000 m, never below 0. Source: common practice, no source. */
export function altitudeFactor(altitude: number): number {
  return Math.max(0, 1 - 0.01 * Math.max(0, (altitude - 1000) / 100));
}

/** Factor on continuous ratings in the cabinet: −1 %/K above 40 °C, and altitude. Source: common practice, no source. */
export function cabinetFactor(site: Site): number {
  return Math.max(0, 1 - 0.01 * Math.max(0, site.cabinetAmbient - 40)) * altitudeFactor(site.altitude);
}

/** Lowest and highest bus voltage without chopper [V]. */
export interface BusVoltage {
  readonly low: number;
  readonly high: number;
}

/**
 * Rectified: 1.35 (one phase: 1.1) × mains × (1 − tolerance) to √2 × mains × (1 + tolerance); regulated: 0.95 × to 1 × voltage.
 *
 * Source: 3√2/π = 1.35 mean of a six-pulse rectifier; 1.1 and 0.95 common practice, no source.
 */
export function busVoltage(bus: Bus, site: Site): BusVoltage {
  if (bus.voltage !== undefined) return { low: 0.95 * bus.voltage, high: bus.voltage };
  const mean = site.phases === 3 ? 1.35 : 1.1;
  return {
    low: mean * site.mains * (1 - site.mainsTolerance),
    high: Math.SQRT2 * site.mains * (1 + site.mainsTolerance),
  };
}
