import type { Supply } from "../machine/catalogue.ts";
import type { LimitId } from "../machine/limit.ts";
import type { Bus, Problem } from "../machine/problem.ts";
import type { BusResult } from "../machine/result.ts";
import type { BoundCheck, BusVerification, Compared } from "../machine/verification.ts";
import type { BusPick, MachinePick } from "./answer.ts";
import { capacitanceOf } from "./bus-limits.ts";
import type { BusLoad } from "./bus-load.ts";
import { type BusRun, type BusStore, simulateBus } from "./bus-simulation.ts";
import { compareFigure, compareLimits, TOLERANCE } from "./compare.ts";
import type { OrderOracle } from "./evaluate-machine.ts";
import { busVoltage } from "./evaluate-pick.ts";
import { steppedRideDown } from "./ride-down.ts";
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

/** Every limit of a bus beside its simulation, and the stated bounds beside the voltage stepped through every run. */
export function verifyBus(source: BusSource): BusVerification {
  const { oracle, m, bus, stated, pick, option } = source;
  const wanted = stated.limits.find(({ id }) => BRAKING.includes(id))?.id;
  const runs = oracle.runs(m).map(({ oracle: run, ...mode }) => {
    const verdict = run.busLimits(m, bus, pick.axes, option, wanted);
    return { ...mode, ...verdict, run: busRun({ ...source, oracle: run }) };
  });
  const { currency } = oracle.problem.weights;
  return {
    id: stated.id,
    parts: [option.supply, option.resistor].flatMap((part) => (part === null ? [] : [part.part])),
    compared: [...compareLimits(stated.limits, runs, currency), ...rideDownFigures(source)],
    not_checked: option.supply?.maxCapacitance === undefined && option.supply !== null ? ["supply.capacitance"] : [],
    unfit: [
      ...supplyReasons(oracle.problem, bus, option),
      ...(isUnfed(source) ? ["no supply, though the catalogues have some"] : []),
      ...(runs.some(({ clash }) => clash) ? ["drives of another bus family"] : []),
    ],
    bounds: boundsOf(stated, runs, oracle.problem.machines[m]?.powerMargin ?? 0),
  };
}

function isUnfed({ oracle: { problem, catalogue }, m, bus, option }: BusSource): boolean {
  const hasAxes = problem.machines[m]?.axes.some((axis) => axis.bus === bus.id) ?? false;
  return option.supply === null && catalogue.supplies.length > 0 && hasAxes;
}

/**
 * What the result says of failing mains, where either side says something; voltages by the energy at the beginning, times by 1 % of when
 * all is over where they are shorter.
 */
function rideDownFigures({ oracle, m, bus, stated, pick }: BusSource): Compared[] {
  const seen = steppedRideDown(oracle, m, bus, pick) ?? { lowest: null, lost: null, start: 0, end: 0 };
  const { lowest_voltage: low, lost_after: lost } = stated.ride_down ?? { lowest_voltage: null, lost_after: null };
  const pairs = [
    { id: "ride_down.lowest_voltage", unit: "V", said: low, found: seen.lowest },
    { id: "ride_down.lost_after", unit: "s", said: lost, found: seen.lost },
  ] as const;
  return pairs.flatMap(({ id, unit, said, found }) => {
    if (said === null && found === null) return [];
    const [value, simulated] = [said ?? Number.NaN, found ?? Number.NaN];
    const time = Math.max(simulated, TOLERANCE.of_allowed * seen.end);
    const scale = unit === "V" ? seen.start ** 2 / (value + simulated) : time;
    return [compareFigure({ id, unit, stated: value, simulated, scale }, oracle.problem.weights.currency)];
  });
}

const BRAKING: readonly LimitId[] = ["supply.regeneration", "resistor.peak_power"];

/** The bus stepped through the cycle of one run; null without a supply. Axes outside the cycle count with their mean. */
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

/** A bus stepped through one run of its machine. */
interface SteppedRun {
  readonly mode?: string;
  readonly run: BusRun | null;
}

/** Rows whose demand gives the bus capacitors no credit, or less than they are due, in the run that comes nearest to it. */
function boundsOf({ limits }: BusResult, runs: readonly SteppedRun[], powerMargin: number): BoundCheck[] {
  const stepped = runs.flatMap(({ run, mode }) => {
    const named = mode === undefined ? {} : { mode };
    return run === null ? [] : [{ named, seen: seenIn(run, 1 + powerMargin) }];
  });
  return limits.flatMap(({ id, unit, demand }) => {
    const found = stepped.flatMap(({ named, seen }) => {
      const simulated = seen[id];
      return simulated === undefined ? [] : [{ ...named, simulated }];
    });
    const [most] = found.toSorted((one, other) => other.simulated - one.simulated);
    return most === undefined ? [] : [boundOf({ id, unit, stated: demand, ...most, because: "capacitors" })];
  });
}

/** What a closer simulation has to say of such rows, with the power margin. */
function seenIn({ figures }: BusRun, factor: number): Partial<Record<LimitId, number>> {
  return {
    "drive.bus_voltage": figures.voltage,
    "supply.peak_power": figures.supplyPeak * factor,
    "supply.continuous_power": figures.supplyMean * factor,
    "supply.regeneration": figures.stored * factor,
    "resistor.peak_power": figures.brakePeak * factor,
    "resistor.continuous_power": figures.brakeMean * factor,
  };
}
