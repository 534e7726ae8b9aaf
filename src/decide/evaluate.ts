import type { Drive } from "../machine/catalogue.ts";
import { type Duty, dutyOf } from "../physics/duty/duty.ts";
import { stopStretches } from "../physics/duty/stops.ts";
import { judgePick, type PickJudgement } from "../physics/limits/judge-pick.ts";
import { type PickDuty, pickDuty } from "../physics/limits/pick-duty.ts";
import { type BusLoad, loadSum, meanOfSign, meanPower, raised } from "../physics/power/bus-power.ts";
import { extremes, meanFigures } from "../physics/power/coefficients.ts";
import { type PairPower, pairPower } from "../physics/power/pair-power.ts";
import { type StopPiece, stopPieces } from "../physics/power/stop-energy.ts";
import { type MachineAnswer, type OrderAnswer, ridingMass } from "./answer.ts";
import { type BusDemand, type BusJudgement, checkBus } from "./bus-check.ts";
import { type ModuleAnswer, modulesOf } from "./modules.ts";
import { type OrderMoney, orderMoney } from "./money.ts";
import type { AxisSetup, MachineSetup, Setup } from "./setup.ts";
import { busStop } from "./stop-limit.ts";

/** An answer worked out exactly, with true carried masses: what the result document says of it. */
export interface EvaluatedOrder {
  readonly machines: readonly EvaluatedMachine[];
  readonly money: OrderMoney;
}

export interface EvaluatedMachine {
  readonly axes: readonly EvaluatedAxis[];
  readonly buses: readonly EvaluatedBus[];
  readonly modules: readonly ModuleAnswer[];
}

export interface EvaluatedAxis {
  /** Identifies axis, parts and carried mass. */
  readonly key: string;
  readonly pick: PickDuty;
  readonly power: PairPower;
  /** Motor and gearbox of the axes it carries [kg]. */
  readonly carried: number;
  /** Its emergency stops, where the machine asks for them. */
  readonly stops: readonly StopPiece[];
  readonly judgement: PickJudgement;
}

export interface EvaluatedBus {
  readonly demand: BusDemand;
  readonly judgement: BusJudgement;
  /** Mean supply input, energy that is paid for [W]. */
  readonly input: number;
}

/** Works answers out; keeps what it has worked out of single axes, so that a changed answer costs what changed. */
export interface Evaluator {
  readonly evaluate: (answer: OrderAnswer) => EvaluatedOrder;
  readonly axis: (machine: number, axis: number, answer: MachineAnswer) => EvaluatedAxis;
  readonly duty: (machine: number, axis: number, carried: number) => Duty;
}

/** An evaluator for a problem. */
export function evaluatorOf(setup: Setup): Evaluator {
  const duties = new Map<string, Duty>();
  const axes = new Map<string, EvaluatedAxis>();
  const duty: Evaluator["duty"] = (machine, axis, carried) =>
    remembered(duties, `${machine} ${axis} ${carried}`, () => {
      const { axis: spec, cycle } = axisAt(setup, machine, axis);
      return dutyOf(spec, cycle, { low: carried, high: carried });
    });
  const evaluateAxis: Evaluator["axis"] = (machine, index, answer) => {
    const parts = answer.axes[index];
    if (parts === undefined) throw new RangeError(`no pick for axis ${index}`);
    const carried = carriedMass(axisAt(setup, machine, index), answer);
    const { motor, gearbox, drive, inductor } = parts;
    const key = [
      machine,
      index,
      carried,
      ...[motor, gearbox, drive, inductor].map((p) => `${p?.maker} ${p?.part}`),
    ].join("|");
    return remembered(axes, key, () => {
      const around = axisAt(setup, machine, index);
      const pick = pickDuty(duty(machine, index, carried), parts, { site: around.site, bus: around.voltage });
      const stops = stopsOf(pick, around, { carried, time: setup.machines[machine]?.machine.emergencyStopTime });
      return { key, pick, power: pairPower(pick), carried, stops, judgement: judgePick(pick) };
    });
  };
  const demand = demandsOf(setup);
  const evaluate = (answer: OrderAnswer): EvaluatedOrder => {
    const machines = setup.machines.map((machine, m) =>
      evaluateMachine(setup, { machine, index: m, evaluateAxis, demand }, answer),
    );
    return { machines, money: orderMoney(setup, answer, machines) };
  };
  return { evaluate, axis: evaluateAxis, duty };
}

/** Emergency stops of an axis, where its machine asks for them. */
function stopsOf(
  pick: PickDuty,
  { axis, cycle }: AxisSetup,
  { carried, time }: { carried: number; time: number | undefined },
): readonly StopPiece[] {
  return time === undefined ? [] : stopPieces(pick, stopStretches({ axis, carried, time }, cycle), time);
}

