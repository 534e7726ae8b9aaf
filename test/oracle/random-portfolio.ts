import type { AnyPart, Catalogue, PriceStep, Supply } from "../../src/machine/catalogue.ts";
import type { Limit } from "../../src/machine/limit.ts";
import type { Caps, Machine, Problem } from "../../src/machine/problem.ts";
import { type MachinePick, pickKey } from "../../src/verify/answer.ts";
import { moneyOf, type OrderMoney } from "../../src/verify/money.ts";
import { decided, pickedBy } from "./decided.ts";
import { Dice } from "./random.ts";
import { type RandomMachine, randomMachine } from "./random-machine.ts";

/** An order with its best answer, before it is made tighter. */
interface Answered {
  readonly order: RandomMachine;
  readonly answer: readonly MachinePick[];
  readonly totals: OrderMoney["totals"];
  /** Limits of every bus, machine by machine. */
  readonly buses: readonly (readonly Pick<Limit, "id" | "demand" | "allowed">[])[];
}

/** A change of the order under which its best answer does not stand any more; undefined: this one does not apply. */
type Tightening = (answered: Answered, dice: Dice) => RandomMachine | undefined;

/** Share of the orders that stay as they are made even where nothing stands any more. */
const HOPELESS = 0.12;
/** The others are drawn anew so often until something stands. */
const AGAIN = 6;
/** So many ways to tighten an order are tried until enough have left an answer. */
const TRIED = 8;
/** Share of the orders with two machines. */
const PORTFOLIOS = 0.5;

/**
 * A small random portfolio with most kinds of rows: machines in quantities, two buses, price steps over all of them,
 * charges for frames and makers, weights on mass, width and lead time; then up to three of the other rows, each just
 * tight enough to shut out the best answer without it, as long as some answer is left.
 *
 * The program finds the answers that are shut out. That decides only what is asked, not what is right.
 */
export async function randomPortfolio(seed: number): Promise<RandomMachine> {
  const dice = new Dice(seed + 500_000);
  const isHopeless = dice.chance(HOPELESS);
  let order = varied(randomMachine(seed, PORTFOLIOS), dice);
  let answered = await answeredOf(order);
  const most = isHopeless ? 1 : AGAIN;
  for (let again = 1; answered === undefined && again < most; again++) {
    order = varied(randomMachine(seed + 10_000 * again, PORTFOLIOS), dice);
    answered = await answeredOf(order);
  }
  let left = dice.whole(1, 3);
  for (const tighten of shuffled(dice, TIGHTENINGS).slice(0, TRIED)) {
    if (answered === undefined || left === 0) break;
    const tighter = tighten(answered, dice);
    if (tighter === undefined) continue;
    const next = await answeredOf(tighter);
    if (next === undefined && !isHopeless) continue;
    [order, answered, left] = [tighter, next, left - 1];
  }
  return { ...order, problem: { ...order.problem, title: `portfolio ${seed}` } };
}

async function answeredOf(order: RandomMachine): Promise<Answered | undefined> {
  const decision = await decided(order);
  const answer = pickedBy(decision);
  if (answer === null || decision.evaluated === undefined) return undefined;
  const { totals } = moneyOf(order.problem, answer, []);
  const buses = decision.evaluated.machines.flatMap((own) => own.buses.map(({ judgement }) => judgement.limits));
  return { order, answer, totals, buses };
}

function shuffled<T>(dice: Dice, list: readonly T[]): T[] {
  return list
    .map((item) => ({ item, at: dice.unit() }))
    .toSorted((x, y) => x.at - y.at)
    .map(({ item }) => item);
}

