import type { Bus, Problem } from "../machine/problem.ts";
import type { BusPick } from "./answer.ts";

/** Why a supply and its resistor cannot feed a bus; empty: they can. */
export function supplyReasons({ site, forbid }: Problem, bus: Bus, { supply, resistor }: BusPick): string[] {
  if (supply === null) return [];
  const parts = [supply, resistor].filter((part) => part !== null);
  const wanted = bus.voltage ?? Number.NaN;
  const sameVoltage =
    bus.voltage === undefined
      ? supply.busVoltage === undefined
      : Math.abs((supply.busVoltage ?? Infinity) - wanted) <= 1e-9 * wanted;
  const mains = supply.mains <= site.mains * (1 + 1e-9) && site.mains <= supply.mainsMax * (1 + 1e-9);
  const reasons: readonly (readonly [string, boolean])[] = [
    ["forbidden part", parts.some(({ part }) => forbid.parts.includes(part))],
    ["forbidden maker", parts.some(({ maker }) => forbid.makers.includes(maker))],
    ["supply of another bus voltage", !sameVoltage],
    ["supply for other mains", !mains],
    ["supply of other phases", supply.phases !== site.phases],
    ["resistor beside a supply that feeds back", supply.feedsBack && resistor !== null],
    ["resistor below min_resistance", resistor !== null && resistor.resistance < (supply.minResistance ?? 0)],
  ];
  return reasons.filter(([, applies]) => applies).map(([reason]) => reason);
}
