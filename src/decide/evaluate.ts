import { entryOf } from "../faults/entry-of.ts";
import type { Drive } from "../machine/catalogue.ts";
import { stopStretches } from "../physics/duty/stops.ts";
import { judgePick, type PickJudgement } from "../physics/limits/judge-pick.ts";
import { type PickDuty, type PickParts, pickDuty } from "../physics/limits/pick-duty.ts";
import type { Cycle } from "../physics/motion/cycle.ts";
import { type BusLoad, loadSum, meanOfSign, meanPower, raised } from "../physics/power/bus-power.ts";
import { extremes, meanFigures } from "../physics/power/coefficients.ts";
import { type PairPower, pairPower } from "../physics/power/pair-power.ts";
import { type StopPiece, stopPieces } from "../physics/power/stop-energy.ts";
import { type MachineAnswer, type OrderAnswer, ridingMass } from "./answer.ts";
import { type BusDemand, type BusJudgement, checkBus } from "./bus-check.ts";
import { dutiesOf, type RunDuties } from "./judged-axis.ts";
import { type ModuleAnswer, modulesOf } from "./modules.ts";
import { type OrderMoney, orderMoney } from "./money.ts";
import { remembered } from "./remembered.ts";
import type { AxisSetup, MachineSetup, Run, Setup } from "./setup.ts";
import { busStop } from "./stop-limit.ts";
import { UNSUPPLIED } from "./supply-options.ts";
import { worstOfRuns } from "./worst-of-runs.ts";

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
  /** In the normal cycle. */
  readonly pick: PickDuty;
  /** In each run of the machine, the normal cycle first. */
  readonly runs: readonly AxisRunEvaluated[];
  /** Motor and gearbox of the axes it carries [kg]. */
  readonly carried: number;
  /** Every limit where it is nearest to failing. */
  readonly judgement: PickJudgement;
}

export interface AxisRunEvaluated {
  readonly pick: PickDuty;
  readonly power: PairPower;
  /** Its emergency stops, where the machine asks for them. */
  readonly stops: readonly StopPiece[];
  readonly judgement: PickJudgement;
}

export interface EvaluatedBus {
  /** In each run of the machine, the normal cycle first. */
  readonly runs: readonly BusRunEvaluated[];
  /** Every limit where it is nearest to failing. */
  readonly judgement: BusJudgement;
  /** Mean supply input over all runs, energy that is paid for [W]. */
  readonly input: number;
}

export interface BusRunEvaluated {
  readonly demand: BusDemand;
  readonly judgement: BusJudgement;
  /** [W] */
  readonly input: number;
}

/** Works answers out; keeps what it has worked out of single axes, so that a changed answer costs what changed. */
export interface Evaluator {
  readonly evaluate: (answer: OrderAnswer) => EvaluatedOrder;
  readonly axis: (machine: number, axis: number, answer: MachineAnswer) => EvaluatedAxis;
  /** By run of the machine. */
  readonly duties: (machine: number, axis: number, carried: number) => RunDuties;
}

/** An evaluator for a problem. */
export function evaluatorOf(setup: Setup): Evaluator {
  const known = new Map<string, RunDuties>();
  const axes = new Map<string, EvaluatedAxis>();
  const duties: Evaluator["duties"] = (machine, axis, carried) =>
    remembered(known, `${machine} ${axis} ${carried}`, () =>
      dutiesOf(axisAt(setup, machine, axis), { low: carried, high: carried }),
    );
  const evaluateAxis: Evaluator["axis"] = (machine, index, answer) => {
    const parts = answer.axes[index];
    if (parts === undefined) throw new RangeError(`no pick for axis ${index}`);
    const carried = carriedMass(axisAt(setup, machine, index), answer);
    const key = [machine, index, carried, partsText(parts)].join("|");
    const work = (): Omit<EvaluatedAxis, "key" | "carried"> =>
      evaluatedRuns(setup, { machine, index, carried, duties: duties(machine, index, carried) }, parts);
    return remembered(axes, key, () => ({ key, carried, ...work() }));
  };
  const demand = demandsOf(setup);
  const evaluate = (answer: OrderAnswer): EvaluatedOrder => {
    const machines = setup.machines.map((machine, m) =>
      evaluateMachine(setup, { machine, index: m, evaluateAxis, demand }, answer),
    );
    return { machines, money: orderMoney(setup, answer, machines) };
  };
  return { evaluate, axis: evaluateAxis, duties };
}

