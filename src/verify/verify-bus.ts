import type { Supply } from "../machine/catalogue.ts";
import type { LimitId } from "../machine/limit.ts";
import type { Bus, Problem } from "../machine/problem.ts";
import type { BusResult } from "../machine/result.ts";
import type { BoundCheck, BusVerification } from "../machine/verification.ts";
import type { BusPick, MachinePick } from "./answer.ts";
import { capacitanceOf } from "./bus-limits.ts";
import type { BusLoad } from "./bus-load.ts";
import { type BusRun, type BusStore, simulateBus } from "./bus-simulation.ts";
import { compareLimits } from "./compare.ts";
import type { OrderOracle } from "./evaluate-machine.ts";
import { busVoltage } from "./evaluate-pick.ts";
import { supplyReasons } from "./supply-fit.ts";
import { boundOf } from "./verify-axis.ts";

/** One bus of a result with its parts and what simulates it. */
export interface BusSource {
  readonly oracle: OrderOracle;
  /** Index of the machine. */
  readonly m: number;
  readonly bus: Bus;
  readonly stated: BusResult;
  readonly pick: MachinePick;
  readonly option: BusPick;
}

/** Every limit of a bus beside its simulation, and the stated bounds beside the voltage stepped through the cycle. */
export function verifyBus(source: BusSource): BusVerification {
  const { oracle, m, bus, stated, pick, option } = source;
  const wanted = stated.limits.find(({ id }) => BRAKING.includes(id))?.id;
  const { checks, clash } = oracle.busLimits(m, bus, pick.axes, option, wanted);
  const run = busRun(source);
  const { currency } = oracle.problem.weights;
  return {
    id: stated.id,
    parts: [option.supply, option.resistor].flatMap((part) => (part === null ? [] : [part.part])),
    compared: compareLimits(stated.limits, checks, currency),
    not_checked: option.supply?.maxCapacitance === undefined && option.supply !== null ? ["supply.capacitance"] : [],
    unfit: [...supplyReasons(oracle.problem, bus, option), ...(clash ? ["drives of another bus family"] : [])],
    bounds: run === null ? [] : boundsOf(stated, run, oracle.problem.machines[m]?.powerMargin ?? 0),
  };
}

const BRAKING: readonly LimitId[] = ["supply.regeneration", "resistor.peak_power"];

/** The bus stepped through its normal cycle; null without a supply. Axes outside the cycle count with their mean. */
export function busRun({ oracle, m, bus, stated, pick, option }: BusSource): BusRun | null {
  const { supply } = option;
  if (supply === null) return null;
  const load = oracle.load(m, bus, pick.axes);
  const store = storeOf(oracle.problem, bus, { supply, load, stated });
  return simulateBus(busPower(load), oracle.grid(m), store);
}

/** Power of all drives of a bus at every node; axes outside the cycle count with their mean [W]. */
export function busPower({ along, outside }: BusLoad): Float64Array {
  return along.map((power) => power + outside.mean);
}

function storeOf(
  { site }: Problem,
  bus: Bus,
  { supply, load, stated }: { readonly supply: Supply; readonly load: BusLoad; readonly stated: BusResult },
): BusStore {
  return {
    supply,
    capacitance: supply.capacitance + capacitanceOf(load.drives),
    floor: busVoltage(site, bus).high,
    brakes: stated.limits.some(({ id }) => id === "resistor.peak_power"),
  };
}

/** Rows whose demand gives the bus capacitors no credit, or less than they are due. */
function boundsOf({ limits }: BusResult, { figures }: BusRun, powerMargin: number): BoundCheck[] {
  const factor = 1 + powerMargin;
  const seen: Partial<Record<LimitId, number>> = {
    "drive.bus_voltage": figures.voltage,
    "supply.peak_power": figures.supplyPeak * factor,
    "supply.continuous_power": figures.supplyMean * factor,
    "supply.regeneration": figures.stored * factor,
    "resistor.peak_power": figures.brakePeak * factor,
    "resistor.continuous_power": figures.brakeMean * factor,
  };
  return limits.flatMap(({ id, unit, demand }) => {
    const simulated = seen[id];
    return simulated === undefined ? [] : [boundOf({ id, unit, stated: demand, simulated, because: "capacitors" })];
  });
}
