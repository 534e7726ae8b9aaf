import type { Catalogue } from "../machine/catalogue.ts";
import type { LimitId } from "../machine/limit.ts";
import type { Bus, Machine, Problem } from "../machine/problem.ts";
import { type BusPick, type MachinePick, modulesOn, pickKey, ridersOf, ridingMass } from "./answer.ts";
import { type AxisOracle, axisOracle } from "./axis-oracle.ts";
import { type BusVerdict, busVerdict } from "./bus-limits.ts";
import { type BusLoad, busLoad, type PickPower, powerSum } from "./bus-load.ts";
import { type KnownStops, worstStop } from "./bus-stop.ts";
import { type AxisPick, busVoltage, type Check, type PickVerdict } from "./evaluate-pick.ts";
import { moneyOf, type OrderMoney } from "./money.ts";
import { type Grid, gridOf } from "./motion.ts";
import { inMode, mostModes, type OracleRun, overRuns } from "./runs.ts";

/** What the oracle says of a whole answer. */
export interface OrderVerdict {
  readonly feasible: boolean;
  /** Distance to 1 of the utilisation nearest to 1, of all limits that depend on the motion. */
  readonly closeness: number;
  readonly total: number;
  readonly money: OrderMoney;
  readonly failed: readonly string[];
  /** By machine and axis. */
  readonly axes: readonly (readonly PickVerdict[])[];
  readonly buses: readonly (readonly Check[])[];
}

type AxisPicks = readonly AxisPick[];

/**
 * Judges whole answers by stepping through the machine cycle and the cycles of its modes. Machines, axes and buses go by
 * their index.
 */
export interface OrderOracle {
  readonly problem: Problem;
  readonly catalogue: Catalogue;
  /** The runs of a machine, the normal cycle first, each judged by itself. */
  readonly runs: (m: number) => readonly OracleRun[];
  /** In the normal cycle. */
  readonly axis: (m: number, a: number) => AxisOracle;
  /** Nodes of the normal cycle. */
  readonly grid: (m: number) => Grid;
  /** Mass of motors and gearboxes of the axes that ride on an axis [kg]. */
  readonly carried: (m: number, a: number, picks: readonly (AxisPick | undefined)[]) => number;
  readonly judge: (m: number, a: number, pick: AxisPick, carried: number) => PickVerdict;
  /** The same without looking whether the parts fit. */
  readonly simulate: (m: number, a: number, pick: AxisPick, carried: number) => PickVerdict;
  /** Mean power of a pick at the bus over all runs, without the fixed loss of its drive [W]. */
  readonly meanPower: (m: number, a: number, pick: AxisPick, carried: number) => number;
  /** Power of a pick at the bus in the normal cycle, without the fixed loss of its drive [W]. */
  readonly power: (m: number, a: number, pick: AxisPick, carried: number) => PickPower;
  readonly load: (m: number, bus: Bus, axes: AxisPicks) => BusLoad;
  /** Largest and mean power that a bus takes and gives back under some picks [W]. */
  readonly figures: (
    m: number,
    bus: Bus,
    axes: AxisPicks,
  ) => { peak: number; mean: number; back: number; backMean: number };
  /** Mean supply input that is paid for [W]. */
  readonly input: (m: number, bus: Bus, axes: AxisPicks, option: BusPick) => number;
  /** Of two ways to brake without a resistor the one with a limit of the wanted name, else the roomier. */
  readonly busLimits: (m: number, bus: Bus, axes: AxisPicks, option: BusPick, wanted?: LimitId) => BusVerdict;
  /** Money with given mean inputs by machine [W]. */
  readonly money: (answer: readonly MachinePick[], inputs: readonly number[]) => OrderMoney;
  readonly evaluate: (answer: readonly MachinePick[]) => OrderVerdict;
}

const byPick = (m: number, a: number, pick: AxisPick, mass: number): string => [m, a, mass, pickKey(pick)].join("|");
const byPicks = (m: number, bus: Bus, picks: AxisPicks): string => [m, bus.id, ...picks.map(pickKey)].join("\n");

/** Steps of a machine cycle: at least so many between two borders of any motion, and so many in all. */
export interface CycleSteps {
  readonly least: number;
  readonly whole: number;
}

/**
 * @param steps - least sub-steps of each law piece
 * @param cycle - steps of the machine cycle; absent: a tenth of `steps` between two borders, five times it in all
 */