/** What buses have to carry, kept by machine, bus and axes. */
function demandsOf(setup: Setup): MachineContext["demand"] {
  const demands = new Map<string, BusDemand>();
  return (machine, bus, { members, drives, keys }) =>
    remembered(demands, [machine, bus, ...keys].join("\n"), () => {
      const demand = busDemand(members, drives, setup.machines[machine]?.machine.cycle ?? 1);
      return withStop(demand, members, setup.machines[machine]);
    });
}

function remembered<T>(store: Map<string, T>, key: string, make: () => T): T {
  const kept = store.get(key);
  if (kept !== undefined) return kept;
  const made = make();
  store.set(key, made);
  return made;
}

function axisAt(setup: Setup, machine: number, axis: number): AxisSetup {
  const found = setup.machines[machine]?.axes[axis];
  if (found === undefined) throw new RangeError(`no axis ${axis} in machine ${machine}`);
  return found;
}

/** Mass of motors and gearboxes of the axes that ride on an axis [kg]. */
function carriedMass({ riders }: AxisSetup, answer: MachineAnswer): number {
  return riders.reduce((sum, rider) => {
    const parts = answer.axes[rider];
    return parts === undefined ? sum : sum + ridingMass(parts);
  }, 0);
}

interface MachineContext {
  readonly machine: MachineSetup;
  readonly index: number;
  readonly evaluateAxis: Evaluator["axis"];
  readonly demand: (
    machine: number,
    bus: number,
    load: {
      readonly members: readonly EvaluatedAxis[];
      readonly drives: readonly Drive[];
      readonly keys: readonly string[];
    },
  ) => BusDemand;
}

function evaluateMachine(
  setup: Setup,
  { machine, index, evaluateAxis, demand: demandOf }: MachineContext,
  answer: OrderAnswer,
): EvaluatedMachine {
  const own = answer.machines[index];
  if (own === undefined) throw new RangeError(`no answer for machine ${index}`);
  const axes = machine.axes.map((_, a) => evaluateAxis(index, a, own));
  const modules = modulesOf(machine, own);
  const buses = machine.buses.map(({ voltage }, b) => {
    const members = axes.filter((_, a) => machine.axes[a]?.bus === b);
    const drives = modules.filter(({ bus }) => bus === b).map(({ drive }) => drive);
    const demand = demandOf(index, b, { members, drives, keys: members.map(({ key }) => key) });
    const option = own.buses[b] ?? { supply: undefined, resistor: undefined, way: "unsupplied" };
    const judgement = checkBus(demand, option, {
      site: setup.problem.site,
      voltage,
      margin: machine.machine.powerMargin,
    });
    return { demand, judgement, input: inputPower(demand, option.way === "feeds-back") };
  });
  return { axes, buses, modules };
}

/** Mean power paid for: the mean of ΣP where the supply feeds back, else of its positive part [W]. */
function inputPower({ billed }: BusDemand, feedsBack: boolean): number {
  return feedsBack ? meanPower(billed) : meanOfSign(billed, 1);
}

/** What a bus has to carry, from its axes and drive modules. */
function busDemand(axes: readonly EvaluatedAxis[], modules: readonly Drive[], cycle: number): BusDemand {
  const fixed = modules.reduce((sum, { fixedLoss }) => sum + fixedLoss, 0);
  const loads: BusLoad[] = [];
  const outside = { most: 0, least: 0, mean: 0 };
  for (const { pick, power } of axes) {
    const { lossPerAmp } = pick.drive;
    if (pick.duty.axis.inCycle) loads.push({ pair: power, lossPerAmp });
    else addOutside(outside, power, lossPerAmp);
  }
  const sum = loadSum(loads, cycle);
  const drawn = raised(sum, fixed + outside.most, cycle);
  if (outside.most === 0 && outside.least === 0 && outside.mean === 0)
    return { drawn, braked: drawn, billed: drawn, modules };
  return {
    drawn,
    braked: raised(sum, fixed + outside.least, cycle),
    billed: raised(sum, fixed + outside.mean, cycle),
    modules,
  };
}

/** The bus with its worst emergency stop, where the machine asks for one. */
function withStop(demand: BusDemand, axes: readonly EvaluatedAxis[], machine: MachineSetup | undefined): BusDemand {
  const { cycle: period = 1, emergencyStopTime: time } = machine?.machine ?? {};
  if (time === undefined) return demand;
  const fixedLoss = demand.modules.reduce((sum, drive) => sum + drive.fixedLoss, 0);
  const stopping = axes.map(({ pick: { duty }, stops }) => ({
    pieces: stops,
    ownPeriod: duty.axis.inCycle ? undefined : duty.period,
  }));
  return { ...demand, stop: busStop(stopping, { period, time, fixedLoss }) };
}

/** Axes outside the cycle: largest positive power, most negative power, mean. */
function addOutside(
  outside: { most: number; least: number; mean: number },
  power: PairPower,
  lossPerAmp: number,
): void {
  const { most, least } = extremes(power, lossPerAmp);
  const { base, current } = meanFigures(power);
  outside.most += Math.max(0, most);
  outside.least += Math.min(0, least);
  outside.mean += base + lossPerAmp * current;
}
