import { describe, expect, test } from "vitest";
import { type BrakingClass, brakingsOf, feedingBack } from "../../src/decide/braking-classes.ts";
import { type Decision, decide } from "../../src/decide/decide.ts";
import type { BusPlace } from "../../src/decide/expressions.ts";
import type { FirstLook } from "../../src/decide/first-look.ts";
import { STRICT } from "../../src/decide/leniency.ts";
import { openClasses } from "../../src/decide/other-brakings.ts";
import { prepare } from "../../src/decide/prepare.ts";
import type { TakenSpans } from "../../src/decide/round.ts";
import { searching } from "../../src/decide/searching.ts";
import { isSetup, type Setup, setupOf } from "../../src/decide/setup.ts";
import { energyPrice } from "../../src/model/build.ts";
import { type RandomMachine, randomMachine } from "../oracle/random-machine.ts";

function decidedIn(setup: Setup): Promise<Decision> {
  return decide(setup, {
    engine: "simplex",
    secondsLeft: () => 60,
    aborted: () => false,
    progress: () => undefined,
    ties: false,
  });
}

/** How many times as much energy costs as orders of chance have it. */
const DEAR = 20;

/** An order in which feeding back is a little cheaper or dearer than burning what is given back, and energy is dear. */
function close({ problem: cheap, catalogue }: RandomMachine, extra: number): Setup {
  const { weights } = cheap;
  const energy = { ...weights.energy, duration: DEAR * weights.energy.duration, years: DEAR * weights.energy.years };
  const problem = { ...cheap, weights: { ...weights, energy } };
  const priceOf = (feedsBack: boolean, price: number): number => Math.max(100, feedsBack ? price + extra : price);
  const supplies = catalogue.supplies.map((supply) => ({
    ...supply,
    prices: supply.prices.map((step) => ({ ...step, price: priceOf(supply.feedsBack, step.price) })),
  }));
  const setup = setupOf(problem, { ...catalogue, supplies });
  if (!isSetup(setup)) throw new Error(`${problem.title}: ${JSON.stringify(setup)}`);
  return setup;
}

function subsetsOf(places: readonly BusPlace[]): BusPlace[][] {
  return places.reduce<BusPlace[][]>((sets, place) => [...sets, ...sets.map((set) => [...set, place])], [[]]);
}

function boundOf({ bound }: FirstLook): number {
  return bound;
}

function keyOf({ saves }: BrakingClass): string {
  return JSON.stringify(saves);
}

/** Orders of which two buses or more can be fed either way, and what feeding back costs more or less [cent]. */
const CASES = [-40_000, -15_000, 0].flatMap((extra) =>
  Array.from({ length: 24 }, (_, k) => ({ seed: 9100 + k, extra })).filter(({ seed }) => {
    const { problem, catalogue } = randomMachine(seed, 1);
    const setup = setupOf(problem, catalogue);
    return isSetup(setup) && brakingsOf(setup).both.length > 1;
  }),
);

/**
 * Own oracle: the same order with each choice of buses that feed back solved by itself, where nothing is passed over. That
 * these solve right is held by brute force elsewhere.
 */
describe("of the ways to feed several buses", async () => {
  const orders = await Promise.all(
    CASES.map(async ({ seed, extra }) => {
      const setup = close(randomMachine(seed, 1), extra);
      const { both } = brakingsOf(setup);
      const classes = subsetsOf(both).map((fed) => ({ fed, braking: feedingBack(setup, both, fed) }));
      const totals: number[] = [];
      for (const { braking } of classes)
        totals.push((await decidedIn(braking.setup)).evaluated?.money.total ?? Number.POSITIVE_INFINITY);
      return { seed, extra, setup, classes, totals, decision: await decidedIn(setup) };
    }),
  );
  const solved = orders.filter(({ totals }) => Math.min(...totals) < Number.POSITIVE_INFINITY);

  test("there are enough, and each kind of answer is the best of some", () => {
    const fedOf = ({ classes, totals }: (typeof solved)[number]): number =>
      classes[totals.indexOf(Math.min(...totals))]?.fed.length ?? -1;
    expect(solved.length).toBeGreaterThan(12);
    expect(solved.some((one) => fedOf(one) === 0)).toBe(true);
    expect(solved.some((one) => fedOf(one) === 1)).toBe(true);
    expect(solved.some((one) => fedOf(one) > 1)).toBe(true);
  });

  test("the cheapest is taken", () => {
    for (const { seed, extra, totals, decision } of orders) {
      const least = Math.min(...totals);
      expect([seed, extra, decision.evaluated?.money.total ?? Number.POSITIVE_INFINITY]).toEqual([seed, extra, least]);
      expect(decision.status).toBe(least < Number.POSITIVE_INFINITY ? "optimal" : "infeasible");
    }
  });

  test("none with an answer below the limit is passed over, and no bound exceeds an answer", () => {
    let passed = 0;
    for (const { setup, classes, totals, decision } of solved) {
      const { looks } = decision;
      const rounding = looks?.first.rounding ?? 0;
      const limit = Math.min(...totals) + 0.02 * Math.min(...totals);
      const open = openClasses(setup, brakingsOf(setup), { looks, boundOf, limit });
      const all = openClasses(setup, brakingsOf(setup), { looks, boundOf, limit: Number.POSITIVE_INFINITY });
      const named = new Map(open.map(({ braking, bound }) => [keyOf(braking), bound]));
      for (const [k, { fed, braking }] of classes.entries()) {
        if (fed.length === 0) continue;
        const [own, total] = [named.get(keyOf(braking)), totals[k] ?? Number.POSITIVE_INFINITY];
        // What was passed over is dearer than the limit.
        expect(total + rounding).toBeGreaterThanOrEqual(own ?? limit);
        if (own === undefined && total < Number.POSITIVE_INFINITY) passed += 1;
      }
      expect(all.length).toBe(classes.length - 1);
    }
    expect(passed).toBeGreaterThan(0);
  });
});

