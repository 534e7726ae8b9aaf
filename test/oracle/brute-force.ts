import type { AnyPart, Catalogue, Resistor, Supply } from "../../src/machine/catalogue.ts";
import type { Bus, Problem } from "../../src/machine/problem.ts";
import { type BusPick, type MachinePick, modulesOn, pickKey, ridersOf } from "../../src/verify/answer.ts";
import { type OrderOracle, type OrderVerdict, orderOracle } from "../../src/verify/evaluate-machine.ts";
import type { AxisPick } from "../../src/verify/evaluate-pick.ts";
import type { OrderMoney } from "../../src/verify/money.ts";
import { isDualSourced } from "./dual-source.ts";

/** The cheapest answer of all, by trying them. */
export interface BruteForce {
  /** null: no answer stands. */
  readonly best: { readonly answer: readonly MachinePick[]; readonly verdict: OrderVerdict } | null;
  /** Whole answers put together from picks that pass on their axes. */
  readonly combinations: number;
  readonly oracle: OrderOracle;
}

/** Too many combinations for the given limit. */
export class TooMany extends Error {}

interface Open {
  readonly answer: readonly MachinePick[];
  readonly money: OrderMoney;
}

/** Every pick of the catalogues that could stand on an axis, without and with each inductor. */
function allPicks({ motors, gearboxes, drives }: Catalogue): AxisPick[] {
  return motors.flatMap((motor) =>
    [null, ...gearboxes].flatMap((gearbox) => drives.map((drive) => ({ motor, gearbox, drive, inductor: null }))),
  );
}

/** Picks that pass on an axis at a carried mass; inductors only where the ripple current asks for one. */
function passingPicks(
  oracle: OrderOracle,
  m: number,
  a: number,
  carried: number,
  picks: readonly AxisPick[],
): AxisPick[] {
  return picks.flatMap((pick) => {
    const verdict = oracle.judge(m, a, pick, carried);
    if (verdict.passes) return [pick];
    const lacks = verdict.limits.some(({ id, passes }) => id === "drive.ripple_current" && !passes);
    if (!lacks) return [];
    const choked = oracle.catalogue.inductors.map((inductor) => ({ ...pick, inductor }));
    return choked.filter((with0) => oracle.judge(m, a, with0, carried).passes);
  });
}

const bears = (supply: Supply, { resistance }: Resistor): boolean => resistance >= (supply.minResistance ?? 0);

/** Supplies of a bus, each alone and with every resistor it bears. */
function busPicks({ site, forbid }: Problem, { supplies, resistors }: Catalogue, bus: Bus): BusPick[] {
  if (supplies.length === 0) return [{ supply: null, resistor: null }];
  const allowed = (part: AnyPart): boolean => !forbid.parts.includes(part.part) && !forbid.makers.includes(part.maker);
  const feeds = (supply: Supply): boolean =>
    supply.phases === site.phases &&
    supply.mains <= site.mains &&
    site.mains <= supply.mainsMax &&
    supply.busVoltage === bus.voltage;
  return supplies
    .filter((supply) => allowed(supply) && feeds(supply))
    .flatMap((supply) => {
      const with0 = supply.feedsBack
        ? []
        : resistors.filter((resistor) => allowed(resistor) && bears(supply, resistor));
      return [null, ...with0].map((resistor) => ({ supply, resistor }));
    });
}

function product<T>(lists: readonly (readonly T[])[]): T[][] {
  return lists.reduce<T[][]>((all, list) => all.flatMap((head) => list.map((item) => [...head, item])), [[]]);
}

/** All choices of picks for one machine, riders before what carries them. */
function machineChoices(oracle: OrderOracle, m: number, limit: number): AxisPick[][] {
  const machine = oracle.problem.machines[m];
  if (machine === undefined) return [];
  const order = machine.axes
    .map((_, a) => a)
    .toSorted((x, y) => ridersOf(machine, x).length - ridersOf(machine, y).length);
  const all = allPicks(oracle.catalogue);
  const passing = new Map<string, AxisPick[]>();
  const found: AxisPick[][] = [];
  const picks: (AxisPick | undefined)[] = machine.axes.map(() => undefined);
  const twinOf = (a: number): AxisPick | undefined => {
    const group = machine.samePick.find((ids) => ids.includes(machine.axes[a]?.id ?? "")) ?? [];
    return picks.find((pick, k) => pick !== undefined && k !== a && group.includes(machine.axes[k]?.id ?? ""));
  };
  const choose = (depth: number): void => {
    const a = order[depth];
    if (a === undefined) {
      found.push(picks.filter((pick) => pick !== undefined));
      if (found.length > limit) throw new TooMany(`more than ${limit} combinations`);
      return;
    }
    const carried = oracle.carried(m, a, picks);
    const key = `${a} ${carried}`;
    const choices = passing.get(key) ?? passingPicks(oracle, m, a, carried, all);
    passing.set(key, choices);
    const twin = twinOf(a);
    for (const choice of choices) {
      if (twin !== undefined && pickKey(twin) !== pickKey(choice)) continue;
      picks[a] = choice;
      choose(depth + 1);
    }
    picks[a] = undefined;
  };
  choose(0);
  return found;
}

