import type { Catalogue, Drive, Supply } from "../../src/machine/catalogue.ts";
import type { LimitId } from "../../src/machine/limit.ts";
import type { Bus, Problem } from "../../src/machine/problem.ts";
import { type BusPick, type MachinePick, modulesOn, pickKey, ridersOf, ridingMass } from "./answer.ts";
import {
  AxisOracle,
  type AxisPick,
  busVoltage,
  type Check,
  cabinetFactor,
  check,
  type PickVerdict,
} from "./evaluate-pick.ts";
import { fullest, type HeatSteps } from "./heat.ts";
import { moneyOf, type OrderMoney } from "./money.ts";
import { type Grid, gridOf } from "./motion.ts";
import { largestAt, nodesNear, spreadNodes, stopsAt } from "./stop.ts";

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

/** Extremes and means of one sum of powers over the cycle [W, J]. */
interface PowerSum {
  readonly most: number;
  readonly least: number;
  readonly mean: number;
  readonly taken: number;
  readonly given: number;
  /** Largest energy given back over any window; Infinity where a whole cycle gives back. */
  readonly window: number;
}

/** Power of one pick: along the machine cycle, or as three figures where it has a period of its own. */
interface PickPower {
  readonly along: Float64Array | null;
  readonly most: number;
  readonly least: number;
  readonly mean: number;
}

/** Sums of a bus; they differ in how axes outside the cycle count. */
interface BusLoad {
  readonly drawn: PowerSum;
  readonly braked: PowerSum;
  readonly billed: PowerSum;
  readonly drives: readonly Drive[];
  /** Squares of the power, of what is taken alone and both ways. */
  /** Energy of the worst emergency stop [J]. */
  readonly stop: number;
  readonly squares: { readonly taken: HeatSteps; readonly both: HeatSteps };
}

function squaresOf(values: Float64Array, offset: number, { time }: Grid): BusLoad["squares"] {
  const both = { time, heat: values.map((p) => (p + offset) ** 2) };
  return { both, taken: { time, heat: values.map((p) => Math.max(0, p + offset) ** 2) } };
}