/** Charges, weights, steps, buses and channels that dice add to an order. */
function varied({ problem, catalogue }: RandomMachine, dice: Dice): RandomMachine {
  const { weights } = problem;
  const some = (share: number, low: number, high: number): number =>
    dice.maybe(share, () => dice.between(low, high)) ?? 0;
  const charge = (share: number): number => (dice.chance(share) ? dice.whole(1, 10) * 5000 : 0);
  return {
    problem: {
      ...problem,
      machines: problem.machines.map((machine) => withSecondBus(machine, dice)),
      weights: {
        ...weights,
        variety: { ...weights.variety, frame: charge(0.5), maker: charge(0.5), drive: charge(0.5) },
        mass: some(0.3, 2000, 20_000),
        cabinetWidth: some(0.3, 200_000, 2_000_000),
        leadTime: some(0.3, 300, 3000),
      },
    },
    catalogue: withSteps(withTwins(catalogue, dice), dice),
  };
}

/** The last axis on a bus of its own, some of the time; twins stay together. */
function withSecondBus(machine: Machine, dice: Dice): Machine {
  if (machine.axes.length < 2 || !dice.chance(0.35)) return machine;
  const last = machine.axes.length - 1;
  const axes = machine.axes.map((axis, a) => (a === last ? { ...axis, bus: "second" } : axis));
  return { ...machine, axes, buses: [...machine.buses, { id: "second" }] };
}

/** Some motors and drives a second time: from another maker, in another frame, at another price, sooner or later. */
function withTwins(catalogue: Catalogue, dice: Dice): Catalogue {
  const other = <T extends AnyPart>(part: T): T => ({
    ...part,
    part: `${part.part}-2`,
    maker: dice.of(["Amaryl", "Borduin", "Cassia"]),
    leadTime: dice.whole(5, 60),
    prices: part.prices.map(({ from, price }) => ({ from, price: Math.round(price * dice.between(0.9, 1.2)) })),
  });
  const [motor, drive] = [dice.of(catalogue.motors), dice.of(catalogue.drives)];
  const twin = { ...other(motor), frame: dice.of(["40", "60", "80"]), mass: motor.mass * dice.between(0.8, 1.1) };
  return {
    ...catalogue,
    motors: [...catalogue.motors, twin],
    drives: [...catalogue.drives, { ...other(drive), width: drive.width * dice.between(0.7, 1.2) }],
  };
}

/** A step at a quantity that portfolios reach, and more drives of two channels. */
function withSteps(catalogue: Catalogue, dice: Dice): Catalogue {
  const stepped = <T extends AnyPart>(parts: readonly T[], share: number): T[] =>
    parts.map((part) =>
      dice.chance(share) ? { ...part, prices: cheaperFrom(part.prices, dice.of([2, 3, 4, 6]), dice) } : part,
    );
  return {
    ...catalogue,
    motors: stepped(catalogue.motors, 0.5),
    gearboxes: stepped(catalogue.gearboxes, 0.4),
    drives: stepped(catalogue.drives, 0.5).map((drive) => (dice.chance(0.3) ? { ...drive, channels: 2 } : drive)),
    supplies: stepped(catalogue.supplies, 0.4),
  };
}

function cheaperFrom([first]: readonly PriceStep[], from: number, dice: Dice): PriceStep[] {
  if (first === undefined) return [];
  return [first, { from, price: Math.round(first.price * dice.between(0.4, 0.9)) }];
}

const withCaps = ({ order }: Answered, caps: Caps): RandomMachine => ({
  ...order,
  problem: { ...order.problem, caps: { ...order.problem.caps, ...caps } },
});

/** A cap one below what the answer has; undefined where that would be none. */
const fewer =
  (
    key: "motors" | "frames" | "gearboxes" | "drives" | "makers" | "parts",
    count: (parts: readonly AnyPart[]) => number,
  ): Tightening =>
  (answered) => {
    const most = count(partsOf(answered.answer)) - 1;
    return most < 1 ? undefined : withCaps(answered, { [key]: most });
  };

const distinct = (texts: readonly string[]): number => new Set(texts).size;
const named = (kind: AnyPart["kind"]) => (parts: readonly AnyPart[]) =>
  distinct(parts.flatMap((part) => (part.kind === kind ? [`${part.maker} ${part.part}`] : [])));

function partsOf(answer: readonly MachinePick[]): AnyPart[] {
  return answer
    .flatMap(({ axes, buses }) => [
      ...axes.flatMap(({ motor, gearbox, drive, inductor }) => [motor, gearbox, drive, inductor]),
      ...buses.flatMap(({ supply, resistor }) => [supply, resistor]),
    ])
    .filter((part) => part !== null);
}

