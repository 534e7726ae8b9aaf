import type {
  Catalogue,
  Drive,
  Feedback,
  Gearbox,
  Inductor,
  Motor,
  PriceStep,
  Resistor,
  Supply,
} from "../../src/machine/catalogue.ts";
import type { Axis, Machine, Problem, Site } from "../../src/machine/problem.ts";
import { ridersOf } from "../../src/verify/answer.ts";
import { type OrderOracle, orderOracle } from "../../src/verify/evaluate-machine.ts";
import { type AxisPick, busVoltage } from "../../src/verify/evaluate-pick.ts";
import { gridOf, motionOf, sampled } from "../../src/verify/motion.ts";
import { shaftOf } from "../../src/verify/shaft.ts";
import { Dice, rounded } from "./random.ts";
import { randomAxis } from "./random-axis.ts";
import { nearestPick, repaired } from "./random-repair.ts";

/** A small invented order: makers, parts and prices are made up by dice. */
export interface RandomMachine {
  readonly problem: Problem;
  readonly catalogue: Catalogue;
}

/** What an axis asks of a motor shaft without rotor [N·m, rad/s, kg·m²]. */
interface Wish {
  readonly rms: number;
  readonly peak: number;
  readonly speed: number;
  readonly inertia: number;
  readonly held: number;
}

const MAKERS = ["Amaryl", "Borduin", "Cassia"] as const;
const FRAMES = ["40", "60", "80"] as const;

function wishOf(axis: Axis, cycle: number, carried: number): Wish {
  const motion = motionOf(axis, cycle);
  const shaft = shaftOf(axis, carried, sampled(motion, gridOf([motion], motion.period, 40, 400)));
  let [square, peak, speed] = [0, 0, 0];
  for (let k = 0; k < shaft.weight.length; k++) {
    square += (shaft.weight[k] ?? 0) * (shaft.torque[k] ?? 0) ** 2;
    peak = Math.max(peak, Math.abs(shaft.torque[k] ?? 0));
    speed = Math.max(speed, Math.abs(shaft.speed[k] ?? 0));
  }
  const inertia = axis.mechanism.inertia + shaft.mostLoad;
  return { rms: Math.sqrt(square), peak: Math.max(peak, 0.05), speed, inertia, held: shaft.staticTorque };
}

/** Prices with steps now and then; round enough for ties. */
function pricesOf(dice: Dice, euro: number): PriceStep[] {
  const cents = dice.chance(0.5) ? Math.max(5000, Math.round(euro / 50) * 5000) : Math.round(euro * 100);
  if (!dice.chance(0.25)) return [{ from: 1, price: cents }];
  const dearer = dice.chance(0.1);
  const steps = [
    { from: 1, price: cents },
    { from: dice.of([2, 3, 5]), price: Math.round(cents * (dearer ? 1.05 : dice.between(0.75, 0.95))) },
  ];
  return dice.chance(0.3) ? [...steps, { from: 8, price: Math.round(cents * 0.7) }] : steps;
}

interface Naming {
  readonly dice: Dice;
  readonly makers: readonly string[];
}

function base(
  { dice, makers }: Naming,
  part: string,
  euro: number,
): { part: string; maker: string; prices: PriceStep[]; texts: Record<string, string>; leadTime?: number } {
  const days = dice.maybe(0.9, () => dice.whole(5, 60));
  return {
    part,
    maker: dice.of(makers),
    prices: pricesOf(dice, euro),
    texts: { shaft: dice.of(["key", "smooth", "spline"]) },
    ...(days === undefined ? {} : { leadTime: days }),
  };
}

/** Time constants near the length of a cycle, where they matter most; every third motor's are not known. */
function thermalTimes(n: number): Pick<Motor, "windingTime" | "housingTime"> {
  if (n % 3 === 2) return {};
  return { windingTime: n % 3 === 0 ? 0.6 : 4, ...(n % 2 === 0 ? { housingTime: 30 } : {}) };
}

