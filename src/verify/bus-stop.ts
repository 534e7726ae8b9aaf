import type { Bus, Machine } from "../machine/problem.ts";
import { pickKey } from "./answer.ts";
import type { AxisOracle } from "./axis-oracle.ts";
import type { AxisPick } from "./evaluate-pick.ts";
import type { Grid } from "./motion.ts";
import { largestAt, nodesNear, spreadNodes, stopsAt } from "./stop.ts";

/** One machine, as far as its stops go. */
export interface StoppingMachine {
  readonly machine: Machine;
  readonly grid: Grid;
  readonly axis: (a: number) => AxisOracle;
  /** Mass riding on an axis under some picks [kg]. */
  readonly carried: (a: number, picks: readonly AxisPick[]) => number;
}

/** Energies of stops of one axis at some nodes of its period [J]. */
interface Stops {
  readonly nodes: readonly number[];
  readonly energies: Float64Array;
}

/** Stops that were worked out before, by axis, pick and carried mass. */
export type KnownStops = Map<string, Float64Array>;

/**
 * Energy given back when all axes of a bus stop at once, at the worst instant, without the fixed losses of drives [J]; axes
 * outside the cycle count with their own worst. Undefined where the machine asks for no stop.
 */
export function worstStop(
  stopping: StoppingMachine,
  bus: Bus,
  picks: readonly AxisPick[],
  known: KnownStops,
): number | undefined {
  const { machine } = stopping;
  const time = machine.emergencyStopTime;
  if (time === undefined) return undefined;
  const own = machine.axes.flatMap((axis, a) => (axis.bus === bus.id ? [{ a, inCycle: axis.inCycle }] : []));
  const inside = own.filter(({ inCycle }) => inCycle).map(({ a }) => a);
  const largest = (axes: readonly number[]): number => {
    if (axes.length === 0) return 0;
    const coarse = together(axes.map((a) => stopsOf(stopping, { a, time, picks }, known)));
    const near = coarse.nodes[largestAt(coarse.energies)] ?? 0;
    return Math.max(...together(axes.map((a) => stopsOf(stopping, { a, time, picks, near }, known))).energies);
  };
  const outside = own.filter(({ inCycle }) => !inCycle).map(({ a }) => Math.max(0, largest([a])));
  return largest(inside) + outside.reduce((sum, one) => sum + one, 0);
}

interface StopQuestion {
  readonly a: number;
  readonly time: number;
  readonly picks: readonly AxisPick[];
  /** Only at nodes around this one; absent: at nodes spread over the period. */
  readonly near?: number;
}

function stopsOf({ axis, grid, carried: massOn }: StoppingMachine, question: StopQuestion, known: KnownStops): Stops {
  const { a, time, picks, near } = question;
  const oracle = axis(a);
  const pick = picks[a];
  if (pick === undefined) return { nodes: [], energies: new Float64Array(0) };
  const carried = massOn(a, picks);
  const shaft = oracle.shaft(carried, oracle.axis.inCycle ? grid : undefined);
  const count = shaft.speed.length;
  const nodes = near === undefined ? spreadNodes(count) : nodesNear(near, count);
  const key = [a, carried, pickKey(pick)].join("|");
  const before = near === undefined ? known.get(key) : undefined;
  const energies = before ?? stopsAt(oracle.axis, shaft, pick, { time, carried, nodes });
  if (near === undefined) known.set(key, energies);
  return { nodes, energies };
}

function together(stops: readonly Stops[]): Stops {
  const [first = { nodes: [], energies: new Float64Array(0) }, ...others] = stops;
  const energies = first.energies.map((energy, k) =>
    others.reduce((sum, other) => sum + (other.energies[k] ?? 0), energy),
  );
  return { nodes: first.nodes, energies };
}
