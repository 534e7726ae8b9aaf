import { type FitParts, fitParts } from "../candidates/fit.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import type { Axis, Bus, Machine, Problem, Site } from "../machine/problem.ts";
import { rollFaults } from "../physics/duty/travels.ts";
import { type BusVoltage, busVoltage } from "../physics/limits/rating.ts";
import { type Cycle, cycleOf, isCycle, type MotionFault } from "../physics/motion/cycle.ts";
import { type SupplyOption, supplyOptions } from "./supply-options.ts";

/** A problem made ready: motions worked out, buses with their supplies, axes with the parts that fit them. */
export interface Setup {
  readonly problem: Problem;
  readonly catalogue: Catalogue;
  readonly machines: readonly MachineSetup[];
}

export interface MachineSetup {
  readonly machine: Machine;
  readonly buses: readonly BusSetup[];
  readonly axes: readonly AxisSetup[];
}

export interface BusSetup {
  readonly bus: Bus;
  readonly voltage: BusVoltage;
  readonly options: readonly SupplyOption[];
}

export interface AxisSetup {
  readonly axis: Axis;
  readonly site: Site;
  readonly cycle: Cycle;
  /** Index of its bus in the machine. */
  readonly bus: number;
  readonly voltage: BusVoltage;
  readonly fit: FitParts;
  /** Indices of the axes that ride on it, directly or on one another. */
  readonly riders: readonly number[];
  /** It picks together with other axes. */
  readonly isShared: boolean;
}

/** A motion that cannot be, and where it stands in the problem. */
export interface PlacedMotionFault extends MotionFault {
  readonly machine: number;
  readonly axis: number;
}

/** Makes a problem ready, or lists every motion that cannot be. */
export function setupOf(problem: Problem, catalogue: Catalogue): Setup | readonly PlacedMotionFault[] {
  const faults: PlacedMotionFault[] = [];
  const machines = problem.machines.map((machine, index) => {
    const buses = machine.buses.map((bus) => busSetup(problem, catalogue, bus));
    const axes = machine.axes.flatMap((axis, a) => {
      const cycle = cycleOf(axis, machine.cycle);
      const wrong = isCycle(cycle) ? rollFaults(axis, cycle) : cycle;
      if (isCycle(cycle) && wrong.length === 0) return [axisSetup({ problem, catalogue, machine, buses }, axis, cycle)];
      faults.push(...wrong.map((fault) => ({ ...fault, machine: index, axis: a })));
      return [];
    });
    return { machine, buses, axes };
  });
  return faults.length > 0 ? faults : { problem, catalogue, machines };
}

/** True where every motion could be worked out. */
export function isSetup(outcome: Setup | readonly PlacedMotionFault[]): outcome is Setup {
  return "machines" in outcome;
}

function busSetup(problem: Problem, catalogue: Catalogue, bus: Bus): BusSetup {
  const voltage = busVoltage(bus, problem.site);
  return { bus, voltage, options: supplyOptions(problem, catalogue, bus) };
}

interface Around {
  readonly problem: Problem;
  readonly catalogue: Catalogue;
  readonly machine: Machine;
  readonly buses: readonly BusSetup[];
}

function axisSetup({ problem, catalogue, machine, buses }: Around, axis: Axis, cycle: Cycle): AxisSetup {
  const bus = Math.max(
    0,
    machine.buses.findIndex(({ id }) => id === axis.bus),
  );
  const voltage = buses[bus]?.voltage ?? { low: 0, high: 0 };
  return {
    axis,
    site: problem.site,
    cycle,
    bus,
    voltage,
    fit: fitParts(problem, axis, { catalogue, bus: voltage }),
    isShared: machine.samePick.some((ids) => ids.length > 1 && ids.includes(axis.id)),
    riders: machine.axes.flatMap((other, index) => (ridesOn(machine, other, axis) ? [index] : [])),
  };
}

function ridesOn(machine: Machine, rider: Axis, carrier: Axis): boolean {
  let on = rider.carriedBy;
  for (let step = 0; on !== undefined && step <= machine.axes.length; step++) {
    if (on === carrier.id) return true;
    on = machine.axes.find(({ id }) => id === on)?.carriedBy;
  }
  return false;
}

/** Axis indices of a machine, riders before what carries them. */
export function ridersFirst({ axes }: MachineSetup): number[] {
  return axes
    .map((_, index) => index)
    .toSorted((a, b) => (axes[a]?.riders.length ?? 0) - (axes[b]?.riders.length ?? 0) || a - b);
}