function motorFor(
  naming: Naming,
  wish: Wish,
  at: { n: number; ratio: number; site: Site; low: number; high: number },
): Motor {
  const { dice } = naming;
  const { ratio, high } = at;
  const own = dice.spread(1.1, 3);
  const stall = rounded(Math.max(0.08, (wish.rms / ratio) * own * dice.spread(0.9, 1.8)));
  const speed = Math.max(30, wish.speed * ratio * dice.spread(1.08, 2));
  const peak = rounded(Math.max(stall * 1.5, (wish.peak / ratio) * own * dice.spread(0.9, 1.6)));
  const rotor = rounded(
    Math.max(2e-6, Math.min(wish.inertia / ratio ** 2 / dice.spread(1.2, 12), (peak / 3000) * dice.spread(0.2, 2))),
  );
  const ke = rounded((at.low / Math.SQRT2 / speed) * dice.between(0.5, 0.85));
  const kt = rounded(Math.sqrt(3) * ke);
  const current = stall / kt;
  const braked = dice.chance(wish.held > 0 ? 0.7 : 0.25);
  const knee =
    dice.maybe(0.5, () => ({
      peakKneeSpeed: speed * dice.between(0.6, 0.95),
      peakTorqueAtMaxSpeed: peak * dice.between(0.4, 0.9),
    })) ?? {};
  const detent = dice.maybe(0.85, () => dice.of([0, stall * dice.between(0.003, 0.03)]));
  const detents = dice.maybe(0.85, () => dice.of([12, 24, 36]));
  const frequency = 8000;
  const resolution = dice.maybe(0.85, () => dice.of([2000, 8192, 65_536, 1_048_576]));
  const peakCurrent = dice.maybe(0.3, () => (peak / kt) * dice.between(1, 1.3));
  const ip = dice.maybe(0.8, () => dice.of(["IP54", "IP65", "IP67"]));
  return {
    kind: "motor",
    ...base(naming, `M${at.n}`, 120 + 60 * stall ** 0.7 * dice.between(0.8, 1.4) + (braked ? 80 : 0)),
    frame: dice.of(FRAMES),
    construction: dice.of(["slotted", "slotted", "slotless", "closed-slot"] as const),
    feedback: dice.of<Feedback>([
      "encoder-absolute",
      "encoder-absolute",
      "encoder-multiturn",
      "resolver",
      "encoder-incremental",
      "encoder-hall",
    ]),
    poles: dice.of([6, 8, 10]),
    stallTorque: stall,
    ratedTorque: rounded(stall * dice.between(0.6, 0.98)),
    ratedSpeed: speed * dice.between(0.7, 1),
    peakTorque: peak,
    maxSpeed: speed,
    torqueConstant: kt,
    voltageConstant: ke,
    resistance: rounded(((at.low / Math.SQRT2) * dice.spread(0.01, 0.05)) / current),
    inductance: rounded((2 * 0.02515 * high * dice.spread(0.5, 4)) / (frequency * 0.2 * current)),
    rotorInertia: rotor,
    brakeInertia: braked ? rounded(rotor * dice.between(0.05, 0.3)) : 0,
    frictionTorque: dice.of([0, rounded(stall * dice.between(0.005, 0.03))]),
    windingShare: 0.4,
    ...thermalTimes(at.n),
    ...(at.n % 4 === 0 ? { standstillTorque: rounded(0.8 * stall) } : {}),
    ...(at.n % 2 === 0 ? { radialLoad: rounded(60 * peak) } : {}),
    windingLimit: dice.of([130, 155]),
    referenceAmbient: dice.of([40, 25]),
    mass: rounded(0.4 + stall ** 0.8 * dice.between(0.5, 1.2)),
    length: dice.between(0.08, 0.26),
    width: dice.between(0.04, 0.13),
    ...knee,
    ...(braked ? { brakeTorque: rounded(Math.max(0.1, (wish.held / ratio) * dice.spread(1.2, 4))) } : {}),
    ...(detent === undefined ? {} : { detentTorque: detent }),
    ...(detents === undefined ? {} : { detents }),
    ...(resolution === undefined ? {} : { resolution }),
    ...(peakCurrent === undefined ? {} : { peakCurrent }),
    ...(ip === undefined ? {} : { ip }),
  };
}