const mostOf = ({ totals }: Answered, value: (sums: OrderMoney["totals"][number]) => number): number =>
  Math.max(...totals.map(value));

/** Every row that is tightened on purpose. */
const TIGHTENINGS: readonly Tightening[] = [
  fewer("motors", named("motor")),
  fewer("gearboxes", named("gearbox")),
  fewer("drives", named("drive")),
  fewer("frames", (parts) => distinct(parts.flatMap((part) => (part.kind === "motor" ? [part.frame.trim()] : [])))),
  fewer("makers", (parts) => distinct(parts.map(({ maker }) => maker))),
  fewer("parts", (parts) => distinct(parts.map(({ kind, maker, part }) => `${kind} ${maker} ${part}`))),
  (answered) => withCaps(answered, { mass: mostOf(answered, ({ mass }) => mass) * 0.99 }),
  (answered) => withCaps(answered, { cabinetWidth: mostOf(answered, ({ width }) => width) * 0.99 }),
  (answered) => withCaps(answered, { price: Math.round(mostOf(answered, ({ price }) => price) * 0.99) }),
  (answered) => {
    const times = partsOf(answered.answer).map(({ leadTime = 0 }) => leadTime);
    return withCaps(answered, { leadTime: Math.max(1, Math.max(...times) - 1) });
  },
  forbidding,
  twinned,
  supplyTooSmall,
  supplyTooSmall,
];

function forbidding({ order, answer }: Answered, dice: Dice): RandomMachine {
  const part = dice.of(partsOf(answer)).part;
  const { forbid } = order.problem;
  return { ...order, problem: { ...order.problem, forbid: { ...forbid, parts: [...forbid.parts, part] } } };
}

/** Two axes that neither carry nor ride, with different picks, now pick together. */
function twinned({ order, answer }: Answered): RandomMachine | undefined {
  for (const [m, machine] of order.problem.machines.entries()) {
    const free = machine.axes.flatMap(({ id, carriedBy }, a) =>
      carriedBy !== undefined ||
      machine.axes.some((other) => other.carriedBy === id) ||
      machine.samePick.flat().includes(id)
        ? []
        : [{ id, key: keyAt(answer, m, a) }],
    );
    const [first, second] = free;
    if (first === undefined || second === undefined || first.key === second.key) continue;
    const together: Machine = { ...machine, samePick: [...machine.samePick, [first.id, second.id]] };
    return { ...order, problem: withMachine(order.problem, m, together) };
  }
  return undefined;
}

function keyAt(answer: readonly MachinePick[], m: number, a: number): string {
  const pick = answer[m]?.axes[a];
  return pick === undefined ? "" : pickKey(pick);
}

function withMachine(problem: Problem, m: number, machine: Machine): Problem {
  return { ...problem, machines: problem.machines.map((old, k) => (k === m ? machine : old)) };
}

/** The supply of a bus gets a little less power than the answer takes, peak or mean. */
function supplyTooSmall({ order, answer, buses: limits }: Answered, dice: Dice): RandomMachine | undefined {
  const buses = answer.flatMap((pick) => pick.buses);
  const b = dice.whole(0, buses.length - 1);
  const supply = buses[b]?.supply ?? undefined;
  const peak = limits[b]?.find(({ id }) => id === "supply.peak_power");
  const mean = limits[b]?.find(({ id }) => id === "supply.continuous_power");
  if (supply === undefined || peak === undefined || mean === undefined) return undefined;
  const less: Partial<Supply> = dice.chance(0.6)
    ? { peakPower: (supply.peakPower * peak.demand * 0.97) / peak.allowed }
    : { continuousPower: (supply.continuousPower * mean.demand * 0.97) / mean.allowed };
  const supplies = order.catalogue.supplies.map((old) => (old.part === supply.part ? { ...old, ...less } : old));
  return { ...order, catalogue: { ...order.catalogue, supplies } };
}
