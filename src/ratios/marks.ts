import type { Axis } from "../machine/problem.ts";
import { goldenPeak, rootBetween } from "../maths/scalar.ts";
import type { Duty } from "../physics/duty/duty.ts";
import { flowFactors } from "../physics/limits/pick-duty.ts";
import { motorRating } from "../physics/limits/rating.ts";
import type { AxisWork } from "./subject.ts";
import type { Train } from "./utilisation.ts";

/**
 * √(J_load/J_motor side): where the inertia of the load, seen at the motor, is that of motor, brake, coupling and gearbox.
 * A load that changes counts at its largest. Undefined where no inertia of the load is known.
 *
 * Source: ratio of the largest acceleration at a given torque under a purely inertial load (textbook of electric drives).
 */
export function inertiaMatchedRatio(work: AxisWork, train: Train): number | undefined {
  const load = work.duties.reduce((most, { largestInertia }) => Math.max(most, largestInertia), 0);
  const own = inertiaOf(work.axis.axis, train);
  return load > 0 && own > 0 ? Math.sqrt(load / own) : undefined;
}

/** Motor, brake, coupling and gearbox [kg·m²]. */
function inertiaOf({ mechanism }: Axis, { motor, gearbox }: Pick<Train, "motor" | "gearbox">): number {
  return motor.rotorInertia + motor.brakeInertia + mechanism.couplingInertia + gearbox.inertia;
}

/** ⟨τ_m²⟩ + β⟨n²⟩ = c[4]·i² + c[3]·i + c[2] + c[1]/i + c[0]/i² [N²·m²]. */
type HeatPowers = readonly [number, number, number, number, number];

/**
 * The ratio at which the winding's mean heat is least, whatever other limits say. Undefined where it falls for ever: nothing
 * to hold, or nothing to accelerate.
 *
 * Without friction the heat is c₄·i² + c₂ + c₀/i², least at (c₀/c₄)^¼; with it, where its slope is 0. Over several runs the
 * worst one counts.
 * Source: Giberti, Cinquemani, Legnani, The Role of the Gearbox in an Automatic Machine (2012), section 4.2: τ_opt.
 */
export function leastHeatRatio(work: AxisWork, train: Train): number | undefined {
  const runs = work.duties.map((duty) => heatPowers(work, train, duty));
  const [first, another] = runs;
  if (first === undefined || runs.some((c) => c[0] <= 0 || c[4] <= 0)) return undefined;
  if (another === undefined && first[1] === 0 && first[3] === 0) return (first[0] / first[4]) ** 0.25;
  const heat = (x: number): number => Math.max(...runs.map((c) => heatAt(c, Math.exp(x))));
  const centre = Math.log(first[0] / first[4]) / 4;
  const least = goldenPeak((x) => -heat(x), centre - WIDE, centre + WIDE).at;
  return another === undefined ? polished(first, Math.exp(least)) : Math.exp(least);
}

/** Friction moves the least by no more than this in ln ratio. */
const WIDE = 12;

function heatPowers(work: AxisWork, { motor, gearbox }: Train, duty: Duty): HeatPowers {
  const { gram, meanSquareSpeed } = duty;
  const a = inertiaOf(duty.axis, { motor, gearbox });
  const f = motor.frictionTorque + gearbox.dragTorque;
  const flow = flowFactors({ ...gearbox, ratio: 1 });
  let [xy, yy, yz] = [0, 0, 0];
  flow.forEach((through, k) => {
    xy += through * (gram[k + 1] ?? 0);
    yy += through * through * (gram[6 * (k + 1)] ?? 0);
    yz += through * (gram[5 * (k + 1) + 4] ?? 0);
  });
  const { speedLoss } = motorRating(motor, work.axis.axis.needs, work.axis.site);
  const [xx, xz, zz] = [gram[0] ?? 0, gram[4] ?? 0, gram[24] ?? 0];
  return [yy, 2 * f * yz, 2 * a * xy + f * f * zz, 2 * a * f * xz, a * a * xx + speedLoss * meanSquareSpeed];
}

function heatAt(c: HeatPowers, i: number): number {
  return c[4] * i * i + c[3] * i + c[2] + c[1] / i + c[0] / (i * i);
}

/** The zero of the slope beside a ratio that golden section has found to half its digits. */
function polished(c: HeatPowers, ratio: number): number {
  const slope = (i: number): number => 2 * c[4] * i ** 4 + c[3] * i ** 3 - c[1] * i - 2 * c[0];
  const [low, high] = [ratio * (1 - 1e-4), ratio * (1 + 1e-4)];
  return slope(low) < 0 && slope(high) > 0 ? rootBetween(slope, low, high) : ratio;
}