function gearboxFor(naming: Naming, wish: Wish, { n, ratio }: { n: number; ratio: number }): Gearbox {
  const { dice } = naming;
  const peak = rounded(Math.max(0.5, wish.peak * dice.spread(0.95, 2.5)));
  const speed = Math.max(40, wish.speed * ratio * dice.spread(0.98, 2));
  const efficiency = dice.between(0.85, 0.97);
  const emergency = dice.maybe(0.7, () => peak * dice.between(1, 2.5));
  return {
    kind: "gearbox",
    ...base(naming, `G${n}`, 100 + 12 * peak ** 0.7 * dice.between(0.8, 1.4)),
    frame: dice.of(FRAMES),
    motorFrames: FRAMES.filter(() => dice.chance(0.75)),
    style: dice.of(["inline", "inline", "right-angle"] as const),
    ratio,
    efficiency,
    backEfficiency: efficiency - dice.of([0, 0.05, 0.6]),
    inertia: rounded(dice.spread(1e-6, 3e-5)),
    ratedTorque: rounded(peak * dice.between(0.35, 0.8)),
    accelerationTorque: peak,
    ratedInputSpeed: speed * dice.between(0.3, 0.8),
    maxInputSpeed: speed,
    backlash: (dice.of([3, 6, 10, 15]) * Math.PI) / 180 / 60,
    dragTorque: dice.of([0, dice.spread(0.003, 0.05)]),
    mass: rounded(dice.between(0.5, 3)),
    ...(n % 3 === 0 ? {} : { radialLoad: rounded(80 * peak) }),
    ...(n % 3 === 1 ? {} : { stiffness: rounded(120 * peak) }),
    ...(emergency === undefined ? {} : { emergencyTorque: emergency }),
  };
}

const ALL_FEEDBACK: readonly Feedback[] = [
  "hall",
  "encoder-incremental",
  "encoder-hall",
  "encoder-absolute",
  "encoder-multiturn",
  "resolver",
];

function driveFor(naming: Naming, current: { rms: number; peak: number }, at: { n: number; high: number }): Drive {
  const { dice } = naming;
  const channels = dice.of([1, 1, 2]);
  const peak = rounded(current.peak * dice.spread(0.95, 2.5));
  const busMin = dice.maybe(0.3, () => dice.of([50, 200]));
  const family = dice.maybe(0.3, () => dice.of(["plain", "rail"]));
  const frequency = dice.maybe(0.7, () => dice.of([400, 600, 1000]));
  return {
    kind: "drive",
    ...base(naming, `D${at.n}`, (150 + 25 * peak ** 0.8) * (channels === 2 ? 1.5 : 1) * dice.between(0.9, 1.2)),
    channels,
    continuousCurrent: rounded(Math.min(peak, current.rms * dice.spread(0.95, 3))),
    peakCurrent: peak,
    peakTime: 2,
    busMax: at.high * dice.of([1.1, 1.2, 1.3, 1.4, 1.4]),
    feedback: dice.chance(0.6) ? ALL_FEEDBACK : ALL_FEEDBACK.filter(() => dice.chance(0.8)),
    commutation: dice.of(["sinusoidal", "sinusoidal", "sinusoidal", "six-step"] as const),
    switchingFrequency: dice.of([8000, 16_000]),
    fixedLoss: dice.between(5, 25),
    lossPerAmp: dice.between(0.5, 4),
    capacitance: dice.spread(1e-4, 1e-3),
    width: dice.of([0.05, 0.06, 0.1]),
    ...(busMin === undefined ? {} : { busMin }),
    ...(family === undefined ? {} : { busFamily: family }),
    ...(frequency === undefined ? {} : { maxFrequency: frequency }),
  };
}

/** What the supplies of a bus are sized for: figures of some answer. */
interface BusWish {
  readonly peak: number;
  readonly mean: number;
  readonly back: number;
  readonly backMean: number;
}

