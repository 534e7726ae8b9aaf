import type { Drive } from "../machine/catalogue.ts";
import type { Grid } from "./motion.ts";

/** Extremes and means of one sum of powers over the cycle [W, J]. */
export interface PowerSum {
  readonly most: number;
  readonly least: number;
  readonly mean: number;
  /** Means of what is taken, and of what is given back. */
  readonly taken: number;
  readonly given: number;
  /** Largest energy given back over any window; Infinity where a whole cycle gives back. */
  readonly window: number;
}

/** Power of one pick: along the machine cycle, or as three figures where it has a period of its own [W]. */
export interface PickPower {
  readonly along: Float64Array | null;
  readonly most: number;
  readonly least: number;
  readonly mean: number;
}

/** Sums of a bus; they differ in how axes outside the cycle count. */
export interface BusLoad {
  readonly drawn: PowerSum;
  readonly braked: PowerSum;
  readonly billed: PowerSum;
  readonly drives: readonly Drive[];
  /** Energy of the worst emergency stop [J]; absent where the machine asks for none. */
  readonly stop?: number;
  /** Nodes of the machine cycle [s]. */
  readonly time: Float64Array;
  /** Sum of the axes in the cycle at every node of the machine's grid, the modules' fixed losses included [W]. */
  readonly along: Float64Array;
  /** What axes outside the cycle add at most, at least and on average [W]. */
  readonly outside: { readonly most: number; readonly least: number; readonly mean: number };
}

/** Extremes and means of a power at the nodes of a grid, lifted by an offset [W]. */
export function powerSum(values: Float64Array, offset: number, grid: Grid): PowerSum {
  let [most, least, mean, taken, given] = [-Infinity, Infinity, 0, 0, 0];
  for (let k = 0; k < values.length; k++) {
    const p = (values[k] ?? 0) + offset;
    const w = grid.weight[k] ?? 0;
    if (p > most) most = p;
    if (p < least) least = p;
    mean += w * p;
    if (p > 0) taken += w * p;
    else given -= w * p;
  }
  return { most, least, mean, taken, given, window: least >= 0 ? 0 : worstWindow(values, offset, grid, mean) };
}

/** Largest −∫P over a window that may run over the end of the cycle, by trapezoids. */
function worstWindow(values: Float64Array, offset: number, { time }: Grid, mean: number): number {
  if (mean < 0) return Infinity;
  let [energy, lowest, worst] = [0, 0, 0];
  for (let round = 0; round < 2; round++) {
    for (let k = 1; k < values.length; k++) {
      const h = (time[k] ?? 0) - (time[k - 1] ?? 0);
      energy -= h * (((values[k] ?? 0) + (values[k - 1] ?? 0)) / 2 + offset);
      if (energy < lowest) lowest = energy;
      if (energy - lowest > worst) worst = energy - lowest;
    }
  }
  return worst;
}

/** The sums of a bus from the powers of its picks. */
export function busLoad(grid: Grid, drives: readonly Drive[], powers: readonly PickPower[]): BusLoad {
  const fixed = drives.reduce((sum, { fixedLoss }) => sum + fixedLoss, 0);
  const along = new Float64Array(grid.time.length).fill(fixed);
  const outside = { most: 0, least: 0, mean: 0 };
  for (const power of powers) {
    if (power.along !== null) addTo(along, power.along);
    else {
      outside.most += Math.max(0, power.most);
      outside.least += Math.min(0, power.least);
      outside.mean += power.mean;
    }
  }
  const drawn = powerSum(along, outside.most, grid);
  const allInside = outside.most === 0 && outside.least === 0 && outside.mean === 0;
  return {
    drawn,
    braked: allInside ? drawn : powerSum(along, outside.least, grid),
    billed: allInside ? drawn : powerSum(along, outside.mean, grid),
    drives,
    time: grid.time,
    along,
    outside,
  };
}

function addTo(sum: Float64Array, more: Float64Array): void {
  for (let k = 0; k < sum.length; k++) sum[k] = (sum[k] ?? 0) + (more[k] ?? 0);
}