export function orderOracle(
  problem: Problem,
  catalogue: Catalogue,
  steps = 400,
  cycle: CycleSteps = { least: Math.max(20, steps / 10), whole: steps * 5 },
): OrderOracle {
  const normal = normalOracle(problem, catalogue, steps, cycle);
  const count = mostModes(problem);
  if (count === 0) return normal;
  const others = Array.from({ length: count }, (_, k) => normalOracle(inMode(problem, k), catalogue, steps, cycle));
  const parts = { ...normal, ...overRuns(problem, [normal, ...others]) };
  return { ...parts, evaluate: (answer) => verdictOf(parts, answer) };
}

/** The oracle of the machines' normal cycles alone. */
function normalOracle(problem: Problem, catalogue: Catalogue, steps: number, cycle: CycleSteps): OrderOracle {
  const axes = problem.machines.map((machine) => machine.axes.map((axis) => axisOracle(problem, machine, axis, steps)));
  const grids = problem.machines.map((machine, m) => gridOfMachine(machine, axes[m] ?? [], cycle));
  const axisAt: OrderOracle["axis"] = (m, a) => there(axes[m]?.[a], `axis ${a} in machine ${m}`);
  const gridAt: OrderOracle["grid"] = (m) => there(grids[m], `machine ${m}`);
  const machineAt = (m: number): Machine => there(problem.machines[m], `machine ${m}`);

  const carriedBy: OrderOracle["carried"] = (m, a, picks) => carriedMass(machineAt(m), a, picks);
  const judgeAt = kept(byPick, (m, a, pick, mass) => axisAt(m, a).judge(pick, mass));
  const powerAt = kept(byPick, (m, a, pick, mass) => powerOf(axisAt(m, a), pick, mass, gridAt(m)));
  const stops = problem.machines.map((): KnownStops => new Map());
  const load = kept(
    byPicks,
    (m, bus, picks) => {
      const on = picksOn(machineAt(m), bus, picks);
      const powers = on.map(({ a, pick }) => powerAt(m, a, pick, carriedBy(m, a, picks)));
      const carries = busLoad(gridAt(m), modulesOn(machineAt(m), bus, picks), powers);
      const carried = (a: number, riding: AxisPicks): number => carriedBy(m, a, riding);
      const own = { machine: machineAt(m), grid: gridAt(m), axis: (a: number) => axisAt(m, a), carried };
      return withStop(carries, own.machine, worstStop(own, bus, picks, there(stops[m], `machine ${m}`)));
    },
    MOST_LOADS,
  );
  const parts = {
    problem,
    catalogue,
    axis: axisAt,
    grid: gridAt,
    carried: carriedBy,
    judge: judgeAt,
    simulate: (m: number, a: number, pick: AxisPick, mass: number) => axisAt(m, a).simulate(pick, mass),
    meanPower: (m: number, a: number, pick: AxisPick, mass: number) => powerAt(m, a, pick, mass).mean,
    power: powerAt,
    load,
    ...busFiguresOf(problem, load),
    money: (answer: readonly MachinePick[], inputs: readonly number[]) => moneyOf(problem, answer, inputs),
  };
  return alone(parts);
}

/** An oracle that knows one run only. */
function alone(parts: Omit<OrderOracle, "runs" | "evaluate">): OrderOracle {
  const oracle: OrderOracle = {
    ...parts,
    runs: () => [{ oracle }],
    evaluate: (answer) => verdictOf(oracle, answer),
  };
  return oracle;
}

/** A bus with its worst emergency stop, fixed losses of the drives taken off. */
function withStop(load: BusLoad, { emergencyStopTime: time = 0 }: Machine, energy: number | undefined): BusLoad {
  const fixed = load.drives.reduce((sum, { fixedLoss }) => sum + fixedLoss, 0);
  return energy === undefined ? load : { ...load, stop: energy - fixed * time };
}

function there<T>(value: T | undefined, what: string): T {
  if (value === undefined) throw new RangeError(`no ${what}`);
  return value;
}

function gridOfMachine(machine: Machine, axes: readonly AxisOracle[], { least, whole }: CycleSteps): Grid {
  const inside = axes.filter(({ axis }) => axis.inCycle).map(({ motion }) => motion);
  return gridOf(inside, machine.cycle, least, whole);
}

/** The axes of a bus with their picks. */
function picksOn({ axes }: Machine, bus: Bus, picks: AxisPicks): { a: number; pick: AxisPick }[] {
  return picks.flatMap((pick, a) => (axes[a]?.bus === bus.id ? [{ a, pick }] : []));
}