function partsText({ motor, gearbox, drive, inductor }: PickParts): string {
  return [motor, gearbox, drive, inductor].map((part) => `${part?.maker} ${part?.part}`).join("|");
}

/** An axis with its parts in every run of its machine. */
function evaluatedRuns(
  setup: Setup,
  { machine, index, carried, duties }: { machine: number; index: number; carried: number; duties: RunDuties },
  parts: PickParts,
): Pick<EvaluatedAxis, "pick" | "runs" | "judgement"> {
  const { site, voltage: bus, runs: setups } = axisAt(setup, machine, index);
  const time = setup.machines[machine]?.machine.emergencyStopTime;
  const runs = duties.map((duty, run) => {
    const pick = pickDuty(duty, parts, { site, bus });
    const stops = stopsOf(pick, entryOf(setups, run).cycle, { carried, time });
    return { pick, power: pairPower(pick), stops, judgement: judgePick(pick) };
  });
  const judgements = runs.map(({ judgement }) => judgement);
  return { pick: entryOf(runs, 0).pick, runs, judgement: worstOfRuns(judgements, runsAt(setup, machine)) };
}

/** Emergency stops of an axis in a run, where its machine asks for them. */
function stopsOf(
  pick: PickDuty,
  cycle: Cycle,
  { carried, time }: { carried: number; time: number | undefined },
): readonly StopPiece[] {
  const { axis } = pick.duty;
  return time === undefined ? [] : stopPieces(pick, stopStretches({ axis, carried, time }, cycle), time);
}

/** What buses have to carry, kept by machine, bus, run and axes. */
function demandsOf(setup: Setup): MachineContext["demand"] {
  const demands = new Map<string, BusDemand>();
  return (machine, bus, { members, drives, run, keys }) =>
    remembered(demands, [machine, bus, run, ...keys].join("\n"), () => {
      const own = members.map(({ runs }) => entryOf(runs, run));
      const { cycle } = entryOf(runsAt(setup, machine), run);
      const time = setup.machines[machine]?.machine.emergencyStopTime;
      return withStop(busDemand(own, drives, cycle), own, { period: cycle, time });
    });
}

function runsAt(setup: Setup, machine: number): readonly Run[] {
  return entryOf(setup.machines, machine).runs;
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
      readonly run: number;
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
    const keys = members.map(({ key }) => key);
    const option = own.buses[b] ?? UNSUPPLIED;
    const around = { site: setup.problem.site, voltage, margin: machine.machine.powerMargin };
    const runs = machine.runs.map((_, run) => {
      const demand = demandOf(index, b, { members, drives, run, keys });
      const judgement = checkBus(demand, option, around);
      return { demand, judgement, input: inputPower(demand, option.way === "feeds-back") };
    });
    const judgement = worstOfRuns(
      runs.map((run) => run.judgement),
      machine.runs,
    );
    const input = runs.reduce((sum, run, k) => sum + entryOf(machine.runs, k).share * run.input, 0);
    return { runs, judgement, input };
  });
  return { axes, buses, modules };
}

/** Mean power paid for: the mean of ΣP where the supply feeds back, else of its positive part [W]. */
function inputPower({ billed }: BusDemand, feedsBack: boolean): number {
  return feedsBack ? meanPower(billed) : meanOfSign(billed, 1);
}

/** What a bus has to carry, from its axes and drive modules. */
function busDemand(axes: readonly AxisRunEvaluated[], modules: readonly Drive[], cycle: number): BusDemand {
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
function withStop(
  demand: BusDemand,
  axes: readonly AxisRunEvaluated[],
  { period, time }: { period: number; time: number | undefined },
): BusDemand {
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
