import type { Supply } from "../machine/catalogue.ts";
import type { Grid } from "./motion.ts";

/** What holds and feeds a bus. */
export interface BusStore {
  readonly supply: Supply;
  /** Of supply and all drive modules [F]. */
  readonly capacitance: number;
  /** Rectified mains or regulated output: the supply keeps the bus from falling below [V]. */
  readonly floor: number;
  /** true: a resistor, picked or inside the supply, turns what the capacitors cannot hold into heat. */
  readonly brakes: boolean;
}

/** A bus over one cycle that repeats for ever, step by step. */
export interface BusRun {
  /** Bus voltage at every node [V]. */
  readonly voltage: Float64Array;
  /** Mean power of the supply and of the brake resistor over the step that ends at each node [W]. */
  readonly supplied: Float64Array;
  readonly braked: Float64Array;
  readonly figures: BusFigures;
}

export interface BusFigures {
  /** Highest bus voltage [V]. */
  readonly voltage: number;
  /** Largest energy held above the floor [J]. */
  readonly stored: number;
  /** Largest and mean power [W]. */
  readonly supplyPeak: number;
  readonly supplyMean: number;
  readonly brakePeak: number;
  readonly brakeMean: number;
}

const MOST_ROUNDS = 200;

/**
 * Steps a bus through its cycle until it repeats: capacitors take what is given back, the rectifier feeds only at its
 * floor, the chopper holds the voltage at its threshold; a supply that feeds back holds the floor both ways.
 *
 * ½·C·U² = ½·C·U_floor² + E; dE = −P·dt. Ideal rectifier, chopper and capacitors; a chopper's pulses count as their mean.
 *
 * Source: energy balance of a capacitor.
 *
 * @param power - of all drives at every node of the grid [W]
 */
export function simulateBus(power: Float64Array, grid: Grid, store: BusStore): BusRun {
  let start = 0;
  let run = walk(power, grid, store, start);
  for (let round = 0; round < MOST_ROUNDS && Math.abs(run.end - start) > 1e-9 * (1 + run.end); round++) {
    start = run.end;
    run = walk(power, grid, store, start);
  }
  const { energy, supplied, braked } = run;
  const voltage = energy.map((held) => Math.sqrt(store.floor ** 2 + (2 * held) / store.capacitance));
  const figures = {
    voltage: most(voltage),
    stored: most(energy),
    supplyPeak: most(supplied),
    supplyMean: meanOfSteps(supplied, grid),
    brakePeak: most(braked),
    brakeMean: meanOfSteps(braked, grid),
  };
  return { voltage, supplied, braked, figures };
}

/** Largest value, 0 at least. */
function most(values: Float64Array): number {
  return values.reduce((top, value) => Math.max(top, value), 0);
}

interface Walk {
  readonly energy: Float64Array;
  readonly supplied: Float64Array;
  readonly braked: Float64Array;
  readonly end: number;
}

function walk(power: Float64Array, { time }: Grid, store: BusStore, start: number): Walk {
  const energy = new Float64Array(time.length);
  const supplied = new Float64Array(time.length);
  const braked = new Float64Array(time.length);
  const room = roomOf(store);
  let held = start;
  energy[0] = held;
  for (let k = 1; k < time.length; k++) {
    const h = (time[k] ?? 0) - (time[k - 1] ?? 0);
    const wanted = held - (h * ((power[k] ?? 0) + (power[k - 1] ?? 0))) / 2;
    held = Math.min(room, Math.max(0, wanted));
    energy[k] = held;
    const step = shared(wanted - held, h, store);
    supplied[k] = step.supplied;
    braked[k] = step.braked;
  }
  return { energy, supplied, braked, end: held };
}

/** What the capacitors cannot give comes from the supply, what they cannot take goes to the resistor or the mains [W]. */
function shared(surplus: number, h: number, { supply }: BusStore): { supplied: number; braked: number } {
  if (h <= 0) return { supplied: 0, braked: 0 };
  const [lacking, back] = [Math.max(0, -surplus) / h, Math.max(0, surplus) / h];
  return supply.feedsBack ? { supplied: lacking - back, braked: 0 } : { supplied: lacking, braked: back };
}

/** Energy the capacitors take before something else does [J]. */
function roomOf({ supply, capacitance, floor, brakes }: BusStore): number {
  if (supply.feedsBack) return 0;
  const chopper = supply.chopperVoltage ?? floor;
  return brakes ? Math.max(0, (capacitance * (chopper ** 2 - floor ** 2)) / 2) : Infinity;
}

function meanOfSteps(values: Float64Array, { time, period }: Grid): number {
  let sum = 0;
  for (let k = 1; k < values.length; k++) sum += (values[k] ?? 0) * ((time[k] ?? 0) - (time[k - 1] ?? 0));
  return sum / period;
}
