import type { Limit, Unchecked } from "../machine/limit.ts";
import type { Site } from "../machine/problem.ts";
import { cabinetFactor } from "../physics/limits/rating.ts";
import type { BusPower } from "../physics/power/bus-power.ts";
import {
  largestSquarePower,
  powerThrough,
  supplyOverloadTime,
  type Through,
} from "../physics/power/supply-overload.ts";
import type { SupplyOption } from "./supply-options.ts";

/** What surrounds the supply. */
interface Around {
  readonly site: Site;
  readonly margin: number;
}

/**
 * Largest overload state s in periodic steady state against 1: τ_d·ds/dt = (P/P_cont)² − s, P × (1 + power margin), P_cont
 * derated; τ_d as a drive's, from peak and continuous power and the peak time.
 *
 * A supply that is never asked for more than its continuous power cannot be overloaded: undefined.
 * Source: first-order heating by the square of the current (i²t); common practice, no source.
 */
export function supplyOverload(
  drawn: BusPower,
  { supply, way }: SupplyOption,
  { site, margin }: Around,
): Limit | Unchecked | undefined {
  if (supply === undefined || supply.peakPower <= supply.continuousPower) return undefined;
  const through: Through = way === "feeds-back" ? "both-ways" : "taken";
  const continuous = supply.continuousPower * cabinetFactor(site);
  const perPower = (1 + margin) / continuous;
  if (continuous === 0 || powerThrough(drawn, through) * perPower <= 1) return undefined;
  const time = supplyOverloadTime(supply);
  if (time === undefined) return { id: "supply.overload", missing: "peak_time" };
  const largest = largestSquarePower(drawn, through, time);
  const demand = largest.value * perPower ** 2;
  return { id: "supply.overload", demand, allowed: 1, unit: "1", utilisation: demand, time: largest.at };
}
