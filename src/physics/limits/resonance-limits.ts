import type { Gearbox } from "../../machine/catalogue.ts";
import type { LimitId } from "../../machine/limit.ts";
import type { Needs } from "../../machine/problem.ts";
import type { Duty } from "../duty/duty.ts";
import { checked, unchecked } from "./judgement.ts";
import type { JudgeLimit } from "./motor-limits.ts";

/** Two masses on a spring, all referred to one shaft. */
interface TwoMasses {
  /** [N·m/rad] */
  readonly stiffness: number;
  /** On the motor's side and on the load's [kg·m²]. */
  readonly motor: number;
  readonly load: number;
}

/**
 * Where the load swings against a motor that stands, (1/2π)·√(k/J_L) [Hz].
 *
 * Source: two-mass model; G. Ellis, Control System Design Guide, on resonance (from memory).
 */
export function antiresonance({ stiffness, load }: Omit<TwoMasses, "motor">): number {
  return Math.sqrt(stiffness / load) / (2 * Math.PI);
}

/** Where both swing against each other, (1/2π)·√(k·(1/J_M + 1/J_L)) [Hz]. Source: as for `antiresonance`. */
export function resonance({ stiffness, motor, load }: TwoMasses): number {
  return Math.sqrt(stiffness * (1 / motor + 1 / load)) / (2 * Math.PI);
}

/**
 * Mechanism and gearbox in series, at the mechanism's input shaft [N·m/rad]: 1/k = 1/(K·κ²) + 1/c.
 *
 * Source: springs in series; statics.
 *
 * @returns undefined where the problem does not give the mechanism's stiffness, or the catalogue not the gearbox's
 */
function inputStiffness({ axis }: Duty, travel: number, gearbox: Gearbox | undefined): number | undefined {
  if (axis.mechanism.stiffness === undefined) return undefined;
  const own = axis.mechanism.stiffness * travel ** 2;
  if (gearbox === undefined) return own;
  return gearbox.stiffness === undefined ? undefined : 1 / (1 / own + 1 / gearbox.stiffness);
}

/**
 * Spring and load of the lowest antiresonance of the cycle: with the largest load, or where a roll is small and its lever
 * short. Source: as for `antiresonance`.
 *
 * @param less - by so much the load may be smaller [kg·m²]
 * @returns undefined where a stiffness is not known
 */
export function softest(duty: Duty, gearbox: Gearbox | undefined, less = 0): Omit<TwoMasses, "motor"> | undefined {
  const states = [{ travel: duty.travel, load: Math.max(0, duty.largestInertia - less) }];
  if (duty.axis.mechanism.kind === "winder") states.push({ travel: duty.leastTravel, load: duty.smallestInertia });
  const springs = states.flatMap(({ travel, load }) => {
    const stiffness = inputStiffness(duty, travel, gearbox);
    return stiffness === undefined ? [] : [{ stiffness, load }];
  });
  const [first, second] = springs;
  if (first === undefined || second === undefined) return first;
  return antiresonance(second) < antiresonance(first) ? second : first;
}

/** Wanted bandwidth × factor [Hz]; undefined where the axis asks for none. Source: common practice, no source. */
export function wantedFrequency({ bandwidth, resonanceFactor = 1 }: Needs): number | undefined {
  return bandwidth === undefined ? undefined : bandwidth * resonanceFactor;
}

/**
 * Wanted bandwidth × factor against the antiresonance with the largest load [Hz]; only where the axis asks.
 *
 * The antiresonance, not the resonance: above it the load no longer follows the motor, so no control by the motor's own
 * feedback moves it faster. It is the lower of the two, and the ratio does not change it. The mechanism's own inertia counts
 * with the load: the safe side.
 * Source: two-mass model; the factor common practice, no source.
 */
const axisResonance: JudgeLimit = ({ duty, gearbox, ratio, factors }) => {
  const demand = wantedFrequency(duty.axis.needs);
  if (demand === undefined || duty.largestInertia === 0) return undefined;
  const spring = softest(duty, gearbox);
  if (spring === undefined) return unchecked("axis.resonance", "stiffness");
  return checked("axis.resonance", {
    demand,
    allowed: antiresonance(spring),
    unit: "Hz",
    beside: { name: "resonance", value: resonance({ ...spring, motor: factors.inertia * ratio }), unit: "Hz" },
  });
};

/** Limits of a springy mechanism. Source: see each limit. */
export const RESONANCE_LIMITS: Readonly<Partial<Record<LimitId, JudgeLimit>>> = { "axis.resonance": axisResonance };