function supplyFor(
  naming: Naming,
  wish: BusWish,
  at: { n: number; site: Site; high: number; drives: readonly Drive[] },
): Supply {
  const { dice } = naming;
  const feedsBack = dice.chance(0.2);
  const peak = rounded(Math.max(50, wish.peak * dice.spread(1, 2)));
  const range = dice.maybe(0.3, () => ({ mains: at.site.mains * 0.9, mainsMax: at.site.mains * 1.1 })) ?? {
    mains: at.site.mains,
    mainsMax: at.site.mains,
  };
  const capacity = at.drives.reduce((sum, { capacitance }) => sum + capacitance, 0);
  const inside = dice.maybe(0.3, () => ({
    internalResistorPeak: rounded(Math.max(20, wish.back * dice.spread(0.9, 3))),
    internalResistorContinuous: rounded(Math.max(5, wish.backMean * dice.spread(0.9, 4))),
  }));
  const family = dice.maybe(0.3, () => dice.of(["plain", "rail"]));
  const most = dice.maybe(0.3, () => capacity * dice.between(0.5, 1.5));
  const least = dice.maybe(0.6, () => dice.of([10, 30]));
  const named = base(naming, `S${at.n}`, 150 + 0.1 * peak * dice.between(0.8, 1.2) + (feedsBack ? 200 : 0));
  const continuous = rounded(Math.max(20, wish.mean * dice.spread(1, 2.5)));
  // Whose overload is known bears more: its square is what counts.
  const breathes = at.n % 3 === 1;
  return {
    kind: "supply",
    ...named,
    ...range,
    phases: at.site.phases,
    continuousPower: breathes ? rounded(Math.max(continuous, 0.55 * peak)) : continuous,
    peakPower: peak,
    capacitance: dice.spread(2e-4, 3e-3),
    feedsBack,
    ...(breathes ? { peakTime: 0.5 } : {}),
    width: dice.of([0.06, 0.09]),
    ...(feedsBack && dice.chance(0.5) ? {} : { chopperVoltage: at.high * dice.of([1.06, 1.08, 1.15, 1.25]) }),
    ...(inside === undefined || feedsBack ? {} : inside),
    ...(family === undefined ? {} : { busFamily: family }),
    ...(most === undefined ? {} : { maxCapacitance: most }),
    ...(least === undefined ? {} : { minResistance: least }),
  };
}

function resistorFor(naming: Naming, wish: BusWish, n: number): Resistor {
  const { dice } = naming;
  return {
    kind: "resistor",
    ...base(naming, `R${n}`, 40 + 0.05 * wish.back * dice.between(0.8, 1.2)),
    resistance: dice.of([20, 30, 50]),
    continuousPower: rounded(Math.max(10, wish.backMean * dice.spread(0.9, 4))),
    peakPower: rounded(Math.max(50, wish.back * dice.spread(0.9, 4))),
    ...(n % 2 === 0 ? { pulseEnergy: 20 } : {}),
  };
}

function inductorFor(naming: Naming, n: number, typical: { inductance: number; current: number }): Inductor {
  const { dice } = naming;
  return {
    kind: "inductor",
    ...base(naming, `L${n}`, dice.between(30, 90)),
    inductance: rounded(typical.inductance * dice.spread(0.2, 1.5)),
    continuousCurrent: rounded(typical.current * dice.spread(0.7, 3)),
  };
}

function siteOf(dice: Dice): Site {
  const three = dice.chance(0.7);
  return {
    ambient: dice.of([25, 40, 45]),
    cabinetAmbient: dice.of([40, 40, 45]),
    altitude: dice.of([0, 0, 1500]),
    mains: three ? 400 : 230,
    phases: three ? 3 : 1,
    mainsTolerance: 0.1,
  };
}

/** Axes of one machine: free ones, or a chain in which one carries another. */
function axesOf(dice: Dice, names: readonly string[], chain: number): Axis[] {
  return names.map((id, k) => {
    const carriedBy = k > 0 && k < chain ? names[k - 1] : undefined;
    return randomAxis(dice, id, { carries: k < chain - 1, ...(carriedBy === undefined ? {} : { carriedBy }) });
  });
}

