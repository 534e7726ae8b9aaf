import type { Supply } from "../../machine/catalogue.ts";
import type { Peak } from "../../maths/scalar.ts";
import { type HeatPiece, largestResponse } from "../limits/first-order.ts";
import { overloadTime } from "../limits/heat-limits.ts";
import { type BusPower, powerPeak } from "./bus-power.ts";

/** Which power of a bus goes through its supply: what is taken alone, or what is fed back as well. */
export type Through = "taken" | "both-ways";

/** Largest power that goes through a supply [W]. Source: extreme value of a smooth function. */
export function powerThrough(power: BusPower, through: Through): number {
  const taken = Math.max(0, powerPeak(power, 1).value);
  return through === "taken" ? taken : Math.max(taken, powerPeak(power, -1).value);
}

/** Time constant of a supply's overload [s]: its peak power for just its peak time from cold. Source: see `overloadTime`. */
export function supplyOverloadTime({ peakTime, peakPower, continuousPower }: Supply): number | undefined {
  if (peakTime === undefined) return undefined;
  return overloadTime({ peakTime, peakCurrent: peakPower, continuousCurrent: continuousPower });
}

/** Worked out once for each sum of powers, time constant and way. */
const KNOWN = new WeakMap<BusPower, Map<string, Peak>>();

/**
 * Largest response to the square of the power through a supply, over the period in steady state [W²].
 *
 * The bus voltage hardly moves, so the current in the supply goes with the power, and its heat with the square.
 * Source: first-order heating by the square of the current (i²t); common practice, no source.
 *
 * @param time - its time constant [s]
 */
export function largestSquarePower(power: BusPower, through: Through, time: number): Peak {
  const known = KNOWN.get(power) ?? new Map<string, Peak>();
  KNOWN.set(power, known);
  const key = `${through} ${time}`;
  const found = known.get(key) ?? largestResponse(heatPieces(power, through), [{ time, weight: 1 }]);
  known.set(key, found);
  return found;
}

function heatPieces({ stretches }: BusPower, through: Through): HeatPiece[] {
  return stretches.map(({ from, to, power, middle, bounds }) => {
    if (middle <= 0 && through === "taken") return { from, to, isSteady: true, heat: () => 0 };
    return { from, to, isSteady: bounds.least === bounds.most, heat: (t) => power(t) ** 2 };
  });
}
