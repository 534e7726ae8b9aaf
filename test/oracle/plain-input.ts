import type { AnyPart, Catalogue, Resistor, Supply } from "../../src/machine/catalogue.ts";
import type { Problem } from "../../src/machine/problem.ts";
import { type MachinePick, pickKey, ridersOf, ridingMass } from "../../src/verify/answer.ts";
import { type AxisOracle, axisOracle } from "../../src/verify/axis-oracle.ts";
import type { WantedPart } from "../../src/verify/dual-source.ts";
import type { OrderOracle } from "../../src/verify/evaluate-machine.ts";
import { type AxisPick, busVoltage, cabinetFactor } from "../../src/verify/evaluate-pick.ts";
import { type Grid, gridOf } from "../../src/verify/motion.ts";
import { hasOther, lackingPart } from "./dual-source.ts";
import type {
  PlainAxis,
  PlainChoice,
  PlainColumn,
  PlainInput,
  PlainJudgement,
  PlainOption,
  PlainPart,
  PlainPool,
} from "./plain-problem.ts";

const keyOf = (part: AnyPart): string => `${part.maker} / ${part.part}`;
const exact = (mass: number): number => Math.round(mass * 1e9) / 1e9;

const steady = (value: number, n: number): Float64Array => new Float64Array(n).fill(value);
const range = (start: number, count: number): number[] => Array.from({ length: count }, (_, k) => start + k);

/** A frame or a maker: charged once, however often it is used. */
function countedOnce(id: string, fixed: number): PlainPart {
  const none = { fixedLoss: 0, capacitance: 0, width: 0, moduleCost: 0, leadTime: 0, mostVoltage: Infinity };
  return { id, fixed, steps: [], channels: 1, ...none };
}

/** The data of the plain model with what its choices stand for. */
export interface PlainOrder {
  readonly input: PlainInput;
  readonly answerOf: (choice: PlainChoice) => MachinePick[];
  /** The exact judge: steps through the answer. */
  readonly judge: (choice: PlainChoice) => PlainJudgement;
}

/** Mean power over each pair of sub-steps (Simpson), and the shares of the cycle these pairs have. */
function slotsOf(grid: Grid): { readonly first: number[]; readonly shares: number[] } {
  const first: number[] = [];
  for (let k = 0; k + 2 < grid.time.length; k++) {
    if (grid.middle[k] !== grid.middle[k + 2]) {
      k += 1 - (grid.middle[k] === grid.middle[k + 1] ? 0 : 1);
      continue;
    }
    first.push(k);
    k++;
  }
  return { first, shares: first.map((k) => ((grid.time[k + 2] ?? 0) - (grid.time[k] ?? 0)) / grid.period) };
}

function columnOf(
  oracle: AxisOracle,
  pick: AxisPick,
  carried: number,
  grid: Grid,
  quantity: number,
  massCost: number,
): PlainColumn {
  const { motor, gearbox, drive, inductor } = pick;
  const bought = [motor, gearbox, drive, inductor].filter((part) => part !== null);
  const { first, shares } = slotsOf(grid);
  const named = {
    key: pickKey(pick),
    parts: [
      ...new Set([...bought.map(keyOf), `frame ${motor.frame.trim()}`, ...bought.map(({ maker }) => `maker ${maker}`)]),
    ],
    cost: quantity * massCost * ridingMass(pick),
    mass: ridingMass(pick),
    carried,
  };
  if (oracle.axis.inCycle) {
    const power = oracle.power(pick, carried, grid);
    const slots = first.map((k) => ((power[k] ?? 0) + 4 * (power[k + 1] ?? 0) + (power[k + 2] ?? 0)) / 6);
    return { ...named, instants: { drawn: power, given: power }, slots: { drawn: slots, given: slots, billed: slots } };
  }
  const power = oracle.power(pick, carried);
  const weight = oracle.shaft(carried).sampled.grid.weight;
  const high = power.reduce((most, p) => Math.max(most, p), 0);
  const low = power.reduce((least, p) => Math.min(least, p), 0);
  const mean = power.reduce((sum, p, k) => sum + p * (weight[k] ?? 0), 0);
  return {
    ...named,
    instants: { drawn: steady(high, grid.time.length), given: steady(low, grid.time.length) },
    slots: {
      drawn: steady(high, shares.length),
      given: steady(low, shares.length),
      billed: steady(mean, shares.length),
    },
  };
}