function machineOf(dice: Dice, id: string, count: number): Machine {
  const names = ["x", "y", "z", "w"].slice(0, count);
  const chain = count > 1 && dice.chance(0.45) ? dice.whole(2, Math.min(3, count)) : 0;
  const bare = axesOf(dice, names, chain);
  const outside = dice.chance(0.12) ? bare.findIndex(({ endless }, k) => !endless && k >= chain) : -1;
  const lengths = bare.map((axis) => motionOf({ ...axis, inCycle: false }, 1).period);
  const cycle = Math.max(...lengths) * dice.of([1.0005, 1.2, 1.6, 2]);
  const axes = bare.map((axis, k) => ({
    ...axis,
    inCycle: k !== outside,
    start: k === outside ? 0 : dice.of([0, dice.between(0, cycle)]),
  }));
  // Twins need the same size of machine part: the second is a copy of the first with another start.
  const twin = chain === 0 && count > 1 && dice.chance(0.15);
  const first = axes[0];
  if (twin && first !== undefined)
    axes[1] = { ...first, id: "y", start: dice.between(0, cycle), inCycle: axes[1]?.inCycle ?? true };
  return {
    id,
    quantity: dice.of([1, 1, 2, 4]),
    cycle,
    buses: [{ id: "main" }],
    axes,
    samePick: twin ? [["x", "y"]] : [],
    powerMargin: dice.of([0.1, 0]),
    modes: [],
    ...(count === 2 && Math.floor(1e4 * cycle) % 2 === 0 ? { emergencyStopTime: 0.1 } : {}),
  };
}

function capsOf(dice: Dice, axes: number): Problem["caps"] {
  return {
    ...(dice.chance(0.15) ? { motors: dice.whole(Math.max(1, axes - 2), axes) } : {}),
    ...(dice.chance(0.08) ? { frames: dice.whole(1, 2) } : {}),
    ...(dice.chance(0.1) ? { gearboxes: dice.whole(1, 2) } : {}),
    ...(dice.chance(0.12) ? { drives: dice.whole(Math.max(1, axes - 1), axes) } : {}),
    ...(dice.chance(0.06) ? { makers: dice.whole(1, 3) } : {}),
    ...(dice.chance(0.08) ? { parts: dice.whole(2 * axes, 3 * axes + 2) } : {}),
    ...(dice.chance(0.08) ? { price: dice.whole(60, 250) * 1000 * axes } : {}),
    ...(dice.chance(0.06) ? { cabinetWidth: dice.between(0.1, 0.15) * axes + 0.05 } : {}),
    ...(dice.chance(0.06) ? { mass: dice.between(2, 8) * axes } : {}),
    ...(dice.chance(0.04) ? { leadTime: dice.whole(30, 60) } : {}),
  };
}

function weightsOf(dice: Dice): Problem["weights"] {
  const varied = dice.chance(0.6);
  const charge = (share: number, most: number): number =>
    varied && dice.chance(share) ? dice.whole(0, most) * 5000 : 0;
  const years = 5;
  const hoursPerYear = 4000;
  // 0.2 per kWh = 20 cent / 3.6 MJ.
  const price = dice.chance(0.3) ? dice.between(10, 40) / 3.6e6 : 0;
  return {
    currency: "EUR",
    purchase: dice.of([1, 1, 1, 1.1]),
    variety: {
      motor: charge(0.8, 8),
      frame: charge(0.4, 6),
      gearbox: charge(0.7, 5),
      drive: charge(0.7, 6),
      maker: charge(0.3, 6),
      supply: charge(0.2, 3),
      resistor: charge(0.2, 3),
      inductor: charge(0.2, 3),
    },
    energy: { price, duration: hoursPerYear * years * 3600, hoursPerYear, years },
    mass: dice.chance(0.12) ? dice.between(500, 3000) : 0,
    cabinetWidth: dice.chance(0.12) ? dice.between(20_000, 200_000) : 0,
    leadTime: dice.chance(0.08) ? dice.between(50, 400) : 0,
  };
}

/** Figures of a bus under an answer that may fail its limits: what supplies are sized for. */
function busWish(oracle: OrderOracle, machines: readonly Machine[], picks: readonly (readonly AxisPick[])[]): BusWish {
  const wishes = machines.map((machine, m) => {
    const axes = picks[m] ?? [];
    const bus = machine.buses[0];
    if (bus === undefined) throw new Error("a machine without a bus");
    return oracle.figures(m, bus, axes);
  });
  const most = (value: (wish: BusWish) => number): number => Math.max(...wishes.map(value));
  return {
    peak: most((w) => w.peak),
    mean: most((w) => w.mean),
    back: most((w) => w.back),
    backMean: most((w) => w.backMean),
  };
}

