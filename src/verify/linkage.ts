import type { Crank, Mechanism, Winder } from "../machine/mechanism.ts";
import type { State } from "./motion.ts";

/** A mechanism at one instant. */
export interface Linked {
  /** Torque at the input shaft per newton of load [m], or per newton metre [1]. */
  readonly lever: number;
  /** Of the load [m/s or rad/s, per s²]. */
  readonly v: number;
  readonly a: number;
  /** Of the input shaft [rad/s, rad/s²]. */
  readonly speed: number;
  readonly acceleration: number;
  /** Inertia of a roll on the input shaft [kg·m²]. */
  readonly roll: number;
}

/** Output per radian of a mechanism's input shaft where that is one number [m/rad or 1]. */
function ratioOf(mechanism: Exclude<Mechanism, Winder | Crank>): number {
  if ("lead" in mechanism) return mechanism.lead / (2 * Math.PI);
  return "diameter" in mechanism ? mechanism.diameter / 2 : 1;
}

/** A mechanism of any kind where its motion is in some state. */
export function linkedAt(mechanism: Mechanism, state: State): Linked {
  if (mechanism.kind === "winder") return winderAt(mechanism, state);
  if (mechanism.kind === "crank") return crankAt(mechanism, state);
  const kappa = ratioOf(mechanism);
  const { v, a } = state;
  return { lever: kappa, v, a, speed: v / kappa, acceleration: a / kappa, roll: 0 };
}

/** A roll of so much area, wound at line speed: mass of a ring, inertia ½·m·(R² + r²). Source: geometry, textbook of mechanics. */
function winderAt(
  { coreDiameter, startDiameter, webWidth, webDensity, webThickness }: Winder,
  { q, v, a }: State,
): Linked {
  const area = (Math.PI / 4) * startDiameter ** 2 + webThickness * q;
  const radius = Math.sqrt(area / Math.PI);
  const mass = webDensity * webWidth * (area - (Math.PI / 4) * coreDiameter ** 2);
  const growth = (webThickness * v) / (2 * Math.PI * radius);
  return {
    lever: radius,
    v,
    a,
    speed: v / radius,
    acceleration: a / radius - (v * growth) / radius ** 2,
    roll: (mass * (radius ** 2 + (coreDiameter / 2) ** 2)) / 2,
  };
}

/**
 * A slider crank by the angle β of its rod, l·sin β = r·sin θ − e:
 * v = −r·ω·sin(θ + β)/cos β, a = v·α/ω − r·ω²·(cos(θ + β)/cos β + (r/l)·cos²θ/cos³β).
 *
 * Source: kinematics of the slider crank by its two angles, textbook of machine dynamics (from memory).
 */
function crankAt({ radius: r, rod: l, offset, startAngle }: Crank, { q: turned, v: omega, a: alpha }: State): Linked {
  const q = startAngle + turned;
  const beta = Math.asin((r * Math.sin(q) - offset) / l);
  const lever = (-r * Math.sin(q + beta)) / Math.cos(beta);
  const bent = Math.cos(q + beta) / Math.cos(beta) + ((r / l) * Math.cos(q) ** 2) / Math.cos(beta) ** 3;
  return {
    lever,
    v: lever * omega,
    a: lever * alpha - r * omega ** 2 * bent,
    speed: omega,
    acceleration: alpha,
    roll: 0,
  };
}