function optionOf(
  problem: Problem,
  high: number,
  margin: number,
  supply: Supply,
  resistor: Resistor | null,
): PlainOption {
  const factor = cabinetFactor(problem.site);
  const chopper = supply.chopperVoltage ?? high;
  const held = resistor === null && !supply.feedsBack;
  const internal = held && supply.internalResistorPeak !== undefined && supply.internalResistorContinuous !== undefined;
  const peak = supply.peakPower / margin;
  const bought = [supply, resistor].filter((part) => part !== null);
  return {
    parts: [...new Set([...bought.map(keyOf), ...bought.map(({ maker }) => `maker ${maker}`)])],
    cost: 0,
    feedsBack: supply.feedsBack,
    peak,
    continuous: (supply.continuousPower * factor) / margin,
    backPeak: supply.feedsBack
      ? peak
      : resistor === null
        ? Infinity
        : Math.min(resistor.peakPower, chopper ** 2 / resistor.resistance) / margin,
    backContinuous: resistor === null ? Infinity : (resistor.continuousPower * factor) / margin,
    // An internal resistor may serve instead of the capacitors: left to the exact judge.
    room: held && !internal ? (supply.capacitance * (chopper ** 2 - high ** 2)) / 2 / margin : Infinity,
    roomPerFarad: (chopper ** 2 - high ** 2) / 2 / margin,
    mostFarads: supply.maxCapacitance ?? Infinity,
    width: supply.width,
    chopper: supply.chopperVoltage ?? 0,
    family: supply.busFamily,
  };
}

/** Whether a pick passes, and also with a part of another maker for each of its own that needs a substitute. */
function standsWithOthers(
  oracle: OrderOracle,
  { m, a, carried }: { m: number; a: number; carried: number },
  pick: AxisPick,
): boolean {
  const { problem, catalogue: parts } = oracle;
  const passes = (one: AxisPick): boolean => oracle.judge(m, a, one, carried).passes;
  return passes(pick) && problem.dualSource.every((kind) => hasOther(kind, { pick, parts, passes }));
}

/**
 * The whole selection problem of a small or thinned order as data: every pick at every mass it may have to carry.
 *
 * @param wanted - which picks of an axis to keep: (machine, axis, passing picks) → picks
 */