/** Code-point order; all names here are within the basic plane. */
const compareText = (x: string, y: string): number => (x < y ? -1 : x > y ? 1 : 0);

function textsOf(answer: readonly MachinePick[]): string[] {
  const axes = answer.flatMap(({ axes: picks }) =>
    picks.flatMap(({ motor, gearbox, drive, inductor }) =>
      [motor, gearbox, drive, inductor].flatMap((part) => (part === null ? ["", ""] : [part.part, part.maker])),
    ),
  );
  const buses = answer.flatMap(({ buses: picks }) =>
    picks.flatMap(({ supply, resistor }) =>
      [supply, resistor].map((part) => (part === null ? "" : `${part.maker} / ${part.part}`)),
    ),
  );
  return [...axes, ...buses];
}

/** Tie rule: fewest distinct parts, lowest mass, then axis by axis the part ids in code-point order. Negative: x first. */
export function compareTies(x: { answer: readonly MachinePick[]; money: OrderMoney }, y: typeof x): number {
  if (x.money.partCount !== y.money.partCount) return x.money.partCount - y.money.partCount;
  if (Math.abs(x.money.mass - y.money.mass) > 1e-9 * Math.max(1, x.money.mass)) return x.money.mass - y.money.mass;
  const [mine, theirs] = [textsOf(x.answer), textsOf(y.answer)];
  for (const [k, text] of mine.entries()) {
    const order = compareText(text, theirs[k] ?? "");
    if (order !== 0) return order;
  }
  return 0;
}

/** Mean power of an answer from below: energy given back in part counts as saved. */
function leastInputs(oracle: OrderOracle, picks: readonly (readonly AxisPick[])[]): number[] {
  return picks.map((axes, m) => {
    const machine = oracle.problem.machines[m];
    const fixed = (machine?.buses ?? []).flatMap((bus) => (machine === undefined ? [] : modulesOn(machine, bus, axes)));
    const moving = axes.reduce((sum, pick, a) => sum + oracle.meanPower(m, a, pick, oracle.carried(m, a, axes)), 0);
    return moving + fixed.reduce((sum, { fixedLoss }) => sum + fixedLoss, 0);
  });
}

/** All whole answers with a bound on their cost; answers that break a cap are left out. */
function allAnswers(oracle: OrderOracle, limit: number): Open[] {
  const { problem, catalogue } = oracle;
  const priced = problem.weights.energy.price > 0;
  const none = problem.machines.map(() => 0);
  const supplies = product(
    problem.machines.map(({ buses }) => product(buses.map((bus) => busPicks(problem, catalogue, bus)))),
  );
  const choices = problem.machines.map((_, m) => machineChoices(oracle, m, limit));
  const open: Open[] = [];
  for (const picks of product(choices)) {
    const inputs = priced ? leastInputs(oracle, picks) : none;
    for (const fed of supplies) {
      const answer = picks.map((axes, m) => ({ axes, buses: fed[m] ?? [] }));
      const money = oracle.money(answer, inputs);
      if (money.failed.length === 0) open.push({ answer, money });
      if (open.length > limit) throw new TooMany(`more than ${limit} combinations`);
    }
  }
  return open;
}

/** The cheapest answer that stands, ties by rule: cheapest first, until nothing left can be as cheap. */
export function bruteForce(
  problem: Problem,
  catalogue: Catalogue,
  limit = 50_000,
  oracle: OrderOracle = orderOracle(problem, catalogue),
): BruteForce {
  const open = allAnswers(oracle, limit).toSorted((x, y) => x.money.total - y.money.total);
  let best: BruteForce["best"] = null;
  for (const { answer, money } of open) {
    // One cent of room: the bound on energy is itself a sum of rounded means.
    if (best !== null && money.total > best.verdict.total + 1) break;
    if (!isDualSourced(oracle, answer)) continue;
    const verdict = oracle.evaluate(answer);
    if (!verdict.feasible) continue;
    const cheaper = best === null || verdict.total < best.verdict.total;
    const first = (): boolean =>
      best !== null &&
      verdict.total === best.verdict.total &&
      compareTies({ answer, money: verdict.money }, { answer: best.answer, money: best.verdict.money }) < 0;
    if (cheaper || first()) best = { answer, verdict };
  }
  return { best, combinations: open.length, oracle };
}