function powerSum(values: Float64Array, offset: number, grid: Grid): PowerSum {
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

/**
 * Overload of a supply by the square of its power; it gives its peak power for just its peak time from cold. Nothing where
 * the power never exceeds the continuous one.
 */
function overloadOf(
  { drawn, squares }: BusLoad,
  { peakTime, peakPower, continuousPower, feedsBack }: Supply,
  share: number,
): Check[] {
  const most = feedsBack ? Math.max(drawn.most, -drawn.least) : drawn.most;
  if (peakPower <= continuousPower || (most * share) / continuousPower <= 1 || peakTime === undefined) return [];
  const tau = -peakTime / Math.log(1 - (continuousPower / peakPower) ** 2);
  const full = (continuousPower / share) ** 2;
  return [row("supply.overload", fullest(feedsBack ? squares.both : squares.taken, tau) / full, 1)];
}

const row = (id: LimitId, demand: number, allowed: number): Check => check(id, Math.max(0, demand), allowed, undefined);
const worst = (checks: readonly Check[]): number =>
  Math.max(...checks.map(({ utilisation }) => utilisation ?? Infinity));

/** Judges whole answers by stepping through the machine cycle. */
export class OrderOracle {
  readonly problem: Problem;
  readonly catalogue: Catalogue;
  private readonly axes: readonly (readonly AxisOracle[])[];
  private readonly grids: readonly Grid[];
  private readonly verdicts = new Map<string, PickVerdict>();
  private readonly powers = new Map<string, PickPower>();
  private readonly stops = new Map<string, Float64Array>();
  private readonly loads = new Map<string, BusLoad>();

  /** @param steps - least sub-steps of each law piece, and a tenth of it between two borders of the common grid */
  constructor(problem: Problem, catalogue: Catalogue, steps = 400) {
    this.problem = problem;
    this.catalogue = catalogue;
    this.axes = problem.machines.map((machine) =>
      machine.axes.map((axis) => new AxisOracle(problem, machine, axis, steps)),
    );
    this.grids = problem.machines.map((machine, m) => {
      const inside = (this.axes[m] ?? []).filter(({ axis }) => axis.inCycle);
      return gridOf(
        inside.map(({ motion }) => motion),
        machine.cycle,
        Math.max(20, steps / 10),
        steps * 5,
      );
    });
  }

  private axis(m: number, a: number): AxisOracle {
    const found = this.axes[m]?.[a];
    if (found === undefined) throw new RangeError(`no axis ${a} in machine ${m}`);
    return found;
  }

  /** Mass of motors and gearboxes of the axes that ride on an axis [kg]. */
  carried(m: number, a: number, picks: readonly (AxisPick | undefined)[]): number {
    const machine = this.problem.machines[m];
    const riders = machine === undefined ? [] : ridersOf(machine, a).toSorted((x, y) => x - y);
    return riders.reduce((sum, k) => {
      const pick = picks[k];
      return pick === undefined ? sum : sum + ridingMass(pick);
    }, 0);
  }

  judge(m: number, a: number, pick: AxisPick, carried: number): PickVerdict {
    const key = [m, a, carried, pickKey(pick)].join("|");
    const known = this.verdicts.get(key);
    if (known !== undefined) return known;
    const made = this.axis(m, a).judge(pick, carried);
    this.verdicts.set(key, made);
    return made;
  }

  /** Power of a pick at the bus, without the fixed loss of its drive. */
  power(m: number, a: number, pick: AxisPick, carried: number): PickPower {
    const key = [m, a, carried, pickKey(pick)].join("|");
    const known = this.powers.get(key);
    if (known !== undefined) return known;
    const oracle = this.axis(m, a);
    const grid = oracle.axis.inCycle ? this.grids[m] : oracle.shaft(carried).sampled.grid;
    if (grid === undefined) throw new RangeError(`no machine ${m}`);
    const along = oracle.power(pick, carried, grid);
    const { most, least, mean } = powerSum(along, 0, grid);
    const made = { along: oracle.axis.inCycle ? along : null, most, least, mean };
    this.powers.set(key, made);
    return made;
  }

  /** Energies of stops of one axis at some nodes; those spread over the period are kept. */
  private stopsOf(
    m: number,
    a: number,
    axes: readonly AxisPick[],
    near?: number,
  ): { nodes: number[]; energies: Float64Array } {
    const [machine, pick] = [this.problem.machines[m], axes[a]];
    const axis = machine?.axes[a];
    const time = machine?.emergencyStopTime;
    if (axis === undefined || pick === undefined || time === undefined) throw new RangeError(`no stop of axis ${a}`);
    const carried = this.carried(m, a, axes);
    const shaft = this.axis(m, a).shaft(carried, axis.inCycle ? this.grids[m] : undefined);
    const count = shaft.speed.length;
    const nodes = near === undefined ? spreadNodes(count) : nodesNear(near, count);
    const key = ["stop", m, a, carried, pickKey(pick)].join("|");
    const known = near === undefined ? this.stops.get(key) : undefined;
    const energies = known ?? stopsAt(axis, shaft, pick, { time, carried, nodes });
    if (near === undefined) this.stops.set(key, energies);
    return { nodes, energies };
  }

  /** All axes of a bus stop at once at the worst instant; axes outside the cycle count with their own worst. */
  private worstStop(m: number, bus: Bus, axes: readonly AxisPick[]): number {
    const machine = this.problem.machines[m];
    if (machine?.emergencyStopTime === undefined) return 0;
    const own = machine.axes.flatMap((axis, a) => (axis.bus === bus.id ? [{ a, inCycle: axis.inCycle }] : []));
    const largest = (members: readonly number[]): number => {
      if (members.length === 0) return 0;
      const sums = (near?: number): { nodes: number[]; energies: Float64Array } =>
        members
          .map((a) => this.stopsOf(m, a, axes, near))
          .reduce((all, one) => ({ ...all, energies: all.energies.map((sum, k) => sum + (one.energies[k] ?? 0)) }));
      const coarse = sums();
      return Math.max(...sums(coarse.nodes[largestAt(coarse.energies)] ?? 0).energies);
    };
    const outside = own.filter(({ inCycle }) => !inCycle).map(({ a }) => Math.max(0, largest([a])));
    return largest(own.filter(({ inCycle }) => inCycle).map(({ a }) => a)) + outside.reduce((sum, one) => sum + one, 0);
  }

  private load(m: number, bus: Bus, axes: readonly AxisPick[]): BusLoad {
    const machine = this.problem.machines[m];
    const grid = this.grids[m];
    if (machine === undefined || grid === undefined) throw new RangeError(`no machine ${m}`);
    const key = [m, bus.id, ...axes.map(pickKey)].join("\n");
    const known = this.loads.get(key);
    if (known !== undefined) return known;
    const drives = modulesOn(machine, bus, axes);
    const fixed = drives.reduce((sum, { fixedLoss }) => sum + fixedLoss, 0);
    const total = new Float64Array(grid.time.length);
    const outside = { most: 0, least: 0, mean: 0 };
    for (const [a, pick] of axes.entries()) {
      if (machine.axes[a]?.bus !== bus.id) continue;
      const { along, most, least, mean } = this.power(m, a, pick, this.carried(m, a, axes));
      if (along === null) {
        outside.most += Math.max(0, most);
        outside.least += Math.min(0, least);
        outside.mean += mean;
      } else for (let k = 0; k < total.length; k++) total[k] = (total[k] ?? 0) + (along[k] ?? 0);
    }
    const drawn = powerSum(total, fixed + outside.most, grid);
    const allInside = outside.most === 0 && outside.least === 0 && outside.mean === 0;
    const made = {
      drawn,
      braked: allInside ? drawn : powerSum(total, fixed + outside.least, grid),
      billed: allInside ? drawn : powerSum(total, fixed + outside.mean, grid),
      drives,
      squares: squaresOf(total, fixed + outside.most, grid),
      stop: this.worstStop(m, bus, axes) - fixed * (machine.emergencyStopTime ?? 0),
    };
    if (this.loads.size > 4000) this.loads.clear();
    this.loads.set(key, made);
    return made;
  }

  /** Largest and mean power that a bus takes and gives back under some picks [W]. */
  figures(
    m: number,
    bus: Bus,
    axes: readonly AxisPick[],
  ): { peak: number; mean: number; back: number; backMean: number } {
    const { drawn, braked } = this.load(m, bus, axes);
    return { peak: drawn.most, mean: drawn.taken, back: -Math.min(0, braked.least), backMean: braked.given };
  }

  /** Mean supply input that is paid for [W]. */
  input(m: number, bus: Bus, axes: readonly AxisPick[], { supply }: BusPick): number {
    const { billed } = this.load(m, bus, axes);
    return supply?.feedsBack === true ? billed.mean : billed.taken;
  }

  /** Limits of a bus; of braking without a resistor the way that leaves more room. */
  busLimits(
    m: number,
    bus: Bus,
    axes: readonly AxisPick[],
    { supply, resistor }: BusPick,
  ): { checks: Check[]; clash: boolean } {
    if (supply === null) return { checks: [], clash: false };
    const { site } = this.problem;
    const load = this.load(m, bus, axes);
    const margin = 1 + (this.problem.machines[m]?.powerMargin ?? 0);
    const { high } = busVoltage(site, bus);
    const { drawn, braked, drives } = load;
    const chopper = supply.chopperVoltage ?? 0;
    const peak = supply.feedsBack ? Math.max(drawn.most, -drawn.least) : drawn.most;
    const checks = [
      row("supply.peak_power", peak * margin, supply.peakPower),
      row(
        "supply.continuous_power",
        (supply.feedsBack ? drawn.mean : drawn.taken) * margin,
        supply.continuousPower * cabinetFactor(site),
      ),
      row(
        "drive.bus_voltage",
        Math.max(high, braked.least < 0 ? chopper : 0),
        Math.min(...drives.map(({ busMax }) => busMax)),
      ),
    ];
    checks.push(...overloadOf(load, supply, margin / cabinetFactor(site)));
    const capacitance = drives.reduce((sum, drive) => sum + drive.capacitance, 0);
    if (supply.maxCapacitance !== undefined) checks.push(row("supply.capacitance", capacitance, supply.maxCapacitance));
    const asked = this.problem.machines[m]?.emergencyStopTime !== undefined;
    const room = Math.max(
      0,
      ((supply.capacitance + capacitance) * ((supply.chopperVoltage ?? high) ** 2 - high ** 2)) / 2,
    );
    const left = Math.max(0, Math.max(0, load.stop) * margin - room);
    if (asked && !supply.feedsBack) checks.push(row("resistor.stop_energy", left, resistor?.pulseEnergy ?? 0));
    const resistorRows = (most: number, continuous: number): Check[] => [
      row("resistor.peak_power", -braked.least * margin, most),
      row("resistor.continuous_power", braked.given * margin, continuous * cabinetFactor(site)),
    ];
    if (resistor !== null) {
      checks.push(
        ...resistorRows(Math.min(resistor.peakPower, chopper ** 2 / resistor.resistance), resistor.continuousPower),
      );
    } else if (!supply.feedsBack) {
      const ways = [[row("supply.regeneration", braked.window * margin, room)]];
      const { internalResistorPeak: most, internalResistorContinuous: mean } = supply;
      if (most !== undefined && mean !== undefined) ways.push(resistorRows(most, mean));
      const passing = ways.filter((way) => way.every(({ passes }) => passes));
      const candidates = passing.length > 0 ? passing : ways;
      checks.push(...(candidates.toSorted((x, y) => worst(x) - worst(y))[0] ?? []));
    }
    const clash = drives.some(
      ({ busFamily }) => busFamily !== undefined && supply.busFamily !== undefined && busFamily !== supply.busFamily,
    );
    return { checks, clash };
  }

  /** Money with given mean inputs by machine [W]. */
  money(answer: readonly MachinePick[], inputs: readonly number[]): OrderMoney {
    return moneyOf(this.problem, answer, inputs);
  }

  evaluate(answer: readonly MachinePick[]): OrderVerdict {
    const { machines } = this.problem;
    const axes = answer.map(({ axes: picks }, m) =>
      picks.map((pick, a) => this.judge(m, a, pick, this.carried(m, a, picks))),
    );
    const failed = axes
      .flat()
      .flatMap((verdict) => [
        ...(verdict.unfit === null ? [] : [verdict.unfit]),
        ...verdict.limits.filter(({ passes }) => !passes).map(({ id }) => id),
        ...verdict.unchecked.filter(({ passes }) => !passes).map(({ id }) => id),
      ]);
    const inputs = answer.map(() => 0);
    const buses: Check[][] = [];
    for (const [m, machine] of machines.entries()) {
      const own = answer[m];
      for (const [b, bus] of machine.buses.entries()) {
        const option = own?.buses[b];
        if (own === undefined || option === undefined) continue;
        const { checks, clash } = this.busLimits(m, bus, own.axes, option);
        buses.push(checks);
        failed.push(...checks.filter(({ passes }) => !passes).map(({ id }) => id), ...(clash ? ["bus_family"] : []));
        inputs[m] = (inputs[m] ?? 0) + this.input(m, bus, own.axes, option);
      }
    }
    const money = this.money(answer, inputs);
    failed.push(...money.failed);
    const near = [...axes.flat().map(({ limits }) => limits), ...buses].flat();
    return {
      feasible: failed.length === 0,
      closeness: near.reduce(
        (least, { utilisation }) => Math.min(least, Math.abs((utilisation ?? Infinity) - 1)),
        Infinity,
      ),
      total: money.total,
      money,
      failed,
      axes,
      buses,
    };
  }
}