function nearestPicks(oracle: OrderOracle, machine: Machine, m: number): AxisPick[] {
  const chosen: (AxisPick | undefined)[] = machine.axes.map(() => undefined);
  const order = machine.axes
    .map((_, k) => k)
    .toSorted((x, y) => ridersOf(machine, x).length - ridersOf(machine, y).length);
  for (const a of order) {
    const [motor] = oracle.catalogue.motors;
    const [drive] = oracle.catalogue.drives;
    if (motor === undefined || drive === undefined) throw new Error("an empty catalogue");
    const nearest = nearestPick(oracle, m, a, oracle.carried(m, a, chosen));
    chosen[a] = nearest?.pick ?? { motor, gearbox: null, drive, inductor: null };
  }
  return chosen.filter((pick) => pick !== undefined);
}

/**
 * A small order from a seed: one or two machines, parts sized for what the axes ask, many of them just too small.
 *
 * @param portfolios - share of orders with two machines
 */
export function randomMachine(seed: number, portfolios = 0.1): RandomMachine {
  const dice = new Dice(seed);
  const two = dice.chance(portfolios);
  const count = two ? dice.whole(1, 2) : dice.of([1, 2, 2, 3, 3, 4]);
  const machines = two
    ? [machineOf(dice, "left", count), machineOf(dice, "right", 1)]
    : [machineOf(dice, "only", count)];
  const site = siteOf(dice);
  const { low, high } = busVoltage(site, { id: "main" });
  const axes = machines.flatMap((machine) => machine.axes.map((axis, a) => ({ axis, machine, a })));
  const wishes = axes.map(({ axis, machine, a }) => wishOf(axis, machine.cycle, 3 * ridersOf(machine, a).length));
  const naming = { dice, makers: MAKERS.slice(0, dice.whole(1, 3)) };
  const ratios = dice.of([[], [3], [5, 10], [3, 5, 8, 10]]);
  const large = axes.length > 3 || axes.some(({ machine }, a) => ridersOf(machine, a).length > 1);
  const motors = Array.from({ length: large ? dice.whole(3, 4) : dice.whole(3, 6) }, (_, n) => {
    const wish = wishes[n % wishes.length] ?? dice.of(wishes);
    return motorFor(naming, wish, { n, ratio: dice.chance(0.4) ? 1 : dice.of([1, ...ratios]), site, low, high });
  });
  const gearboxes = (large ? ratios.slice(0, 2) : ratios).map((ratio, n) =>
    gearboxFor(naming, dice.of(wishes), { n, ratio }),
  );
  const typical = motors.map((motor) => ({
    rms: motor.stallTorque / motor.torqueConstant,
    peak: motor.peakTorque / motor.torqueConstant,
  }));
  const drives = Array.from({ length: large ? dice.whole(2, 3) : dice.whole(2, 4) }, (_, n) => {
    const current = typical[n % typical.length] ?? dice.of(typical);
    return driveFor(naming, { rms: current.rms * 0.8, peak: current.peak * 0.8 }, { n, high });
  });
  const chokes = dice.whole(0, 2);
  const inductors = Array.from({ length: chokes }, (_, n) => {
    const motor = dice.of(motors);
    return inductorFor(naming, n, {
      inductance: motor.inductance / 2,
      current: motor.stallTorque / motor.torqueConstant,
    });
  });
  const drawn: Problem = {
    title: `random ${seed}`,
    site,
    machines,
    weights: weightsOf(dice),
    caps: capsOf(dice, axes.length),
    forbid: { parts: dice.chance(0.04) ? ["M0"] : [], makers: [] },
    dualSource: [],
  };
  const draft = { problem: drawn, catalogue: { motors, gearboxes, drives, supplies: [], resistors: [], inductors } };
  const { problem, catalogue: bare } = dice.chance(0.93) ? repaired(draft, dice) : draft;
  const oracle = orderOracle(problem, bare, 40);
  const picks = problem.machines.map((machine, m) => nearestPicks(oracle, machine, m));
  const wish = busWish(oracle, problem.machines, picks);
  const used = picks.flatMap((own) => own.map(({ drive }) => drive));
  const supplies = dice.chance(0.05)
    ? []
    : Array.from({ length: dice.whole(1, 3) }, (_, n) => supplyFor(naming, wish, { n, site, high, drives: used }));
  const resistors = Array.from({ length: dice.of([0, 1, 2, 2, 2]) }, (_, n) => resistorFor(naming, wish, n));
  return { problem, catalogue: { ...bare, supplies, resistors } };
}
