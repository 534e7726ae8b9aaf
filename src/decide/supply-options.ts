import type { Catalogue, Resistor, Supply } from "../machine/catalogue.ts";
import type { Bus, Problem, Site } from "../machine/problem.ts";

/**
 * Where braking energy goes: back to the mains, into the capacitors alone, into the supply's own resistor or into a
 * resistor picked for it. `unsupplied`: no axis draws from the bus, or the catalogues hold no supplies; nothing is checked.
 */
export type BrakingWay = "feeds-back" | "capacitors" | "internal-resistor" | "resistor" | "unsupplied";

/** One way to feed a bus. */
export interface SupplyOption {
  readonly supply: Supply | undefined;
  readonly resistor: Resistor | undefined;
  readonly way: BrakingWay;
}

/** A bus without a supply. */
export const UNSUPPLIED: SupplyOption = { supply: undefined, resistor: undefined, way: "unsupplied" };

/** Every supply of the right mains, phases and voltage, with every resistor it can bear. In catalogue order. */
export function supplyOptions(problem: Problem, catalogue: Catalogue, bus: Bus): SupplyOption[] {
  if (catalogue.supplies.length === 0) return [UNSUPPLIED];
  const { forbid, site } = problem;
  const allowed = (part: { part: string; maker: string }): boolean =>
    !forbid.parts.includes(part.part) && !forbid.makers.includes(part.maker);
  const resistors = catalogue.resistors.filter(allowed);
  return catalogue.supplies
    .filter((supply) => allowed(supply) && feeds(supply, bus, site))
    .flatMap((supply) => waysOf(supply, resistors));
}

function feeds(supply: Supply, bus: Bus, { mains, phases }: Site): boolean {
  const sameVoltage =
    bus.voltage === undefined
      ? supply.busVoltage === undefined
      : supply.busVoltage !== undefined && Math.abs(supply.busVoltage - bus.voltage) <= 1e-9 * bus.voltage;
  const near = 1e-9 * mains;
  return sameVoltage && supply.phases === phases && supply.mains <= mains + near && mains <= supply.mainsMax + near;
}

function waysOf(supply: Supply, resistors: readonly Resistor[]): SupplyOption[] {
  if (supply.feedsBack) return [{ supply, resistor: undefined, way: "feeds-back" }];
  const { minResistance = 0 } = supply;
  const options: SupplyOption[] = [{ supply, resistor: undefined, way: "capacitors" }];
  if (supply.internalResistorPeak !== undefined && supply.internalResistorContinuous !== undefined) {
    options.push({ supply, resistor: undefined, way: "internal-resistor" });
  }
  const borne = resistors.filter(({ resistance }) => resistance >= minResistance);
  return [...options, ...borne.map((resistor) => ({ supply, resistor, way: "resistor" as const }))];
}