export function plainOrder(
  problem: Problem,
  catalogue: Catalogue,
  oracle: OrderOracle,
  wanted: (m: number, a: number, picks: AxisPick[]) => AxisPick[] = (_m, _a, picks) => picks,
): PlainOrder {
  const { weights, caps, machines } = problem;
  const everyPick = catalogue.motors.flatMap((motor) =>
    [null, ...catalogue.gearboxes].flatMap((gearbox) =>
      catalogue.drives.flatMap((drive) =>
        [null, ...catalogue.inductors].map((inductor): AxisPick => ({ motor, gearbox, drive, inductor })),
      ),
    ),
  );
  const axes: PlainAxis[] = [];
  const picksOf: AxisPick[][] = [];
  const pools: PlainPool[] = [];
  const bought: { readonly supply: Supply | null; readonly resistor: Resistor | null }[][] = [];
  const axisBase: number[] = [];
  const poolBase: number[] = [];
  const twins: [number, number][] = [];
  for (const [m, machine] of machines.entries()) {
    axisBase.push(axes.length);
    poolBase.push(pools.length);
    const base = axes.length;
    const oracles = machine.axes.map((axis) => axisOracle(problem, machine, axis, 100));
    const inside = oracles.filter(({ axis }) => axis.inCycle).map(({ motion }) => motion);
    const grid = gridOf(inside, machine.cycle, 8, 240);
    const { shares } = slotsOf(grid);
    const order = machine.axes
      .map((_, a) => a)
      .toSorted((x, y) => ridersOf(machine, x).length - ridersOf(machine, y).length);
    const columns: PlainColumn[][] = machine.axes.map(() => []);
    const picks: AxisPick[][] = machine.axes.map(() => []);
    for (const a of order) {
      const own = oracles[a];
      if (own === undefined) continue;
      let masses = [0];
      for (const r of ridersOf(machine, a)) {
        const ridden = new Set((columns[r] ?? []).map(({ mass }) => mass));
        masses = [...new Set(masses.flatMap((sum) => [...ridden].map((mass) => exact(sum + mass))))];
      }
      for (const carried of masses) {
        const passing = wanted(
          m,
          a,
          everyPick.filter((pick) => standsWithOthers(oracle, { m, a, carried }, pick)),
        );
        for (const pick of passing) {
          picks[a]?.push(pick);
          columns[a]?.push(columnOf(own, pick, carried, grid, machine.quantity, weights.mass));
        }
      }
    }
    for (const [a, axis] of machine.axes.entries()) {
      const pool = pools.length + machine.buses.findIndex(({ id }) => id === axis.bus);
      axes.push({ pool, riders: ridersOf(machine, a).map((r) => base + r), columns: columns[a] ?? [] });
      picksOf.push(picks[a] ?? []);
    }
    for (const group of machine.samePick) {
      const members = machine.axes.flatMap(({ id }, a) => (group.includes(id) ? [base + a] : []));
      for (const [k, a] of members.entries()) if (k > 0) twins.push([members[k - 1] ?? -1, a]);
    }
    const wattCost = weights.energy.price * weights.energy.duration * machine.quantity;
    for (const bus of machine.buses) {
      const { high } = busVoltage(problem.site, bus);
      const fits = catalogue.supplies.filter(
        (s) =>
          s.busVoltage === bus.voltage &&
          s.phases === problem.site.phases &&
          s.mains <= problem.site.mains &&
          problem.site.mains <= s.mainsMax,
      );
      const pairs = fits.flatMap((supply) =>
        [null, ...(supply.feedsBack ? [] : catalogue.resistors)]
          .filter((r) => r === null || r.resistance >= (supply.minResistance ?? 0))
          .map((resistor) => ({ supply, resistor })),
      );
      const allowed = pairs.filter((pair) =>
        [pair.supply, pair.resistor].every(
          (p) => p === null || (!problem.forbid.parts.includes(p.part) && !problem.forbid.makers.includes(p.maker)),
        ),
      );
      const none: PlainOption = {
        parts: [],
        cost: 0,
        feedsBack: false,
        peak: Infinity,
        continuous: Infinity,
        backPeak: Infinity,
        backContinuous: Infinity,
        room: Infinity,
        roomPerFarad: 0,
        mostFarads: Infinity,
        width: 0,
        chopper: 0,
      };
      const free = catalogue.supplies.length === 0 || !machine.axes.some((axis) => axis.bus === bus.id);
      bought.push(free ? [{ supply: null, resistor: null }] : allowed);
      const options = allowed.map((pair) => ({
        ...optionOf(problem, high, 1 + machine.powerMargin, pair.supply, pair.resistor),
        cost: weights.cabinetWidth * machine.quantity * pair.supply.width,
      }));
      pools.push({
        quantity: machine.quantity,
        wattCost,
        slotShares: shares,
        cycle: machine.cycle,
        options: free ? [none] : options,
      });
    }
  }

  const all: AnyPart[] = [
    ...catalogue.motors,
    ...catalogue.gearboxes,
    ...catalogue.drives,
    ...catalogue.inductors,
    ...catalogue.supplies,
    ...catalogue.resistors,
  ];
  const counted = all.map((part): PlainPart => {
    const drive = part.kind === "drive" ? part : null;
    return {
      id: keyOf(part),
      fixed: weights.variety[part.kind],
      steps: part.prices.map(({ from, price }) => ({ from, price: price * weights.purchase, paid: price })),
      channels: drive?.channels ?? 1,
      fixedLoss: drive?.fixedLoss ?? 0,
      capacitance: drive?.capacitance ?? 0,
      width: drive?.width ?? 0,
      moduleCost: weights.cabinetWidth * (drive?.width ?? 0),
      leadTime: part.leadTime ?? 0,
      mostVoltage: drive?.busMax ?? Infinity,
      family: drive?.busFamily,
    };
  });
  const frames = [...new Set(catalogue.motors.map(({ frame }) => `frame ${frame.trim()}`))];
  const makers = [...new Set(all.map(({ maker }) => `maker ${maker}`))];
  const ids = (kind: AnyPart["kind"]): string[] => all.filter((part) => part.kind === kind).map(keyOf);
  const capList: [readonly string[], number | undefined][] = [
    [ids("motor"), caps.motors],
    [frames, caps.frames],
    [ids("gearbox"), caps.gearboxes],
    [ids("drive"), caps.drives],
    [makers, caps.makers],
    [all.map(keyOf), caps.parts],
    // A part that comes too late, or nobody knows when, is none.
    [
      caps.leadTime === undefined
        ? []
        : all.filter(({ leadTime }) => (leadTime ?? Infinity) > (caps.leadTime ?? 0)).map(keyOf),
      0,
    ],
  ];
  const terms = [weights.energy.price, weights.mass, weights.cabinetWidth, weights.leadTime].filter(
    (w) => w !== 0,
  ).length;
  const poolCaps = (most: number | undefined): PlainInput["widthCaps"] =>
    most === undefined
      ? []
      : machines.map((machine, m) => ({ pools: range(poolBase[m] ?? 0, machine.buses.length), most }));
  const input: PlainInput = {
    axes,
    pools,
    parts: [
      ...counted,
      ...frames.map((id) => countedOnce(id, weights.variety.frame)),
      ...makers.map((id) => countedOnce(id, weights.variety.maker)),
    ],
    caps: capList.flatMap(([members, most]) => (most === undefined ? [] : [{ members, most }])),
    twins,
    massCaps:
      caps.mass === undefined
        ? []
        : machines.map((machine, m) => ({ axes: range(axisBase[m] ?? 0, machine.axes.length), most: caps.mass ?? 0 })),
    widthCaps: poolCaps(caps.cabinetWidth),
    priceCaps: poolCaps(caps.price),
    dayCost: weights.leadTime,
    rounding: 0.5 * (terms + (weights.purchase === 1 ? 0 : 1)),
  };

  const answerOf = ({ columns, options }: PlainChoice): MachinePick[] =>
    machines.map((machine, m) => ({
      axes: machine.axes.map((_, a) => {
        const axis = (axisBase[m] ?? 0) + a;
        const pick = picksOf[axis]?.[columns[axis] ?? -1];
        if (pick === undefined) throw new Error("a choice without a pick");
        return pick;
      }),
      buses: machine.buses.map((_, b) => {
        const pool = (poolBase[m] ?? 0) + b;
        const option = bought[pool]?.[options[pool] ?? -1];
        if (option === undefined) throw new Error("a choice without a supply");
        return option;
      }),
    }));
  /** Who uses a part: its axes with their buses, its buses with their axes. */
  const usersOf = (part: WantedPart): { axes: number[]; pools: number[] } => {
    const using = part.axes.map(([m, a]) => (axisBase[m] ?? 0) + a);
    const fed = part.buses.map(([m, b]) => (poolBase[m] ?? 0) + b);
    const onThem = axes.flatMap(({ pool }, a) => (fed.includes(pool) ? [a] : []));
    const members = [...new Set([...using, ...onThem])];
    return { axes: members, pools: [...new Set([...fed, ...members.map((a) => axes[a]?.pool ?? 0)])] };
  };
  const judge = (choice: PlainChoice): PlainJudgement => {
    const answer = answerOf(choice);
    const verdict = oracle.evaluate(answer);
    const lacking = verdict.feasible ? lackingPart(oracle, answer) : undefined;
    if (lacking !== undefined) return { cost: null, ...usersOf(lacking) };
    if (verdict.feasible) return { cost: verdict.total };
    // A bus that breaks a limit is to blame together with its own axes; anything else, all of them.
    const pool = verdict.buses.findIndex((checks) => checks.some(({ passes }) => !passes));
    if (pool >= 0)
      return { cost: null, pools: [pool], axes: axes.flatMap((axis, a) => (axis.pool === pool ? [a] : [])) };
    return { cost: null, axes: axes.map((_, a) => a), pools: pools.map((_, b) => b) };
  };
  return { input, answerOf, judge };
}