/** Machines of a kind, each with a bus that can be fed either way. */
function copies(setup: Setup, count: number): Setup {
  const { machines, problem, catalogue } = setup;
  const [one] = machines;
  if (one === undefined) throw new Error("no machine");
  const named = Array.from({ length: count }, (_, k) => ({ ...one.machine, id: `copy ${k}`, quantity: k + 1 }));
  const many = setupOf({ ...problem, machines: named }, catalogue);
  if (!isSetup(many)) throw new Error("motions that cannot be");
  return many;
}

test("where too many ways to feed are open, all are looked into as one, and the cheapest is taken", async () => {
  const seed = Array.from({ length: 60 }, (_, k) => 9200 + k).find((one) => {
    const { problem, catalogue } = randomMachine(one, 0);
    const setup = setupOf(problem, catalogue);
    return isSetup(setup) && setup.machines[0]?.axes.length === 1 && brakingsOf(setup).both.length === 1;
  });
  if (seed === undefined) throw new Error("no such order");
  const setup = copies(close(randomMachine(seed, 0), -20_000), 5);
  const brakings = brakingsOf(setup);
  const { looks, evaluated } = await decidedIn(setup);
  const open = openClasses(setup, brakings, { looks, boundOf, limit: evaluated?.money.total ?? Number.NaN });
  expect(open.map(({ braking }) => keyOf(braking))).toEqual([JSON.stringify(brakings.both.map(() => [true]))]);
  const totals: number[] = [];
  for (const fed of subsetsOf(brakings.both)) {
    const alone = await decidedIn(feedingBack(setup, brakings.both, fed).setup);
    totals.push(alone.evaluated?.money.total ?? Number.POSITIVE_INFINITY);
  }
  expect(Math.min(...totals)).toBeLessThan(Number.POSITIVE_INFINITY);
  expect(evaluated?.money.total).toBe(Math.min(...totals));
  expect(open[0]?.bound).toBeLessThanOrEqual(Math.min(...totals) + (looks?.first.rounding ?? 0));
});

test("where a bus may feed back its power counts over the whole cycle, on others where an answer takes it", async () => {
  let prepared = 0;
  for (const { seed } of CASES.slice(0, 12)) {
    const setup = close(randomMachine(seed, 1), 0);
    const { both } = brakingsOf(setup);
    const [fed] = both;
    if (fed === undefined || energyPrice(setup.problem) === 0) continue;
    const half = setup.machines.map(({ runs, buses }) =>
      buses.map(() =>
        runs.map(({ cycle, share }) => ({ spans: [{ from: 0, to: cycle / 2 }], share: 0.5, weight: share })),
      ),
    );
    const shares = await preparedShares(setup, feedingBack(setup, both, [fed]), half);
    if (shares === undefined) continue;
    prepared += 1;
    const isFed = (machine: number, bus: number): boolean => machine === fed.machine && bus === fed.bus;
    expect(shares).toEqual(
      half.map((buses, m) => buses.map((runs, b) => runs.map(({ share }) => (isFed(m, b) ? 1 : share)))),
    );
  }
  expect(prepared).toBeGreaterThan(0);
});

/** Share of the cycle over which power was counted, by machine, bus and run; undefined where nothing is left. */
async function preparedShares(
  setup: Setup,
  braking: BrakingClass,
  taken: TakenSpans,
): Promise<readonly (readonly (readonly number[])[])[] | undefined> {
  const { judged, evaluator, memory, sourcing } = await decidedIn(setup);
  const court = { evaluator, memory, sourcing, leniency: STRICT };
  const options = { engine: "simplex", secondsLeft: () => 60, aborted: () => false, ties: false } as const;
  const prepared = await prepare(braking, judged, {
    court,
    finder: searching(court, options),
    progress: () => undefined,
    upTo: Number.POSITIVE_INFINITY,
    multipliers: undefined,
    noteLook: () => undefined,
    note: () => undefined,
    taken,
  });
  return prepared?.taken.map((buses) => buses.map((runs) => runs.map(({ share }) => share)));
}
