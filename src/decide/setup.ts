import { type FitParts, fitParts } from "../candidates/fit.ts";
import { entryOf } from "../faults/entry-of.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import type { Axis, Bus, Machine, Mode, Problem, Site } from "../machine/problem.ts";
import { rollFaults } from "../physics/duty/travels.ts";
import { type BusVoltage, busVoltage } from "../physics/limits/rating.ts";
import { type Cycle, cycleOf, isCycle, type MotionFault } from "../physics/motion/cycle.ts";
import { type SupplyOption, supplyOptions, UNSUPPLIED } from "./supply-options.ts";

/** A problem made ready: motions worked out, buses with their supplies, axes with the parts that fit them. */
export interface Setup {
  readonly problem: Problem;
  readonly catalogue: Catalogue;
  readonly machines: readonly MachineSetup[];
}

export interface MachineSetup {
  readonly machine: Machine;
  /** Its normal cycle, then its modes. */
  readonly runs: readonly Run[];
  readonly buses: readonly BusSetup[];
  readonly axes: readonly AxisSetup[];
}

/** A way a machine runs: its normal cycle, or one of its modes. */
export interface Run {
  /** Absent: the normal cycle. */
  readonly mode?: string;
  /** Of the operating time. */
  readonly share: number;
  /** [s] */
  readonly cycle: number;
}

/** What an axis does in one of the machine's runs. */
export interface AxisRun {
  readonly axis: Axis;
  readonly cycle: Cycle;
}

export interface BusSetup {
  readonly bus: Bus;
  readonly voltage: BusVoltage;
  readonly options: readonly SupplyOption[];
  /** Every option of the catalogues, also where only some may be picked. */
  readonly alternatives: readonly SupplyOption[];
}

export interface AxisSetup {
  readonly axis: Axis;
  readonly site: Site;
  readonly cycle: Cycle;
  /** What it does in each of the machine's runs, the normal cycle first. */
  readonly runs: readonly AxisRun[];
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
  /** Absent: in the normal cycle. */
  readonly mode?: number;
}

/** Makes a problem ready, or lists every motion that cannot be. */
export function setupOf(problem: Problem, catalogue: Catalogue): Setup | readonly PlacedMotionFault[] {
  const faults: PlacedMotionFault[] = [];
  const machines = problem.machines.map((machine, index) => {
    const buses = machine.buses.map((bus) => busSetup({ problem, catalogue, machine }, bus));
    const axes = machine.axes.flatMap((axis, a) => {
      const outcomes = axisRuns(machine, axis);
      const runs = outcomes.filter(isRun);
      if (runs.length === outcomes.length) return [axisSetup({ problem, catalogue, machine, buses }, axis, runs)];
      faults.push(...outcomes.flatMap((outcome, k) => placedFaults(outcome, { machine: index, axis: a, run: k })));
      return [];
    });
    return { machine, runs: runsOf(machine), buses, axes };
  });
  return faults.length > 0 ? faults : { problem, catalogue, machines };
}

/** True where every motion could be worked out. */
export function isSetup(outcome: Setup | readonly PlacedMotionFault[]): outcome is Setup {
  return "machines" in outcome;
}

/** The normal cycle takes what the modes leave of the time. */
function runsOf({ cycle, modes }: Machine): Run[] {
  const rest = modes.reduce((left, { share }) => left - share, 1);
  const others = modes.map(({ id, share, cycle: length }) => ({ mode: id, share, cycle: length }));
  return [{ share: Math.max(0, rest), cycle }, ...others];
}

/** An axis in each of the machine's runs, or what is wrong with its motion there. */
function axisRuns(machine: Machine, axis: Axis): (AxisRun | readonly MotionFault[])[] {
  return [runOf(axis, machine.cycle), ...machine.modes.map((mode) => runOf(axisIn(axis, mode), mode.cycle))];
}

function isRun(outcome: AxisRun | readonly MotionFault[]): outcome is AxisRun {
  return "cycle" in outcome;
}

function placedFaults(
  outcome: AxisRun | readonly MotionFault[],
  { machine, axis, run }: { machine: number; axis: number; run: number },
): PlacedMotionFault[] {
  const mode = run === 0 ? {} : { mode: run - 1 };
  return isRun(outcome) ? [] : outcome.map((fault) => ({ ...fault, machine, axis, ...mode }));
}

function runOf(axis: Axis, machineCycle: number): AxisRun | readonly MotionFault[] {
  const cycle = cycleOf(axis, machineCycle);
  if (!isCycle(cycle)) return cycle;
  const faults = rollFaults(axis, cycle);
  return faults.length > 0 ? faults : { axis, cycle };
}

/** An axis as a mode has it; not named, it stands still under its own load. */
function axisIn(axis: Axis, { cycle, axes }: Mode): Axis {
  const named = axes.get(axis.id);
  if (named !== undefined) {
    const { motion, load = axis.load, mechanism = axis.mechanism } = named;
    return { ...axis, start: 0, motion, load, mechanism };
  }
  const still = { kind: "dwell", time: cycle, force: 0, payload: 0 } as const;
  return { ...standing(axis), start: 0, inCycle: true, motion: [still] };
}

/** A measured shaft that stands holds what it held in its last row. */
function standing(axis: Axis): Axis {
  if (axis.mechanism.kind !== "measured") return axis;
  const held = axis.mechanism.torque.values.at(-1) ?? 0;
  return { ...axis, mechanism: { ...axis.mechanism, torque: { times: [0], values: [held] } } };
}

/** A bus from which no axis draws gets no supply. */
function busSetup({ problem, catalogue, machine }: Omit<Around, "buses">, bus: Bus): BusSetup {
  const voltage = busVoltage(bus, problem.site);
  const isUsed = machine.axes.some((axis) => axis.bus === bus.id);
  const options = isUsed ? supplyOptions(problem, catalogue, bus) : [UNSUPPLIED];
  return { bus, voltage, options, alternatives: options };
}

interface Around {
  readonly problem: Problem;
  readonly catalogue: Catalogue;
  readonly machine: Machine;
  readonly buses: readonly BusSetup[];
}

function axisSetup({ problem, catalogue, machine, buses }: Around, axis: Axis, runs: readonly AxisRun[]): AxisSetup {
  const bus = Math.max(
    0,
    machine.buses.findIndex(({ id }) => id === axis.bus),
  );
  const voltage = buses[bus]?.voltage ?? { low: 0, high: 0 };
  return {
    axis,
    site: problem.site,
    cycle: entryOf(runs, 0).cycle,
    runs,
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