/** A function that keeps what it has worked out, by a key; at most so many, then it forgets them. */
function kept<Args extends readonly unknown[], T>(
  key: (...args: Args) => string,
  make: (...args: Args) => T,
  most = Infinity,
): (...args: Args) => T {
  const known = new Map<string, T>();
  return (...args) => {
    const name = key(...args);
    const found = known.get(name);
    if (found !== undefined) return found;
    const made = make(...args);
    if (known.size > most) known.clear();
    known.set(name, made);
    return made;
  };
}

/** Loads hold a long list each. */
const MOST_LOADS = 4000;

function carriedMass(machine: Machine, a: number, picks: readonly (AxisPick | undefined)[]): number {
  const riders = ridersOf(machine, a).toSorted((x, y) => x - y);
  return riders.reduce((sum, k) => {
    const pick = picks[k];
    return pick === undefined ? sum : sum + ridingMass(pick);
  }, 0);
}

function powerOf(oracle: AxisOracle, pick: AxisPick, carried: number, cycle: Grid): PickPower {
  const { inCycle } = oracle.axis;
  const grid = inCycle ? cycle : oracle.shaft(carried).sampled.grid;
  const along = oracle.power(pick, carried, grid);
  const { most, least, mean } = powerSum(along, 0, grid);
  return { along: inCycle ? along : null, most, least, mean };
}

function busFiguresOf(
  { site, machines }: Problem,
  load: OrderOracle["load"],
): Pick<OrderOracle, "figures" | "input" | "busLimits"> {
  return {
    busLimits: (m, bus, axes, option, wanted) => {
      if (option.supply === null) return { checks: [], clash: false };
      const margin = 1 + (machines[m]?.powerMargin ?? 0);
      return busVerdict(load(m, bus, axes), option, { site, ...busVoltage(site, bus), margin }, wanted);
    },
    figures: (m, bus, axes) => {
      const { drawn, braked } = load(m, bus, axes);
      return { peak: drawn.most, mean: drawn.taken, back: -Math.min(0, braked.least), backMean: braked.given };
    },
    input: (m, bus, axes, { supply }) => {
      const { billed } = load(m, bus, axes);
      return supply?.feedsBack === true ? billed.mean : billed.taken;
    },
  };
}

/** Everything the oracle can say of an answer, and what fails. */
function verdictOf(oracle: Omit<OrderOracle, "evaluate">, answer: readonly MachinePick[]): OrderVerdict {
  const axes = answer.map(({ axes: picks }, m) =>
    picks.map((pick, a) => oracle.judge(m, a, pick, oracle.carried(m, a, picks))),
  );
  const buses = answer.flatMap((own, m) => busesOf(oracle, m, own));
  const inputs = answer.map((own, m) => inputOf(oracle, m, own));
  const money = oracle.money(answer, inputs);
  const checks = buses.map((bus) => bus.checks);
  const failed = [...axes.flat().flatMap(failuresOf), ...buses.flatMap(busFailures), ...money.failed];
  const near = [...axes.flat().map(({ limits }) => limits), ...checks].flat();
  return {
    feasible: failed.length === 0,
    closeness: near.reduce((least, { utilisation: u }) => Math.min(least, Math.abs((u ?? Infinity) - 1)), Infinity),
    total: money.total,
    money,
    failed,
    axes,
    buses: checks,
  };
}

function failuresOf({ unfit, limits, unchecked }: PickVerdict): string[] {
  const bad = [...limits, ...unchecked].filter(({ passes }) => !passes).map(({ id }) => id);
  return unfit === null ? bad : [unfit, ...bad];
}

function busFailures({ checks, clash }: BusVerdict): string[] {
  return [...checks.filter(({ passes }) => !passes).map(({ id }) => id), ...(clash ? ["bus_family"] : [])];
}

function busesOf({ problem, busLimits }: Omit<OrderOracle, "evaluate">, m: number, own: MachinePick): BusVerdict[] {
  return (problem.machines[m]?.buses ?? []).flatMap((bus, b) => {
    const option = own.buses[b];
    return option === undefined ? [] : [busLimits(m, bus, own.axes, option)];
  });
}

/** Mean supply input of a machine that is paid for [W]. */
function inputOf({ problem, input }: Omit<OrderOracle, "evaluate">, m: number, own: MachinePick): number {
  return (problem.machines[m]?.buses ?? []).reduce((sum, bus, b) => {
    const option = own.buses[b];
    return option === undefined ? sum : sum + input(m, bus, own.axes, option);
  }, 0);
}
